"""Understands a question over all jobs, a kind of word at a time.

In: a question in plain words, the reader's vocabulary, and what the archive knows (its machines, people, labels and names
of parts). Out: a `Question`. Read by the reader's mention and cue stages: tidying, parts, conditions, negations,
amounts, threads; never as a remark, so that a question adds nothing to what is on record.
Each stage takes its words away from the rest; what is left at the end was not understood.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from decimal import Decimal
from fractions import Fraction
from typing import Any, Protocol, cast

from notebook.errors import one_line
from notebook.history import asked_words as said_words
from notebook.history.periods import read_period
from notebook.history.question import Asks, Bound, Question
from notebook.reading.deed_words import BASE, PAST, SLOT, THIRD, Phrase, deed_words
from notebook.reading.fastener_states import STATES
from notebook.reading.lexicon import Condition
from notebook.reading.matching import Match, Matcher
from notebook.reading.names import same_names
from notebook.reading.nouns_said import singular
from notebook.reading.tidy import Piece, tidy_remark
from notebook.tables.rows import decimal_of
from notebook.tables.units import to_si

LONGEST_QUESTION = 2000
_MOST_LABELS = 60
_LONGEST_NAME = 4


class Knowing(Protocol):
    """What the archive knows, for telling a name from a word."""

    def machine_kinds(self) -> Sequence[str]:
        """Give every kind of machine that was here."""

    def persons(self) -> Sequence[str]:
        """Give everybody who spoke."""

    def label(self, said: str) -> tuple[str, str] | None:
        """Give what a word is the label of: plate or owner_ref, and the label."""

    def is_job(self, number: str) -> bool:
        """Tell whether there is a job of that number."""

    def has_part(self, name: str) -> bool:
        """Tell whether anything was told of a part of that name."""


@dataclass(slots=True)
class _Sheet:
    """The words of a question, and which of them have been taken."""

    pieces: Sequence[Piece]
    found: Mapping[int, Sequence[Match]]
    taken: set[int] = field(default_factory=set)

    def low(self, at: int) -> str:
        return self.pieces[at].low if 0 <= at < len(self.pieces) else ""

    def take(self, start: int, end: int) -> None:
        self.taken.update(range(start, end))

    def is_free(self, start: int, end: int) -> bool:
        return not self.taken.intersection(range(start, end))

    def text(self) -> str:
        """Give the free words; taken ones are a bar."""
        return " ".join("|" if n in self.taken else p.low for n, p in enumerate(self.pieces))

    def take_words(self, found: re.Match[str]) -> None:
        """Take the words of a match in `text()`."""
        before = found.string[: found.start()].split()
        self.take(len(before), len(before) + len(found[0].split()))


def read_question(text: str, matcher: Matcher, knowing: Knowing, now: datetime, zone: tzinfo) -> Question:
    """Read a question; what it does not say stays None."""
    text = one_line(text[:LONGEST_QUESTION])
    labels, rest = _labels(text, knowing)
    period, rest = read_period(rest, now, zone)
    if period is None:
        period, spelled = read_period(tidy_remark(rest).text, now, zone)
        rest = spelled if period else rest
    pieces = tidy_remark(rest, lexicon=matcher.lexicon).pieces
    sheet = _Sheet(pieces, matcher.find(pieces))
    words = tuple(p.low for p in sheet.pieces if p.low not in said_words.IDLE and p.kind != "sign")
    question = Question(text=text, period=period, words=words, **labels)
    question = _asks(sheet, question)
    question = _place(sheet, question, matcher)
    question = _amounts(sheet, question)
    question = _thread(sheet, question)
    question = _not_looked(sheet, question)
    question = _deeds(sheet, question)
    question = _kinds(sheet, question)
    question = _conditions(sheet, question)
    question = _parts(sheet, question, knowing)
    question = _polarity(sheet, question)
    question = _position(sheet, question)
    left = tuple(
        p.low
        for n, p in enumerate(sheet.pieces)
        if n not in sheet.taken and p.low not in said_words.IDLE and p.kind != "sign" and not _is_cue(sheet, n)
    )
    return _settle(replace(question, left=left))


# --- labels: plates, owners, people, job numbers -----------------------------------------------------------


def _labels(text: str, knowing: Knowing) -> tuple[dict[str, Any], str]:
    """Give what labels are said, and the text without them."""
    labels: dict[str, Any] = {}
    job = re.search(r"\bjob(?: number| no\.?)? ([\w./-]*\d[\w./-]*)", text, re.I)
    if job and knowing.is_job(job[1]):
        labels["number"] = job[1]
        text = f"{text[: job.start()]} {text[job.end() :]}"
    for person in knowing.persons():
        found = re.search(rf"(?<!\w){re.escape(person)}(?:'s|s')?(?!\w)", text, re.I) if person else None
        if found and "person" not in labels:
            labels["person"] = person
            text = f"{text[: found.start()]} {text[found.end() :]}"
    tokens = list(re.finditer(r"\S+", text))[:_MOST_LABELS]
    for many in (3, 2, 1):
        for n in range(len(tokens) - many + 1):
            start, end = tokens[n].start(), tokens[n + many - 1].end()
            said = text[start:end].strip("?!.,;:\"'()")
            said = said.removesuffix("'s")
            if len(said) < 3 or said.lower() in said_words.IDLE or (many == 1 and not any(c.isdigit() for c in said)):
                continue
            label = knowing.label(said)
            if label and label[0] not in labels:
                labels[label[0]] = label[1]
                text = re.sub(rf"(?:\bowner )?{re.escape(said)}(?:'s)?", " ", text, count=1)
                return labels, text
    return labels, text


# --- how it asks, where, how much, with what ---------------------------------------------------------------


def _asks(sheet: _Sheet, question: Question) -> Question:
    low = sheet.text()
    for asks, pattern in said_words.ASKS:
        found = pattern.search(low)
        if found is None:
            continue
        if asks == "where" and not said_words.OPENING.issuperset(low[: found.start()].split()):
            continue
        return replace(question, asks=cast("Asks", asks))
    return question


def _place(sheet: _Sheet, question: Question, matcher: Matcher) -> Question:
    containers = "|".join(sorted(map(re.escape, matcher.lexicon.containers), key=len, reverse=True))
    found = re.search(said_words.PLACE.pattern.replace("{containers}", containers), sheet.text())
    if found is None:
        return question
    number = tidy_remark(f"{found[2]} mm").pieces[0].amount
    value = int(found[2]) if found[2].isdigit() else int(number.value) if number and number.value else found[2]
    sheet.take_words(found)
    return replace(question, place=f"{found[1]} {value}")


def _amounts(sheet: _Sheet, question: Question) -> Question:
    """Take an amount, what it is compared by, and the quantity that is meant."""
    at = next((n for n, p in enumerate(sheet.pieces) if p.amount is not None and p.amount.unit), None)
    quantity = _quantity(sheet, has_amount=at is not None)
    if at is None:
        return replace(question, quantity=quantity)
    piece = sheet.pieces[at]
    before = " ".join(sheet.low(n) for n in range(max(0, at - 3), at))
    after = " ".join(sheet.low(n) for n in range(at + 1, at + 3))
    how, used = _compared(before, after)
    adjective = next((w for w in before.split() if w in said_words.SIZE_OF), None)
    bound = _bound(piece, how)
    sheet.take(at - used, at + 1)
    if bound is None:
        return replace(question, quantity=quantity)
    amount = piece.amount
    if amount is not None and amount.unit in ("h", "km", "mi"):
        if (
            question.asks == "which"
            and said_words.RAN.search(" ".join(sheet.low(n) for n in range(at)))
            and not re.search(r"\bjobs?\b|\bmachines?\b", sheet.text())
        ):
            return replace(question, kind="mileage", bound=bound)
        return replace(question, clock=bound)
    return replace(
        question, bound=bound, quantity=quantity or said_words.SIZE_OF.get(adjective or ""), kind="measurement"
    )


def _compared(before: str, after: str) -> tuple[str, int]:
    """Give how it is compared and how many words before it say so."""
    lists = (
        ("at least", said_words.AT_LEAST),
        ("at most", said_words.AT_MOST),
        ("above", said_words.ABOVE),
        ("below", said_words.BELOW),
    )
    best: tuple[str, int] = ("about", 0)
    for how, phrases in lists:
        for phrase in phrases:
            if (before == phrase or before.endswith(f" {phrase}")) and len(phrase.split()) > best[1]:
                best = how, len(phrase.split())
            if after.startswith(phrase) and phrase.startswith(("or ", "and ")) and best[1] == 0:
                best = how, 0
    return best


def _bound(piece: Piece, how: str) -> Bound | None:
    amount = piece.amount
    if amount is None or amount.unit is None:
        return None
    unit = amount.unit

    def real(value: Fraction | None) -> float | None:
        if value is None:
            return None
        exact = decimal_of(value)
        if unit in ("h", "km", "mi"):
            return float(exact)
        found = to_si(Decimal(exact), unit)
        return float(found) if found is not None else None

    if amount.is_range:
        low, high = real(amount.low), real(amount.high)
        return Bound(how="about", value=low, to=high, said=piece.text) if low is not None and high is not None else None
    value = real(amount.value)
    return Bound(how=cast("Any", how), value=value, said=piece.text) if value is not None else None


def _quantity(sheet: _Sheet, *, has_amount: bool) -> str | None:
    for at in range(len(sheet.pieces)):
        for match in sheet.found.get(at, ()):
            if match.label == "quantity" and sheet.is_free(match.start, match.end):
                if has_amount or match.meaning in said_words.PLAIN_QUANTITIES:
                    sheet.take(match.start, match.end)
                    return cast("str", match.meaning)
    return None


def _thread(sheet: _Sheet, question: Question) -> Question:
    for at, piece in enumerate(sheet.pieces):
        if piece.thread is not None and piece.thread.name:
            sheet.take(at, at + 1)
            return replace(question, thread=piece.thread.name, kind="fastener")
    return question


def _not_looked(sheet: _Sheet, question: Question) -> Question:
    found = said_words.NOT_LOOKED.search(sheet.text())
    if found is None or "|" in found[0]:
        return question
    sheet.take_words(found)
    return replace(question, conditions=("not inspected",), kind="finding")


# --- what was done -----------------------------------------------------------------------------------------


def _deeds(sheet: _Sheet, question: Question) -> Question:
    """Take the words of what was to happen to a part: "replaced", "sent away", "on order"."""
    if question.conditions:
        return question
    found = said_words.SPECIALIST.search(sheet.text())
    if found is not None and "|" not in found[0]:
        sheet.take_words(found)
        return replace(question, kind="disposition", actions=("send out",))
    kept = said_words.KEPT.search(sheet.text())
    if kept is not None and "|" not in kept[0]:
        sheet.take_words(kept)
        return replace(question, kind="disposition", actions=("reuse",))
    deeds = deed_words()
    best: tuple[int, int, str] | None = None
    for at in range(len(sheet.pieces)):
        if not _may_be_deed(sheet, at):
            continue
        for phrase in deeds.phrases["disposition"].get(_base_of(sheet.low(at)), ()):
            end = _deed_end(sheet, at, phrase)
            if (
                end is not None
                and phrase.action not in _ASKED_OTHERWISE
                and (best is None or end - at > best[1] - best[0])
            ):
                best = at, end, phrase.action
    if best is None:
        return question
    sheet.take(best[0], best[1])
    return replace(question, kind="disposition", actions=(best[2],))


def _may_be_deed(sheet: _Sheet, at: int) -> bool:
    """Tell whether a word is said of a deed: "what did we machine", "was scrapped"; not "machines", "worn bush"."""
    low = sheet.low(at)
    form = deed_words().forms.get(low) or (_base_of(low), frozenset({PAST} if _base_of(low) != low else ()))
    if not form[1] or low in said_words.IDLE or low in ("left", "leave") or not sheet.is_free(at, at + 1):
        return False
    if any(m.label == "condition" for m in sheet.found.get(at, ())):
        return False
    before = sheet.low(at - 1)
    if {BASE, THIRD} & form[1] and low != "put":
        return at == 0 or before in _BEFORE_DEEDS or PAST in form[1]
    return True


_BEFORE_DEEDS = frozenset(
    "we i you they did do does to have had ever must should not didn't never was were been be get us and or all".split()
)
_ASKED_OTHERWISE = frozenset({"check", "hold", "reuse"})


def _base_of(low: str) -> str:
    """Give the base of a verb form, also of one with its last letter doubled ("scrapped") that no list holds."""
    base = deed_words().base_of(low)
    doubled = re.fullmatch(r"(\w*[aeiou](\w))\2(?:ed|ing)", low) if base == low else None
    return doubled[1] if doubled else base


def _deed_end(sheet: _Sheet, at: int, phrase: Phrase) -> int | None:
    """Give where a phrase ends that begins here; the part in it may be left out or be a word or two."""
    end = at
    for n, word in enumerate(phrase.words):
        if word == SLOT:
            continue
        if not word.isalpha():
            return None
        is_verb = n == phrase.verb_at
        steps = 0
        while (_base_of(sheet.low(end)) if is_verb else sheet.low(end)) != word:
            steps += 1
            end += 1
            if n == 0 or steps > (3 if SLOT in phrase.words else 0) or end >= len(sheet.pieces):
                return None
        if not sheet.is_free(end, end + 1):
            return None
        end += 1
    return end


def _kinds(sheet: _Sheet, question: Question) -> Question:
    if question.kind is not None:
        return question
    low = sheet.text()
    if said_words.HELD.search(low):
        return replace(question, kind="fastener")
    for kind, pattern in said_words.KINDS_SAID:
        found = pattern.search(low)
        if found is not None:
            sheet.take_words(found)
            return replace(question, kind=kind)
    return question


# --- conditions and parts ----------------------------------------------------------------------------------


def _conditions(sheet: _Sheet, question: Question) -> Question:
    """Take the conditions."""
    terms: list[Condition] = []
    names = _name_places(sheet)
    for at in range(len(sheet.pieces)):
        for match in sheet.found.get(at, ()):
            if match.label != "condition" or not sheet.is_free(match.start, match.end):
                continue
            if _is_idle_condition(sheet, match):
                continue
            part = _part_inside(match, sheet.found, sheet.pieces)
            end = match.end - (len(part.split()) if part else 0)
            if names.intersection(range(match.start, end)) and not (at not in names and match.end - at > 1):
                continue
            terms.append(match.meaning[0])
            sheet.take(match.start, end)
            break
    if not terms:
        return question
    said = tuple(dict.fromkeys(c.term for c in terms))
    if question.kind == "fastener":
        state = next((STATES[t] for t in said if t in STATES), None)
        return replace(question, state=state)
    return replace(question, conditions=said)


def _name_places(sheet: _Sheet) -> set[int]:
    """Give the places of words that name a part: "seal" in "lip seal" seals nothing."""
    return {
        n
        for found in sheet.found.values()
        for m in found
        if m.label in ("component", "fastener") and not (m.end - m.start == 1 and _is_adjective(sheet, m.start))
        for n in range(m.start, m.end)
    }


def _is_adjective(sheet: _Sheet, at: int) -> bool:
    """Tell whether a word says how a part is, where a list holds it as a name too."""
    return any(
        m.label == "condition" and m.end == at + 1 and m.meaning[0].form == "adjective" for m in sheet.found.get(at, ())
    )


def _is_idle_condition(sheet: _Sheet, match: Match) -> bool:
    low = " ".join(sheet.low(n) for n in range(match.start, match.end))
    return (
        low
        in ("wrong", "damage", "damaged", "gone", "off", "out", "up", "right", "done", "bad", "open", "hold", "past")
        and match.end - match.start == 1
    )


def _part_inside(condition: Match, found: Mapping[int, Sequence[Match]], pieces: Sequence[Piece]) -> str | None:
    """Give the part that ends a condition of several words: "a broken spring", but no line of "a crack line"."""
    for state in found.get(condition.start, ()):
        if state.label == "condition" and state.end < condition.end and state.meaning[0].form == "adjective":
            for part in found.get(state.end, ()):
                if part.label == "component" and part.end == condition.end:
                    return " ".join(p.low for p in pieces[part.start : part.end])
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Named:
    """A name in a question, and what it may be the name of."""

    start: int
    end: int
    name: str
    closer: str | None
    is_part: bool
    is_form: bool
    machines: tuple[str, ...]


def _parts(sheet: _Sheet, question: Question, knowing: Knowing) -> Question:
    """Tell the names of parts, fasteners and machines apart."""
    kinds = knowing.machine_kinds()
    named = list(_names(sheet, knowing, kinds))
    machine = _machine_among(named, sheet, question)
    parts = [n for n in named if n is not machine]
    for n in named:
        before = len(n.closer.split()) - (n.end - n.start) if n.closer else 0
        sheet.take(n.start - before, n.end)
    if machine is not None:
        question = replace(question, machine=machine.name, machines=machine.machines)
    if question.kind == "fastener" and (form := next((p for p in parts if p.is_form), None)):
        question = replace(question, form=form.name)
        parts.remove(form)
    if not parts:
        return _unlisted(sheet, question)
    first = _bearer(parts, sheet)
    others = tuple(p.closer or p.name for p in parts if p is not first)
    return replace(question, component=first.name, closer=first.closer, others=others)


def _names(sheet: _Sheet, knowing: Knowing, kinds: Sequence[str]) -> list[_Named]:
    named: list[_Named] = []
    at = 0
    while at < len(sheet.pieces):
        found = _name_at(sheet, at, knowing, kinds)
        if found is None:
            at += 1
            continue
        named.append(found)
        at = found.end
    return named


def _name_at(sheet: _Sheet, at: int, knowing: Knowing, kinds: Sequence[str]) -> _Named | None:
    """Give the longest name that begins here: a listed one, one that the archive knows, or a kind of machine."""
    for length in range(_LONGEST_NAME, 0, -1):
        end = at + length
        if end > len(sheet.pieces) or not sheet.is_free(at, end):
            continue
        if any(sheet.pieces[n].kind != "word" for n in range(at, end)):
            continue
        lows = [sheet.low(n) for n in range(at, end)]
        if lows[0] in _NO_NAME or lows[-1] in _NO_NAME:
            continue
        name = " ".join([*lows[:-1], singular(lows[-1])])
        listed = [m for m in sheet.found.get(at, ()) if m.end == end and m.label in ("component", "fastener")]
        machines = tuple(k for k in kinds if _is_kind(name, k))
        if not listed and not machines and not knowing.has_part(name):
            continue
        closer = _closer_name(sheet, at, end) if listed else None
        return _Named(
            start=at, end=end, name=name, closer=closer, is_part=bool(listed) or knowing.has_part(name),
            is_form=any(m.label == "fastener" for m in listed), machines=machines,
        )  # fmt: skip
    return None


_NO_NAME = said_words.IDLE - {"gear", "turn"} | {*said_words.NOT, *said_words.MAYBE}


def _is_kind(name: str, kind: str) -> bool:
    """Tell whether a machine answers to a name: "winch", "mower", or another word for the same ("genny")."""
    low = kind.lower()
    if low == name or low.endswith(f" {name}"):
        return True
    others = (*same_names(name)[1:], *said_words.MACHINE_SLANG.get(name, ()))
    return any(low == other or low.endswith(f" {other}") for other in others)


def _closer_name(sheet: _Sheet, start: int, end: int) -> str | None:
    """Give a part with the plain words before it ("pedal springs"); None where there are none."""
    first = start
    while first > 0 and sheet.is_free(first - 1, first) and sheet.pieces[first - 1].kind == "word":
        if sheet.low(first - 1) in _NO_NAME or _is_cue(sheet, first - 1):
            break
        first -= 1
    if first == start:
        return None
    lows = [sheet.low(n) for n in range(first, end)]
    return " ".join([*lows[:-1], singular(lows[-1])])


def _machine_among(named: Sequence[_Named], sheet: _Sheet, question: Question) -> _Named | None:
    """Give the name that is the machine's: a name of parts too is one only where another part is named."""
    able = [n for n in named if n.machines]
    if not able:
        return None
    sure = [n for n in able if not n.is_part]
    if sure:
        return sure[0]
    others = [n for n in named if not n.machines]
    if others or len(able) > 1:
        return next((n for n in able if sheet.low(n.start - 1) in ("on", "in", "them", "the", "our")), able[-1])
    asks_of_part = bool(
        question.conditions or question.actions or question.kind in ("storage", "measurement", "caution", "tip")
    )
    return None if asks_of_part and sheet.low(able[0].start - 1) not in ("on", "the") else able[0]


