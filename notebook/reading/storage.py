"""Where what came off was put: "in bag three", "on the sill", with what lies there.

In: clauses of a remark. Out: storage entries. Never takes a place on the machine ("on the cases", "in the rocker box") for
a place to keep things, nor a container that is spoken of ("the box is cracked").
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from notebook.entries import Storage
from notebook.reading.bearers import resolve
from notebook.reading.clause import FACT, INSTRUCTION, WARNING, Clause
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_INTO = frozenset("in into on onto under beside by inside intae".split())
_PUT = frozenset(
    "put hung left stored laid stashed stuck sat bagged popped dropped tucked chucked set shoved parked placed stowed boxed kept keep".split()
)
_LIES = frozenset("goes go going gone is are 're 's lives living live sits sitting they them all both".split())
_LOOSE = frozenset(
    "bench floor wall van vice rag shop lid hook box case cup pan bowl boot board cloth barrow pallet sill windowsill ledge freezer fridge peg cap jug pot bucket rack".split()
)
"""Containers that are other things as well: only where something is put there, or with a name of their own ("egg box")."""
_HARDLY = frozenset("bench floor vice wall pan".split())
_NEVER = frozenset("bin biscuit margarine sandwich cardboard case bagged".split())
"""No place by themselves: a bin is for scrap, a biscuit is no tin."""
_LEADING_CLASSES = frozenset({"adjective", "position", "determiner", "possessive", "preposition"})
_SMALL = frozenset("the a an my our that this his her old wee little one of some".split())
_NOT_BEFORE_CAN = frozenset("it that this they there you we i he she them these those one".split())
_REACH = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place to keep things over pieces [start, end)."""

    text: str
    start: int
    end: int


def read_storage(clauses: Sequence[Clause], state: State) -> list[Storage]:
    """Give where things were put."""
    found: list[Storage] = []
    for n, clause in enumerate(clauses):
        if clause.mood not in (FACT, INSTRUCTION, WARNING):
            continue
        after = clause.start
        for place in _places(clause, state):
            contents = tuple(_contents(clauses, n, after, place, state))
            span = state.span(clause.start, place.end)
            found.append(Storage(place=place.text, contents=contents, span=span, cue=place.text, rule="storage"))
            after = place.end
    return found


def _places(clause: Clause, state: State) -> Iterator[Place]:
    """Give the places said in a clause, in order."""
    at = clause.start
    last: Place | None = None
    while at < clause.end:
        place = _place_at(clause, at, state)
        if place is not None and not (last and last.end == place.start):
            yield place
        last, at = place or last, place.end if place is not None else at + 1


def _place_at(clause: Clause, at: int, state: State) -> Place | None:
    pieces = state.tidied.pieces
    low = singular(pieces[at].low)
    following = pieces[at + 1] if at + 1 < len(pieces) else None
    if pieces[at].kind != "word" or low not in state.lexicon.containers:
        return None
    if low == "can" and (
        pieces[at - 1].low in _NOT_BEFORE_CAN or (at + 1 < clause.end and following and following.low not in _INTO)
    ):
        return None  # "the seal in there can go"
    number = _number(clause, at, state)
    if number is not None:
        return (
            None
            if low in _LOOSE or _is_told_otherwise(clause, at)
            else Place(text=f"{low} {number[0]}", start=at, end=number[1])
        )
    if (
        following is not None
        and following.kind == "word"
        and at + 1 < clause.end
        and state.lexicon.word_classes(following.low) == {"noun"}
    ):
        return None  # "cup washer", "box spanner"
    lead = next((n for n in range(at - 1, max(clause.start, at - _REACH) - 1, -1) if pieces[n].low in _INTO), None)
    lead = _goes_to(clause, at, state) if lead is None else lead
    if lead is None:
        return None
    words = [pieces[n].low for n in range(lead + 1, at + 1) if pieces[n].low not in _SMALL]
    if len(words) == 1 and low in _NEVER:
        return None
    if not _is_kept(clause, lead, at, words, low, state):
        return None
    end, tail = _tail(clause, at + 1, state)
    return Place(text=" ".join([*words, *tail]), start=lead, end=end)


def _goes_to(clause: Clause, at: int, state: State) -> int | None:
    """ "The bolts are gone to the margarine tub"."""
    pieces = state.tidied.pieces
    for n in range(at - 1, max(clause.start, at - _REACH) - 1, -1):
        if pieces[n].low == "to":
            return n if pieces[n - 1].low in ("gone", "went", "moved", "off") and n > clause.start else None
    return None


