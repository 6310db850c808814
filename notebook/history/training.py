"""Puts the training pack of a kind of machine together, from the logs of all its jobs.

In: the logs with the facts of their parts, the voices that may be heard. Out: the pack, the book of its pictures, and
the remarks whose sound is in it. The owner's reference, plates, job numbers and names of people are left out; a tip
stays in the words it was said in.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from notebook.documents.paper import (
    Head,
    Picture,
    PictureBook,
    capital,
    count_words,
    day_words,
    job_day,
    list_words,
    make_bar,
    sentence,
)
from notebook.documents.strip_report import DEFER
from notebook.documents.training_pack import (
    Asked,
    FoundRow,
    GoodAndBad,
    ToldLine,
    ToolRow,
    TrainingPack,
    UsualStep,
    WearRow,
    WearTable,
)
from notebook.documents.words import amount_words, entry_words
from notebook.entries import Caution, Fastener, Mileage, Step, Tip, Tool
from notebook.errors import one_line
from notebook.history.consensus import Consensus, count_wins, find_consensus, tau
from notebook.log.facts import PartFacts, live_entries
from notebook.nouns import Log, Remark
from notebook.shop import PaperSettings

MOST_FOUND = 16
MOST_QUESTIONS = 12
MOST_PICTURES_A_SIDE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Voice:
    """A remark whose sound is in the pack."""

    file: str
    log: Log
    remark: Remark


@dataclass(frozen=True, slots=True, kw_only=True)
class PackMade:
    """The pack with what goes into it."""

    pack: TrainingPack
    book: PictureBook
    voices: tuple[Voice, ...]


Job = tuple[Log, Sequence[PartFacts]]


def make_training_pack(
    kind: str, jobs: Sequence[Job], settings: PaperSettings, table_name: Callable[[str], str | None], *, voices: Sequence[str] = (),
    usual_cautions: Sequence[str] = (),
) -> PackMade:  # fmt: skip
    """Make the pack of a kind of machine, oldest job first; `voices` are the people who said yes to being heard."""
    ordered = sorted(jobs, key=lambda j: (j[0].job.opened, j[0].job.id))
    logs = [log for log, _ in ordered]
    book = PictureBook()
    heard: list[Voice] = []
    names = _Names(table_name)
    orders = [_steps_of(log, names) for log in logs]
    consensus = find_consensus(orders)
    order = _usual_order(consensus, orders, names)
    first = _first_picture(logs, book)
    pairs = tuple(_good_and_bad(ordered, book, names))
    cautions = tuple(_told(logs, Caution, voices, heard))
    tips = tuple(_told(logs, Tip, voices, heard))
    found = tuple(_found(ordered, names))
    wear = tuple(_wear(ordered, names))
    fasteners = tuple(_fasteners(logs))
    pack = TrainingPack(
        head=Head(
            title="Training pack", shop=one_line(settings.name), address=tuple(one_line(a) for a in settings.address),
            mark="mark.jpg" if settings.mark else None, job=capital(one_line(kind)), machine=count_words(len(logs), "job"),
            date=day_words(max(job_day(log) for log in logs)), label="Kind", facts=(("Jobs", str(len(logs))), ("Years", _years(logs)), ("Meter", _meters(logs))),
        ),
        about=tuple(_about(kind, logs, consensus, found)), first_picture=first, order=order, order_note=_order_note(consensus, orders),
        tools=tuple(_tools(logs)), fasteners=fasteners, cautions=cautions, usual_cautions=tuple(usual_cautions), tips=tips, found=found, pairs=pairs,
        wear=wear, questions=tuple(_questions(order, found, wear, fasteners, cautions, tips))[:MOST_QUESTIONS], defer=DEFER,
    )  # fmt: skip
    return PackMade(pack=pack, book=book, voices=tuple(heard))


class _Names:
    """Knows each component by the vocabulary's name, and shows it as it was first said ("pinion", not "gear")."""

    def __init__(self, table_name: Callable[[str], str | None]) -> None:
        self._table_name = table_name
        self._said: dict[str, str] = {}

    def key(self, component: str) -> str:
        """Give the key of a component; components that the vocabulary holds for one have the same."""
        key = (self._table_name(component) or component).lower()
        self._said.setdefault(key, component)
        return key

    def shown(self, key: str) -> str:
        """Give the component as it was first said."""
        return capital(one_line(self._said.get(key, key)))


def _steps_of(log: Log, names: _Names) -> list[str]:
    """Give the components of a job in the order they were said to come off."""
    said = [s.entry for s in live_entries(log, Step) if s.entry.action in ("removed", "opened") and s.entry.component]
    return list(dict.fromkeys(names.key(e.component or "") for e in said))


def _usual_order(consensus: Consensus, orders: Sequence[Sequence[str]], names: _Names) -> tuple[UsualStep, ...]:
    wins = count_wins(orders)
    out = []
    for n, step in enumerate(consensus.steps):
        agree = ""
        if n:
            before = consensus.steps[n - 1]
            with_it, against = wins.get((before, step), 0), wins.get((step, before), 0)
            agree = f"{with_it} of {with_it + against}" if with_it + against else ""
        jobs = sum(step in order for order in orders)
        out.append(UsualStep(number=n + 1, name=names.shown(step), jobs=jobs, agree=agree))
    return tuple(out)