def _bearer(parts: Sequence[_Named], sheet: _Sheet) -> _Named:
    """Give the part that the condition is said of: the one right behind it, else the first."""
    for part in parts:
        if part.start - 1 in sheet.taken and not any(p.end == part.start for p in parts):
            before = part.start - 1
            if any(m.label == "condition" for m in sheet.found.get(before, ())):
                return part
    return parts[0]


def _unlisted(sheet: _Sheet, question: Question) -> Question:
    """Take the plain words beside a condition for the part, when no list holds it."""
    if not (question.conditions or question.actions) or question.conditions == ("not inspected",):
        return question
    free = [
        n
        for n, p in enumerate(sheet.pieces)
        if n not in sheet.taken and p.kind == "word" and p.low not in _NO_NAME and not _is_cue(sheet, n)
    ]
    if not 0 < len(free) <= 3 or free[-1] - free[0] >= len(free) or question.machines:
        return question
    lows = [sheet.low(n) for n in free]
    sheet.take(free[0], free[-1] + 1)
    return replace(question, component=" ".join([*lows[:-1], singular(lows[-1])]))


def _is_cue(sheet: _Sheet, at: int) -> bool:
    """Tell whether a word denies, doubts or weighs, and asks for nothing by itself."""
    if sheet.low(at) in (*said_words.NOT, *said_words.MAYBE):
        return True
    return any(
        m.start <= at < m.end and m.label.split(".")[0] in ("negation", "hedge", "degree", "near_none")
        for start in range(max(0, at - 3), at + 1)
        for m in sheet.found.get(start, ())
        if m.end - m.start == 1 or sheet.is_free(m.start, m.end)
    )


