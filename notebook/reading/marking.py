"""Marks: how a thing sat, for the way back, and what must go back where it came from.

In: clauses of a remark. Out: marks, with the words as said. The patterns are data (marks.toml), each with a name and an example.
Never takes a verdict or a size for a mark: the words of a clause are read between its conditions and amounts.

Examples: "chamfer to the engine", "dot on the pinion meets the centre pop", "keep each rod with its own eccentric".
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from notebook.entries import Mark
from notebook.reading.clause import FACT, FUTURE, INSTRUCTION, WARNING, Clause
from notebook.reading.mark_parts import marked_part
from notebook.reading.state import State
from notebook.reading.word_files import read_toml

_MAY_TELL = frozenset({FACT, WARNING, INSTRUCTION, FUTURE})
_CLITIC = re.compile(r" (?='|n't)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """The pattern by which a clause says how something sat."""

    name: str
    is_part_after: bool
    start: int
    """Chunks [start, end) of the clause that hold the words of the pattern."""
    end: int


@cache
def _patterns() -> tuple[list[tuple[str, bool, re.Pattern[str]]], list[re.Pattern[str]]]:
    rules = read_toml("marks.toml")
    words: dict[str, str] = rules["words"]

    def fill(text: str) -> re.Pattern[str]:
        return re.compile(re.sub(r"\{([a-z_]+)\}", lambda found: words[found[1]], text))

    marks = [(row["name"], row.get("part") == "after", fill(row["pattern"])) for row in rules["mark"]]
    return marks, [fill(row["pattern"]) for row in rules["not_mark"]]


def is_mark(clause: Clause) -> str | None:
    """Give the name of the pattern by which a clause says how something sat; None when it does not."""
    sign = find_sign(clause)
    return sign.name if sign is not None else None


def plain_words(clause: Clause) -> str:
    """Give the words of a clause with its clitics joined ("it's"), for patterns."""
    return _CLITIC.sub("", clause.low)


def find_sign(clause: Clause) -> Sign | None:
    """Find the first pattern in a clause, between its conditions and amounts."""
    marks, others = _patterns()
    whole = plain_words(clause)
    if any(pattern.search(whole) for pattern in others):
        return None
    for first, last in _stretches(clause):
        text, places = _lay_out(clause, first, last)
        for name, is_part_after, pattern in marks:
            found = pattern.search(text)
            if found is None or (name in _PLAIN_PLACES and _is_place_of_fault(clause, last)):
                continue
            if clause.mood == WARNING and name == "side towards":
                continue
            at = [n for n, start in places if start <= found.start()]
            to = [n for n, start in places if start < found.end()]
            return Sign(
                name=name, is_part_after=is_part_after, start=at[-1] if at else first, end=(to[-1] if to else first) + 1
            )  # fmt: skip
    return None


_PLAIN_PLACES = frozenset({"shim or washer somewhere", "sign somewhere", "threads or turns"})
"""Patterns that only say where something is."""


def _is_place_of_fault(clause: Clause, last: int) -> bool:
    """ "The one behind the oiler's been rounded", "two at each end perished": where the faulty one is."""
    return last < len(clause.chunks) or any(label.startswith("hedge") for label, _, _ in clause.cues)


def _stretches(clause: Clause) -> list[tuple[int, int]]:
    """Give chunks [first, last) of a clause between what tells its state or size."""
    out: list[tuple[int, int]] = []
    first = 0
    for n, chunk in enumerate(clause.chunks):
        is_size = chunk.kind == "amount" and chunk.amount is not None and chunk.amount.unit is not None
        is_verdict = chunk.kind == "condition" and not (set(chunk.low.split()) & _SAY_WHERE)
        if is_size or is_verdict:
            out.append((first, n))
            first = n + 1
    out.append((first, len(clause.chunks)))
    return [(a, b) for a, b in out if b > a]


_SAY_WHERE = frozenset(
    "facing faces face sat sits lines goes flush proud hooked dished flat spigot step open closed stamped marked split painted".split()
)
"""Words that tell a state elsewhere and a place in a mark: "open side out", "sat flush with"."""


def _lay_out(clause: Clause, first: int, last: int) -> tuple[str, list[tuple[int, int]]]:
    text, places = "", []
    for n in range(first, last):
        low = _CLITIC.sub("", clause.chunks[n].low)
        if text and not low.startswith(("'", "n't")):
            text += " "
        places.append((n, len(text)))
        text += low
    return text, places


def read_marks(clauses: Sequence[Clause], state: State) -> list[Mark]:
    """Give how things sat, for the way back."""
    signs = [find_sign(c) if c.mood in _MAY_TELL and not _is_put_away(c) else None for c in clauses]
    found: list[Mark] = []
    n = 0
    while n < len(clauses):
        sign = signs[n]
        if sign is None:
            n += 1
            continue
        first, last = _reach(clauses, signs, n)
        component, count = marked_part(clauses, n, sign.start, sign.end, state, is_part_after=sign.is_part_after)
        span = state.span(clauses[first].start, clauses[last].end)
        text = state.words(clauses[first].start, clauses[last].end)
        found.append(Mark(component=component, text=text, count=count, span=span, cue=sign.name, rule="mark"))
        n = last + 1
    return found


def _is_put_away(clause: Clause) -> bool:
    """ "They're in the egg box", "bag 3": a place to keep things is no place on the machine."""
    chunks = clause.chunks
    return any(
        c.is_part and c.container and c.name and not c.is_known and (n == 0 or chunks[n - 1].low in ("in", "into", "on"))
        for n, c in enumerate(chunks)
    )  # fmt: skip


def _reach(clauses: Sequence[Clause], signs: Sequence[Sign | None], n: int) -> tuple[int, int]:
    """Give the clauses one mark covers: what it is of, said before it, and what goes on from it."""
    first, last = n, n
    while (
        first
        and clauses[first - 1].sentence == clauses[n].sentence
        and first > n - 2
        and _leads_to(clauses, first, signs)
    ):
        first -= 1
    while (further := _further(clauses, signs, last)) is not None:
        last = further
    return first, last


def _further(clauses: Sequence[Clause], signs: Sequence[Sign | None], last: int) -> int | None:
    """Give the clause a mark goes on to: the next, or the one behind a small clause without a fact ("bar the pair at the split")."""
    for nxt in (last + 1, last + 2):
        if nxt >= len(clauses) or clauses[nxt].sentence != clauses[last].sentence:
            return None
        if _goes_on(clauses[nxt], signs[nxt]):
            return nxt
        if (
            signs[nxt] is not None
            or _has_fact(clauses[nxt])
            or clauses[nxt].chunks[0].low not in ("bar", "except", "but", "apart")
        ):
            return None
    return None


def _leads_to(clauses: Sequence[Clause], n: int, signs: Sequence[Sign | None]) -> bool:
    """ "There were two brass washers below, | hollow sides facing each other": a clause with no fact of its own leads to the mark."""
    before, clause = clauses[n - 1], clauses[n]
    if before.mood not in _MAY_TELL or _has_fact(before) or signs[n - 1] is not None or len(before.chunks) > 8:
        return False
    is_joined = clause.joiner in ("so", "that", "where", "how", ",", "", "and") and any(
        c.is_part and c.name for c in before.chunks
    )
    return is_joined or len(before.chunks) <= 2


_TOLD_APART = frozenset({"off", "out", "apart"})


def _has_fact(clause: Clause) -> bool:
    return any(
        c.kind in ("condition", "amount", "thread") or (c.low in _TOLD_APART and c.kind == "particle")
        for c in clause.chunks
    )


def _goes_on(clause: Clause, sign: Sign | None) -> bool:
    if sign is not None:
        return not any(c.is_part and c.is_known and c.name for c in clause.chunks[: sign.start])
    if (
        _has_fact(clause)
        or clause.mood not in _MAY_TELL
        or any(w in clause.low for w in ("photo", "picture", "shot of"))
    ):
        return False
    if _is_put_away(clause):
        return False
    return clause.joiner in ("so", "where", "how", "that", "which") or (
        len(clause.chunks) <= 4
        and clause.joiner in (",", "and")
        and not any(c.kind == "particle" for c in clause.chunks)
    )
