"""Sets of fasteners as they are named: how many, which thread and head, how long, and what they hold.

In: clauses with their subjects. Out: `FastenerSet`s in the order said. Never says how they came (fastener_states does).

Examples: "eight M6 countersunk screws in the plate", "four head nuts, | half inch Whitworth", "M8s by 40, | thirteen heads".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from notebook.reading.bearers import resolve
from notebook.reading.clause import Clause
from notebook.reading.drivers import driver_at, head_size_at, size_text
from notebook.reading.fastener_states import STATES
from notebook.reading.focus import Bearer
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk
from notebook.reading.state import State


@dataclass(slots=True)
class FastenerSet:
    """A set of fasteners, or some of a set."""

    component: str | None = None
    position: str | None = None
    count: int | None = None
    thread: str | None = None
    form: str | None = None
    length: Decimal | None = None
    driver: str | None = None
    state: list[str] = field(default_factory=list)
    heat: bool | None = None
    start: int = 0
    end: int = 0
    is_share: bool = False
    is_partial: bool = False
    """Named as some of a set: "four of the five bolts"."""

    @property
    def says_enough(self) -> bool:
        """Tell whether more is said than that there are such fasteners."""
        is_counted = self.count is not None and not self.is_partial and self.form not in _OFTEN_MARKS
        is_told = self.state or self.driver or self.heat is not None or self.thread
        return bool(is_told) if self.is_share else bool(is_counted or is_told) and bool(self.form or self.thread)


_OFTEN_MARKS = frozenset({"washer", "dowel", "key"})
"""A number of these alone tells how they sat."""


def name_sets(clause: Clause, subject: Bearer | None, sets: list[FastenerSet], state: State) -> None:
    """Add the sets a clause names, and the sizes and drivers it tells of them."""
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind == "thread":
            _name_thread(clause, at, chunk, subject, sets, state)
        elif chunk.is_part and chunk.fastener:
            _name_form_at(clause, at, chunk, subject, sets, state)
        elif chunk.kind == "number" and sets and _is_how_many(clause.chunks, at):
            sets[-1].count = sets[-1].count or int(chunk.value or 0) or None
        elif chunk.kind == "amount" and sets and _is_length(clause.chunks, at):
            sets[-1].length = sets[-1].length or _length_mm(chunk)
    for at, chunk in enumerate(clause.chunks):
        driver = driver_at(clause.chunks, at) or head_size_at(clause, at)
        if driver is not None and sets and sets[-1].driver is None:
            sets[-1].driver = driver
            sets[-1].end = max(sets[-1].end, chunk.end)


def _is_how_many(chunks: Sequence[Chunk], at: int) -> bool:
    """ "..., there's two", "four of them", "twelve off": how many were named before."""
    last = chunks[-1]
    is_alone = at == len(chunks) - 1 and all(c.low in ("there", "'s", "is", "are") for c in chunks[:at])
    return is_alone or (at == 0 and len(chunks) <= 2 and last.low in ("off",))


def _is_length(chunks: Sequence[Chunk], at: int) -> bool:
    return at + 1 < len(chunks) and chunks[at + 1].low == "long"


def _length_mm(chunk: Chunk) -> Decimal | None:
    amount = chunk.amount
    if amount is None or amount.value is None or amount.unit not in ("mm", "in"):
        return None
    scale = Decimal("25.4") if amount.unit == "in" else Decimal(1)
    return Decimal(amount.value.numerator) / Decimal(amount.value.denominator) * scale


def _name_thread(
    clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, sets: list[FastenerSet], state: State
) -> None:
    is_same = sets and sets[-1].thread is None and (sets[-1].end == chunk.start or _says_more(clause, at))
    if is_same:
        named = sets[-1]
    else:
        named = _new(clause, at, chunk, subject, sets, state)
        named.count = _count_before(clause.chunks, at)
    named.thread = chunk.thread
    named.length = Decimal(int(chunk.length_mm)) if chunk.length_mm is not None else named.length
    named.end = chunk.end


def _says_more(clause: Clause, at: int) -> bool:
    """ "Four head nuts, | half inch Whitworth": a bare thread says more of the set just named."""
    return _count_before(clause.chunks, at) is None and all(
        c.kind in ("adverb", "aux", "preposition", "determiner", "number")
        or c.pronoun in ("they", "it", "all")
        or c.fastener
        for c in clause.chunks[:at]
    )


def _name_form_at(
    clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, sets: list[FastenerSet], state: State
) -> None:
    chunks = clause.chunks
    if chunk.fastener == "washer" and sets and chunk.count is None:
        return  # "inch and an eighth BSF with a tab washer": it goes with what was named
    if sets and sets[-1].form is None and sets[-1].end == chunk.start:
        _name_form(sets[-1], chunk)  # a clause was cut between "four M8" and "hexagon bolts"
        return
    before = _told_just_before(chunks, at)
    if before is not None and before.kind == "thread" and sets:
        _name_form(sets[-1], chunk)
        return
    named = _new(clause, at, chunk, subject, sets, state)
    named.count, named.is_partial = chunk.count, chunk.of is not None
    _name_form(named, chunk)
    if before is not None and before.kind == "amount" and not before.low.endswith(("n·m", "lbf·ft")):
        # "eight 10 mm bolts": a size before a bolt is its head when it is no thread
        named.count = chunk.count or _count_before(chunks, chunks.index(before))
        size = size_text(before)
        named.driver = f"{size} socket" if size else None


_SMALL = frozenset({"adjective", "determiner", "adverb"})


def _told_just_before(chunks: Sequence[Chunk], at: int) -> Chunk | None:
    """Give the thread or size before a name of a form, over adjectives: "four M8 | plated | hexagon bolts"."""
    n = at - 1
    while n >= 0 and chunks[n].kind in _SMALL:
        n -= 1
    return chunks[n] if n >= 0 and chunks[n].kind in ("thread", "amount") else None


def _new(
    clause: Clause, at: int, chunk: Chunk, subject: Bearer | None, sets: list[FastenerSet], state: State
) -> FastenerSet:
    component = _held(clause, at, subject, state)
    named = FastenerSet(component=component, position=chunk.position, start=chunk.start, end=chunk.end)
    sets.append(named)
    return named


def _name_form(named: FastenerSet, chunk: Chunk) -> None:
    named.form = chunk.fastener
    named.end = chunk.end
    prefix = chunk.tag if chunk.tag not in ("N", "O", "Q") else ""
    if prefix:
        words = prefix.split()
        named.component = " ".join([*words[:-1], singular(words[-1])])
    if chunk.fastener == "plug" and chunk.name:
        named.component = chunk.name
    elif chunk.owner:
        named.component = chunk.owner
    elif not prefix and named.component is None and chunk.name and " " in chunk.name:
        named.component = " ".join(chunk.name.split()[:-1])
    named.state.extend(STATES[c.term] for c, _ in chunk.attributes or () if c.term in STATES)


def _count_before(chunks: Sequence[Chunk], at: int) -> int | None:
    if at == 0:
        return None
    before = chunks[at - 1]
    if before.kind == "number" and before.value is not None and before.value.denominator == 1:
        return int(before.value)
    if before.is_part and (before.name is None or before.name in ("pair", "couple")) and before.count is not None:
        return before.count
    if before.low in ("pair", "pair of", "couple", "couple of", "a pair", "a pair of") or (
        before.low == "of" and at >= 2 and "pair" in chunks[at - 2].low.split()
    ):
        return 2
    is_passed = (before.kind == "sign" and before.low == "off") or before.kind in ("adjective", "determiner")
    return _count_before(chunks, at - 1) if is_passed and at >= 2 else None


_LEADS = frozenset("in on of round around holding hold holds for through into held securing off from".split())


def _held(clause: Clause, at: int, subject: Bearer | None, state: State) -> str | None:
    """Give what the fastener holds: "in the sump plate", "cover's on ...", else what was spoken of."""
    chunks = clause.chunks
    for i in range(at + 1, min(at + 6, len(chunks) - 1)):
        if chunks[i].low not in _LEADS or not chunks[i + 1].is_part:
            continue
        part = chunks[i + 1]
        if (
            part.pronoun == "place"
            and i + 3 < len(chunks)
            and chunks[i + 2].low in ("of", "on")
            and chunks[i + 3].is_part
        ):
            part = chunks[i + 3]
        if part.container or part.tool or part.fastener or part.is_unspecific:
            continue
        bearer = resolve(part, state.focus)
        if bearer and bearer.component:
            return bearer.component
    if subject is not None and subject.component and subject.fastener is None:
        return subject.component
    tools = state.lexicon.tools
    return next(
        (b.component for b in reversed(state.focus.named) if b.fastener is None and b.component and (b.component.split()[-1],) not in tools),
        None,
    )  # fmt: skip