def _number(clause: Clause, at: int, state: State) -> tuple[str, int] | None:
    """Read the name of "bag 3", "tray number 2", "bag B 3"."""
    pieces = state.tidied.pieces
    lows = [p.low for p in pieces]
    n = at + 1 + (at + 1 < len(lows) and lows[at + 1] in ("number", "no.", "no"))
    letter = ""
    if n + 1 < len(pieces) and len(lows[n]) == 1 and lows[n].isalpha() and pieces[n + 1].kind == "number":
        letter, n = lows[n].upper(), n + 1
    if n < min(len(pieces), clause.end + 1) and pieces[n].kind == "number" and (value := pieces[n].value) is not None:
        return (f"{letter}{int(value)}", n + 1) if value.denominator == 1 and value > 0 else None
    return None


def _is_told_otherwise(clause: Clause, at: int) -> bool:
    """ "Label says tray six": what is written, not where it is."""
    return any(c.low in ("says", "said", "label", "reads") for c in clause.chunks if c.start < at)


def _is_kept(clause: Clause, lead: int, at: int, words: Sequence[str], head: str, state: State) -> bool:
    """Tell a place to keep things from a part of the machine and from a figure of speech."""
    before = {w for c in clause.chunks if c.start < lead for w in c.low.split()}
    last = next((c for c in reversed(clause.chunks) if c.end <= lead and (c.is_part or c.kind == "condition")), None)
    if last is not None and last.kind == "condition" and last.tag != "noun":
        return False
    chunk = next((c for c in clause.chunks if c.start <= at < c.end), None)
    is_part = chunk is not None and chunk.is_known and len(words) > 1 and tuple(words) in state.lexicon.components
    if is_part or before & {"wrote", "written", "drawn", "says"}:
        return False
    verbs = {c.low for c in clause.chunks if c.start < lead and c.kind in ("verb", "aux")}
    if head in _LOOSE and len(words) == 1:
        return bool(before & (_PUT if head in _HARDLY else _PUT | {"they", "'re", "are", "goes", "go", "going"}))
    return (not verbs and head not in _LOOSE) or bool(before & (_PUT | _LIES))


def _tail(clause: Clause, at: int, state: State) -> tuple[int, list[str]]:
    """Give the end of a place and what says which it is: "on the sill", "by the kettle", ", top shelf"."""
    pieces = state.tidied.pieces
    words: list[str] = []
    end = at
    if at < clause.end and pieces[at].low in ("on", "by", "under", "beside", "behind", "in", "next", "of", "with"):
        if pieces[at].low == "with":
            return at, []
        n = at
        while n < clause.end and pieces[n].kind == "word" and n < at + 4:
            words.append(pieces[n].low)
            n += 1
            if not state.lexicon.word_classes(pieces[n - 1].low) & _LEADING_CLASSES:
                break
        end = n
    return end, words


def _contents(clauses: Sequence[Clause], n: int, after: int, place: Place, state: State) -> list[str]:
    """Give what lies there: named before the place, else behind it, else what was spoken of."""
    clause = clauses[n]
    before = [c for c in clause.chunks if after <= c.start < place.start and c.end <= place.start]
    found = [_content(c, state) for c in before if _may_lie(c)]
    if found and n and clause.joiner == "and" and _is_bare(clauses[n - 1]) and after == clause.start:
        found.insert(0, _content(clauses[n - 1].chunks[0], state))  # "springs | and shoes are in tray 4"
    if not found:
        following = clauses[n + 1].chunks if n + 1 < len(clauses) else []
        behind = [c for c in (*clause.chunks, *following) if c.start >= place.end]
        found = [_content(c, state) for c in behind if _may_lie(c) and c.name] if place.start == clause.start else []
    if not found and state.focus.bearer and state.focus.bearer.component:
        found = [state.focus.bearer.component]
    return [c for c in found if c]


def _is_bare(clause: Clause) -> bool:
    return len(clause.chunks) == 1 and _may_lie(clause.chunks[0]) and clause.chunks[0].name is not None


def _may_lie(chunk: Chunk) -> bool:
    return chunk.is_part and chunk.pronoun not in ("i", "you", "we") and not chunk.container


def _content(chunk: Chunk, state: State) -> str | None:
    if chunk.name and not chunk.is_unspecific:
        return " ".join(w for w in chunk.low.split() if w not in ("the", "a", "an", "my", "all", "both"))
    bearer = resolve(chunk, state.focus)
    return bearer.component if bearer else None