def _polarity(sheet: _Sheet, question: Question) -> Question:
    if not question.conditions or question.conditions == ("not inspected",):
        return question
    lows = [p.low for p in sheet.pieces]
    if any(w in lows for w in said_words.NOT):
        return replace(question, presences=("absent",))
    if any(w in lows for w in said_words.MAYBE):
        return replace(question, presences=("possible",))
    return question


def _position(sheet: _Sheet, question: Question) -> Question:
    if question.kind not in (None, "finding", "measurement", "disposition"):
        return question
    found = said_words.POSITION.search(sheet.text())
    if found is None or "|" in found[0]:
        return question
    sheet.take_words(found)
    return replace(question, position=found[1])


def _settle(question: Question) -> Question:
    """Decide which kind of entry answers."""
    kind = question.kind
    if question.place is not None:
        kind = "storage"
    elif kind is None and question.conditions:
        kind = "finding"
    elif kind is None and question.quantity:
        kind = "measurement"
    elif kind is None and question.component and question.asks == "where":
        kind = "storage"
    elif kind is None and question.component:
        kind = "finding"
    elif kind is None and (question.has_jobs_said or _asks_for_jobs(question)):
        kind = "jobs"
    return replace(question, kind=kind)


def _asks_for_jobs(question: Question) -> bool:
    return question.asks in ("how many", "when last", "when first") and not question.words
