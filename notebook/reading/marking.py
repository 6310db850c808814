"""Marks: how a thing sat, for the way back, and what must go back where it came from.

In: clauses of a remark. Out: marks, with the words as said.
The patterns are data (marks.toml), each with a name and an example.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from notebook.entries import Mark
from notebook.reading.clause import FACT, FUTURE, INSTRUCTION, WARNING, Clause
from notebook.reading.sheets import Chunk
from notebook.reading.state import State
from notebook.reading.word_files import read_toml


@cache
def _patterns() -> tuple[list[tuple[str, re.Pattern[str]]], list[re.Pattern[str]]]:
    rules = read_toml("marks.toml")
    return (
        [(row["name"], re.compile(row["pattern"])) for row in rules["mark"]],
        [re.compile(row["pattern"]) for row in rules["not_mark"]],
    )


def is_mark(clause: Clause) -> str | None:
    """Give the name of the pattern by which a clause says how something sat; None when it does not."""
    text = plain_words(clause)
    marks, others = _patterns()
    found = next((name for name, pattern in marks if pattern.search(text)), None)
    if found is None or any(pattern.search(text) for pattern in others):
        return None
    return found


def plain_words(clause: Clause) -> str:
    """Give the words of a clause with its clitics joined ("it's"), for patterns."""
    return re.sub(r" (?='|n't)", "", clause.low)


def read_marks(clauses: Sequence[Clause], state: State) -> list[Mark]:
    """Give how things sat, for the way back."""
    found: list[Mark] = []
    n = 0
    while n < len(clauses):
        clause = clauses[n]
        name = (
            is_mark(clause) if clause.mood in (FACT, WARNING, INSTRUCTION, FUTURE) and not _is_other(clause) else None
        )
        if name is None:
            n += 1
            continue
        first, last = _reach(clauses, n)
        component, count = _marked_part(clauses[first : last + 1], state)
        start, end = clauses[first].start, clauses[last].end
        found.append(
            Mark(
                component=component,
                text=state.words(start, end),
                count=count,
                span=state.span(start, end),
                cue=name,
                rule="mark",
            )
        )
        n = last + 1
    return found


def _is_other(clause: Clause) -> bool:
    """A clause that gives a condition, an amount or a place to keep things is read as that."""
    if any(c.kind == "amount" and c.amount and c.amount.unit for c in clause.chunks):
        return True
    if any(c.container and c.name for c in clause.chunks if c.is_part) and any(
        c.low in ("in", "into", "on") for c in clause.chunks
    ):
        return True
    return any(c.kind == "condition" for c in clause.chunks) and not any(
        c.low in ("facing", "faces", "sat", "sits", "lines", "goes") for c in clause.chunks
    )


def _reach(clauses: Sequence[Clause], n: int) -> tuple[int, int]:
    """Give the clauses that one mark covers: what it is about before it, and its second half after it."""
    first, last = n, n
    clause = clauses[n]
    before = clauses[n - 1] if n else None
    if (
        before is not None
        and before.sentence == clause.sentence
        and before.mood in (FACT, WARNING, INSTRUCTION)
        and not _has_fact(before)
        and (
            clause.joiner in ("so", "that", "where", "how")
            or len(before.chunks) <= 2
            or clause.chunks[0].kind in ("verb", "preposition")
        )
    ):
        first = n - 1
    while last + 1 < len(clauses) and clauses[last + 1].sentence == clause.sentence and _goes_on(clauses[last + 1]):
        last += 1
    return first, last


def _has_fact(clause: Clause) -> bool:
    return any(c.kind in ("condition", "amount", "thread") or c.low in ("off", "out") for c in clause.chunks)


def _goes_on(clause: Clause) -> bool:
    if any(c.kind in ("condition", "thread", "amount") for c in clause.chunks) or any(
        w in clause.low for w in ("photo", "picture", "shot of")
    ):
        return False
    return (
        is_mark(clause) is not None
        or clause.joiner in ("so", "where", "how", "that", "which")
        or (
            len(clause.chunks) <= 4
            and clause.joiner in (",", "and")
            and not any(c.kind in ("particle",) for c in clause.chunks)
        )
    )


_SIGNS = frozenset(
    "dot dots mark arrow notch line dab pop chamfer stripe paint punch writing number letter hook lip side end edge way gap groove face red white black blue green thread turn hole tooth slot order lick dimple facing step eye join chamfered scribe".split()
)


def _marked_part(clauses: Sequence[Clause], state: State) -> tuple[str | None, int | None]:
    """Give what the mark is about: the first part named in it that is no sign itself, else what was spoken of."""
    for clause in clauses:
        for chunk in clause.chunks:
            if _names_part(chunk):
                return chunk.name, chunk.count
    bearer = state.focus.bearer
    return (bearer.component if bearer else None), None


def _names_part(chunk: Chunk) -> bool:
    if not chunk.is_part or not chunk.name or chunk.is_unspecific or chunk.container or chunk.quantity:
        return False
    return chunk.name.split()[-1] not in _SIGNS