def _order_note(consensus: Consensus, orders: Sequence[Sequence[str]]) -> str:
    if not consensus.steps:
        return "No job of this kind says what came off."
    taus = [t for t in (tau(consensus.steps, order) for order in orders) if t is not None]
    if len(taus) < 2:
        return "One job says in which order things came off; this is its order."
    kept = consensus.pairs - consensus.broken
    how = "No order breaks fewer." if consensus.is_exact else "It is the best order found, not proved to be the best."
    return (
        f"The order that breaks fewest of {len(taus)} jobs: of {consensus.pairs} times that two things came off in an order, it keeps {kept}. {how} "
        f"Kendall's tau with the jobs is {sum(taus) / len(taus):.2f} in the mean (1 is the same order)."
    )


def _about(kind: str, logs: Sequence[Log], consensus: Consensus, found: Sequence[FoundRow]) -> Iterator[str]:
    yield f"What {count_words(len(logs), 'job')} on a {one_line(kind)} taught, in the order of the work."
    if consensus.steps:
        yield f"{count_words(len(consensus.steps), 'thing')} came off; the usual order is below."
    often = [f for f in found if f.jobs > 1][:3]
    if often:
        yield (
            "Most often found: "
            + list_words([f"{f.part.lower()} {f.condition} ({f.jobs} of {f.seen})" for f in often])
            + "."
        )


def _first_picture(logs: Sequence[Log], book: PictureBook) -> Picture | None:
    for log in logs:
        if log.photos and log.links and log.photos[0].id in {k.photo_id for k in log.links}:
            return book.put(log.photos[:1], f"A {log.job.machine.kind} as it came")[0]
    return None


def _told(
    logs: Sequence[Log], kind: type[Tip] | type[Caution], voices: Sequence[str], heard: list[Voice]
) -> Iterator[ToldLine]:
    allowed = {v.casefold() for v in voices}
    seen: set[str] = set()
    for log in logs:
        people = {s.id: s.person for s in log.sittings}
        for said in live_entries(log, kind):
            words = sentence(one_line(said.entry.text))
            if words.casefold() in seen:
                continue
            seen.add(words.casefold())
            person = said.remark.person or people.get(said.remark.sitting_id)
            sound = None
            if person is not None and person.casefold() in allowed and said.remark.sample_count:
                known = next((v.file for v in heard if v.remark.id == said.remark.id), None)
                sound = known or f"s{len(heard) + 1:03}.mp3"
                if known is None:
                    heard.append(Voice(file=sound, log=log, remark=said.remark))
            topic = said.entry.topic or ""
            yield ToldLine(
                words=words,
                topic=capital(one_line(topic)) if topic not in ("tip", "caution") else "",
                when=_when(log),
                sound=sound,
            )


def _when(log: Log) -> str:
    meter = _meter(log)
    return f"{log.job.opened.year}, at {meter}" if meter else f"{log.job.opened.year}"


def _meter(log: Log) -> str:
    for said in live_entries(log, Mileage):
        if said.entry.role == "reading" and said.entry.component is None:
            return amount_words(said.entry)
    return one_line(log.job.reading or "")


def _meters(logs: Sequence[Log]) -> str:
    known = [m for m in (_meter(log) for log in logs) if m]
    return list_words(sorted(known, key=_number), most=6) if known else "not said"


def _number(meter: str) -> float:
    found = re.search(r"\d[\d,]*(?:\.\d+)?", meter)
    return float(found[0].replace(",", "")) if found else 0.0


def _years(logs: Sequence[Log]) -> str:
    years = sorted({log.job.opened.year for log in logs})
    return str(years[0]) if len(years) == 1 else f"{years[0]} to {years[-1]}"


def _tools(logs: Sequence[Log]) -> Iterator[ToolRow]:
    jobs: dict[str, set[str]] = defaultdict(set)
    used: dict[str, list[str]] = defaultdict(list)
    for log in logs:
        for said in live_entries(log, Tool):
            jobs[said.entry.name.lower()].add(log.job.id)
            used[said.entry.name.lower()].extend([said.entry.for_] if said.entry.for_ else [])
        for fastener in live_entries(log, Fastener):
            driver = fastener.entry.driver
            if driver:
                jobs[driver.lower()].add(log.job.id)
                used[driver.lower()].extend([fastener.entry.component] if fastener.entry.component else [])
    for name in sorted(jobs, key=lambda n: (-len(jobs[n]), n)):
        yield ToolRow(
            name=capital(one_line(name)),
            used_for=one_line(list_words(list(dict.fromkeys(used[name])), most=5)),
            jobs=len(jobs[name]),
        )


