"""The strip report for the owner: what was found, what is to be done, what was found good, in words a customer understands.

In: a log, the facts of its parts, the shop's settings. Out: the report as values; every line knows where it was said.
Every sentence is built from entries; nothing is added to them, nothing judged that was not said or measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from notebook.documents.deciding_words import NOT_DONE, state_words
from notebook.documents.paper import (
    Bar,
    Head,
    Line,
    Picture,
    PictureBook,
    Ref,
    Times,
    capital,
    count_words,
    day_words,
    list_words,
    make_bar,
    make_head,
    sentence,
)
from notebook.documents.prices import Estimate
from notebook.documents.words import entry_words
from notebook.entries import Caution, Disposition, Finding, Measurement
from notebook.errors import one_line
from notebook.log.deciding import AS_ADVISED
from notebook.log.facts import Assembly, PartFacts, Said, group_by_assembly, live_entries
from notebook.log.gaps import loose_photos
from notebook.log.labour import Labour
from notebook.log.standing import Proposal, find_proposals, how_pressing, undecided
from notebook.nouns import Log, Photo, Remark
from notebook.reading.condition_nouns import absence_words
from notebook.shop import PaperSettings

UNSURE_BELOW = 0.4
MOST_PICTURES_OF_A_PART = 4
DEFER = (
    "Torques, limits and parts that lives hang on (brakes, steering, lifting, pressure) follow the maker's manual, "
    "local rules and licensed practice, which overrule anything printed here."
)
SILENCE = (
    "A part that is not named in this report was not spoken of: that says neither that it is good nor that it is bad."
)
_DO = {
    "replace": "replace", "scrap": "scrap", "order": "order", "rework": "rework", "overhaul": "overhaul", "modify": "modify",
    "send out": "send to a specialist", "clean": "clean", "check": "check", "hold": "wait", AS_ADVISED: "see to it",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkLine:
    """One thing to be done, or to be decided."""

    part: str
    action: str
    why: str
    state: str
    refs: tuple[Ref, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartBlock:
    """What was found on one part."""

    name: str
    lines: tuple[Line, ...]
    bars: tuple[Bar, ...]
    pictures: tuple[Picture, ...]
    see_pictures: tuple[int, ...]
    """Numbers of pictures that stand with another part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyBlock:
    """What was found on one assembly."""

    name: str | None
    """None where a part stands by itself."""
    parts: tuple[PartBlock, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkLine:
    """One remark in the appendix."""

    number: int
    at: str
    person: str
    text: str
    doubt: str
    pictures: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StripReport:
    """The whole report."""

    head: Head
    summary: tuple[str, ...]
    first_picture: Picture | None
    declined: tuple[WorkLine, ...]
    """What the owner declined though it matters for safety; it stands here only."""
    must: tuple[WorkLine, ...]
    should: tuple[WorkLine, ...]
    may: tuple[WorkLine, ...]
    undecided: tuple[WorkLine, ...]
    found: tuple[AssemblyBlock, ...]
    good: tuple[Line, ...]
    not_looked_at: tuple[Line, ...]
    cautions: tuple[Line, ...]
    usual_cautions: tuple[str, ...]
    estimate: Estimate | None
    labour: tuple[tuple[str, str], ...]
    other_pictures: tuple[Picture, ...]
    remarks: tuple[RemarkLine, ...]
    not_done: str = NOT_DONE
    defer: str = DEFER
    silence: str = SILENCE


def make_strip_report(
    log: Log, parts: Sequence[PartFacts], settings: PaperSettings, *, labour: Sequence[Labour] = (), estimate: Estimate | None = None,
    usual_cautions: Sequence[str] = (),
) -> tuple[StripReport, PictureBook]:  # fmt: skip
    """Make the report of a job, and the book of the pictures in it."""
    times, book = Times(log), PictureBook()
    proposals = find_proposals(parts)
    whole = _whole_picture(log, parts)
    first = book.put([whole], f"The {log.job.machine.kind} as it came") if whole is not None else ()
    found = tuple(
        block for a in group_by_assembly(parts) for block in [_assembly(a, times, book)] if block.parts
    )  # fmt: skip
    good = tuple(
        _good_line(p, times) for p in parts if p.sound and not p.defects and not p.past_limit
    )  # fmt: skip
    others = book.put(log.photos, "")
    report = StripReport(
        head=make_head(log, "Strip report", settings), summary=tuple(summarise(log, parts, proposals)), first_picture=first[0] if first else None,
        declined=_work([p for p in proposals if _is_refused(p)], "must", times),
        must=(*_work([p for p in proposals if not _is_refused(p)], "must", times), *(_undecided(p, times) for p in undecided(parts) if how_pressing(p) == "must")), should=_work(proposals, "should", times), may=_work(proposals, "may", times),
        undecided=tuple(_undecided(p, times) for p in undecided(parts) if how_pressing(p) != "must"), found=found, good=good,
        not_looked_at=tuple(_line(f"{p.name}", s, times) for p in parts for s in p.not_inspected),
        cautions=tuple(_line(sentence(s.entry.text), s, times) for s in live_entries(log, Caution)), usual_cautions=tuple(usual_cautions),
        estimate=estimate, labour=_labour(labour), other_pictures=_named(others, log),
        remarks=tuple(_remark(log, n, times, book) for n in range(len(log.remarks))),
    )  # fmt: skip
    return report, book


def summarise(log: Log, parts: Sequence[PartFacts], proposals: Sequence[Proposal]) -> list[str]:
    """Say in a few sentences what the entries say."""
    job = log.job
    meter = f" with {one_line(job.reading)} on the meter" if job.reading else ""
    plate = f" {one_line(job.machine.plate)}" if job.machine.plate else ""
    out = [f"The {one_line(job.machine.kind)}{plate} came to the bench on {day_words(job.opened)}{meter}."]
    off = [p for p in parts if p.is_off]
    if off:
        out.append(f"{count_words(len(off), 'part')} came off.")
    faulty = [p for p in parts if p.defects]
    certain = [p for p in faulty if any(s.entry.presence == "present" for s in p.defects)]
    if certain:
        out.append(
            f"Faults were found on {count_words(len(certain), 'part')}: {list_words([one_line(p.name) for p in certain], most=12)}."
        )
    maybe = [p for p in faulty if p not in certain]
    if maybe:
        out.append(f"Perhaps at fault, and not certain: {list_words([one_line(p.name) for p in maybe], most=8)}.")
    if not faulty and parts:
        out.append("No fault was noted.")
    measured = [v for p in parts for v in p.verdicts if v.left is not None]
    past = [(p, v) for p in parts for v in p.past_limit]
    if measured:
        were = "measurement was" if len(measured) == 1 else "measurements were"
        tail = "; all are within" if not past else f"; {len(past)} past it: " + list_words([f"{one_line(p.name)}, {one_line(v.words)}" for p, v in past], most=5)  # fmt: skip
        out.append(f"{len(measured)} {were} laid beside a limit{tail}.")
    levels = [
        (n, len([p for p in proposals if p.pressing == n and p.state not in ("done", "declined")]))
        for n in ("must", "should", "may")
    ]
    said = [f"{count_words(count, 'thing')} {level}" for level, count in levels if count]
    if said:
        out.append(f"Of the work advised, {list_words(said)} be done.")
    for state, words in (
        ("approved", "Approved"),
        ("declined", "Declined"),
        ("asked", "Asked about by the owner"),
        ("differ", "Decided differently by two people"),
    ):
        of_state = [one_line(p.facts.name) for p in proposals if p.state == state]
        if of_state:
            out.append(f"{words}: {list_words(of_state, most=8)}.")
    open_ = undecided(parts)
    if open_:
        out.append(f"Still to be decided: {list_words([one_line(p.name) for p in open_], most=12)}.")
    grave = [p for p in open_ if how_pressing(p) == "must"]
    if grave:
        out.append(f"Of these, {list_words([one_line(p.name) for p in grave], most=12)} must be seen to.")
    good = [p for p in parts if p.sound and not p.defects and not p.past_limit]
    if good:
        out.append(f"Checked and found good: {list_words([one_line(p.name) for p in good], most=8)}.")
    return out


def work_words(proposal: Proposal) -> str:
    """Say what is to be done with a part: "replace 4, order"; what is replaced need not be said to be scrap."""
    actions = [proposal.action, *proposal.also]
    if "replace" in actions:
        actions = ["replace", *(a for a in actions if a not in ("replace", "scrap"))]
    count = f" {proposal.count}" if proposal.count else ""
    return ", ".join([f"{_DO[actions[0]]}{count}", *(_DO[a] for a in actions[1:] if a in _DO)])


def why_words(facts: PartFacts) -> str:
    """Say the faults and the measurements past their limit."""
    said = [entry_words(s.entry) for s in facts.defects]
    return ", ".join(dict.fromkeys([*said, *(v.words for v in facts.past_limit)]))


def hours_words(row: Labour) -> str:
    """Write a time as hours and minutes."""
    minutes = round(row.spent.total_seconds() / 60)
    if minutes < 1:
        return "under 1 min"
    return f"{minutes // 60} h {minutes % 60:02} min" if minutes >= 60 else f"{minutes} min"


def _labour(labour: Sequence[Labour]) -> tuple[tuple[str, str], ...]:
    if not labour:
        return ()
    whole = Labour(assembly="Together", spent=sum((row.spent for row in labour), timedelta()), steps=0)
    return tuple((capital(one_line(row.assembly)), hours_words(row)) for row in (*labour, whole))


def _is_refused(proposal: Proposal) -> bool:
    return proposal.state == "declined" and proposal.matters_for_safety


def _work(proposals: Sequence[Proposal], pressing: str, times: Times) -> tuple[WorkLine, ...]:
    return tuple(
        WorkLine(
            part=capital(one_line(p.facts.name)), action=work_words(p), why=one_line(why_words(p.facts)) or "as said", state=state_words(p),
            refs=_refs([*p.facts.defects, *p.said], times),
        )
        for p in proposals
        if p.pressing == pressing
    )  # fmt: skip


def _undecided(facts: PartFacts, times: Times) -> WorkLine:
    judged = {id(v.measured) for v in facts.past_limit}
    said: list[Said[Finding] | Said[Measurement]] = [
        *facts.defects,
        *(m for m in facts.measurements if id(m.entry) in judged),
    ]
    return WorkLine(
        part=capital(one_line(facts.name)), action="to be decided", why=one_line(why_words(facts)), state="found", refs=_refs(said, times)
    )  # fmt: skip


def _refs(said: Sequence[Said[Finding] | Said[Disposition] | Said[Measurement]], times: Times) -> tuple[Ref, ...]:
    return tuple({s.remark.order: times.ref(s.remark) for s in said}.values())


def _assembly(assembly: Assembly, times: Times, book: PictureBook) -> AssemblyBlock:
    blocks = tuple(
        _part(p, times, book) for p in assembly.parts if p.defects or p.verdicts or p.measurements or p.sound or p.photos
    )  # fmt: skip
    return AssemblyBlock(name=capital(one_line(assembly.name)) if len(blocks) > 1 else None, parts=blocks)


def _part(facts: PartFacts, times: Times, book: PictureBook) -> PartBlock:
    lines = [_line(_finding_words(s.entry, facts), s, times) for s in facts.findings]
    refs = {id(m.entry): (times.ref(m.remark),) for m in facts.measurements}
    bars = [(v, make_bar(v, refs.get(id(v.measured), ()))) for v in facts.verdicts]
    shown = {id(v.measured) for v, bar in bars if bar is not None}
    bounds = {(b, v.measured.unit) for v, bar in bars if bar is not None for b in (v.low, v.high)}
    lines += [
        _line(entry_words(m.entry), m, times)
        for m in facts.measurements
        if id(m.entry) not in shown and not (m.entry.role == "limit" and (m.entry.value, m.entry.unit) in bounds)
    ]
    caption = capital(facts.name) + (
        f": {', '.join(entry_words(s.entry) for s in facts.defects)}" if facts.defects else ""
    )
    known = [p for p in facts.photos if p.id in book.taken]
    pictures = book.put(facts.photos[:MOST_PICTURES_OF_A_PART], caption)
    return PartBlock(
        name=capital(one_line(facts.name)), lines=tuple(lines), bars=tuple(bar for _, bar in bars if bar is not None), pictures=pictures,
        see_pictures=book.numbers(known),
    )  # fmt: skip


def _finding_words(entry: Finding, facts: PartFacts) -> str:
    place = f", {entry.position}" if entry.position and entry.position != facts.part.position else ""
    return capital(_good_words(entry)) + place


def _good_line(facts: PartFacts, times: Times) -> Line:
    words = ", ".join(dict.fromkeys(_good_words(s.entry) for s in facts.sound))
    return Line(words=one_line(f"{capital(facts.name)}: {words}"), refs=_refs(facts.sound, times))


def _good_words(entry: Finding) -> str:
    if entry.presence == "absent" and entry.count is None:
        return absence_words(entry.condition)
    return entry_words(entry)


def _line(words: str, said: Said[Finding] | Said[Measurement] | Said[Caution], times: Times) -> Line:
    return Line(
        words=one_line(words),
        refs=(times.ref(said.remark),),
        is_unsure=said.entry.confidence < UNSURE_BELOW and not said.entry.mended,
    )


def _whole_picture(log: Log, parts: Sequence[PartFacts]) -> Photo | None:
    """Give the first photo that is of no part: the machine as it came."""
    of_parts = {p.id for facts in parts for p in facts.photos}
    loose = {p.id for p in loose_photos(log)}
    return next((p for p in log.photos[:1] if p.id not in of_parts and p.id not in loose), None)


def _named(pictures: Sequence[Picture], log: Log) -> tuple[Picture, ...]:
    """Caption the pictures that are of no part with what was said at them, in a few words."""
    said: dict[str, Remark] = {}
    remarks = {r.id: r for r in log.remarks}
    for link in log.links:
        if link.remark_id in remarks:
            said.setdefault(link.photo_id, remarks[link.remark_id])
    out = []
    for picture in pictures:
        remark = said.get(picture.photo_id)
        words = one_line(remark.text) if remark is not None else "belongs to no remark"
        words = words if len(words) <= 90 else words[:88].rsplit(" ", 1)[0] + " ..."
        out.append(Picture(number=picture.number, file=picture.file, caption=words, photo_id=picture.photo_id))
    return tuple(out)


def _remark(log: Log, at: int, times: Times, book: PictureBook) -> RemarkLine:
    remark = log.remarks[at]
    photos = {k.photo_id for k in log.links if k.remark_id == remark.id}
    sittings = {s.id: s.person for s in log.sittings}
    return RemarkLine(
        number=remark.order, at=times.when(remark), person=one_line(remark.person or sittings.get(remark.sitting_id) or ""), text=one_line(remark.text),
        doubt=one_line(remark.doubt or ""), pictures=book.numbers(p for p in log.photos if p.id in photos),
    )  # fmt: skip