def _fasteners(logs: Sequence[Log]) -> Iterator[tuple[str, str]]:
    said: dict[str, list[str]] = defaultdict(list)
    for log in logs:
        for fastener in live_entries(log, Fastener):
            if fastener.entry.component:
                said[fastener.entry.component.lower()].append(entry_words(fastener.entry))
    for component, words in said.items():
        yield capital(one_line(component)), one_line("; ".join(dict.fromkeys(words)))


def _found(jobs: Sequence[Job], names: _Names) -> Iterator[FoundRow]:
    seen: dict[str, set[str]] = defaultdict(set)
    having: dict[tuple[str, str], set[str]] = defaultdict(set)
    for log, parts in jobs:
        for facts in parts:
            name = names.key(facts.part.component)
            if facts.findings:
                seen[name].add(log.job.id)
            for said in facts.defects:
                if said.entry.presence == "present":
                    having[name, said.entry.condition].add(log.job.id)
    rows = sorted(having, key=lambda k: (-len(having[k]), -len(having[k]) / len(seen[k[0]]), k))
    for name, condition in rows[:MOST_FOUND]:
        yield FoundRow(
            part=names.shown(name), condition=condition, jobs=len(having[name, condition]), seen=len(seen[name])
        )


def _good_and_bad(jobs: Sequence[Job], book: PictureBook, names: _Names) -> Iterator[GoodAndBad]:
    good: dict[str, list[Picture]] = defaultdict(list)
    bad: dict[str, list[Picture]] = defaultdict(list)
    for log, parts in jobs:
        for facts in parts:
            name = names.key(facts.part.component)
            side = bad if facts.defects else good if facts.sound else None
            if side is None or len(side[name]) >= MOST_PICTURES_A_SIDE:
                continue
            said = facts.defects or facts.sound
            caption = f"{'Bad' if facts.defects else 'Good'}: {facts.part.component}, {', '.join(entry_words(s.entry) for s in said)}, {_when(log)}"
            side[name].extend(book.put(facts.photos[: MOST_PICTURES_A_SIDE - len(side[name])], caption))
    listed = sorted({*good, *bad}, key=lambda n: (not (good[n] and bad[n]), n))
    for name in listed:
        if good[name] or bad[name]:
            yield GoodAndBad(part=names.shown(name), good=tuple(good[name]), bad=tuple(bad[name]))


def _wear(jobs: Sequence[Job], names: _Names) -> Iterator[WearTable]:
    rows: dict[tuple[str, str, str], list[tuple[float, WearRow]]] = defaultdict(list)
    for log, parts in jobs:
        meter = _meter(log)
        for facts in parts:
            name = names.key(facts.part.component)
            judged = {id(v.measured): v for v in facts.verdicts}
            for said in facts.measurements:
                size = said.entry
                if size.role != "measured" or size.value is None or not size.unit:
                    continue
                verdict = judged.get(id(size))
                bar = make_bar(verdict, name=facts.part.position or "") if verdict is not None else None
                row = WearRow(at=meter or str(log.job.opened.year), bar=bar, value=amount_words(size))
                rows[name, size.quantity or "size", size.unit].append((_number(meter), row))
    for (name, quantity, _), found in sorted(rows.items()):
        if any(row.bar is not None for _, row in found) or len(found) > 1:
            listed = tuple(row for _, row in sorted(found, key=lambda f: f[0]))
            yield WearTable(part=names.shown(name), quantity=quantity, rows=listed)


def _questions(
    order: Sequence[UsualStep], found: Sequence[FoundRow], wear: Sequence[WearTable], fasteners: Sequence[tuple[str, str]],
    cautions: Sequence[ToldLine], tips: Sequence[ToldLine],
) -> Iterator[Asked]:  # fmt: skip
    if order:
        yield Asked(question="What comes off first?", answer=f"{order[0].name}.")
    for before, step in list(pairwise(order))[:3]:
        if step.agree:
            yield Asked(question=f"What usually comes off just before the {step.name.lower()}?", answer=f"{before.name} ({step.agree} jobs that had both).")  # fmt: skip
    for row in found[:3]:
        yield Asked(
            question=f"How often was the {row.part.lower()} found {row.condition}?", answer=f"In {row.jobs} of {count_words(row.seen, 'job')} that looked at it."
        )  # fmt: skip
    for table in wear[:2]:
        limit = next((row.bar.limit for row in table.rows if row.bar is not None), None)
        if limit:
            yield Asked(
                question=f"What is the limit for the {table.quantity} of the {table.part.lower()}?",
                answer=sentence(limit),
            )
    for component, words in fasteners[:2]:
        yield Asked(question=f"What holds the {component.lower()}?", answer=sentence(words))
    for caution in cautions[:2]:
        about = f" with the {caution.topic.lower()}" if caution.topic else ""
        yield Asked(question=f"What can go badly wrong{about}?", answer=caution.words)
    for tip in tips[:2]:
        about = f" for the {tip.topic.lower()}" if tip.topic else ""
        yield Asked(question=f"What is a trick{about} worth knowing?", answer=tip.words)
