"""Cautions and tips: what is said for others, with the words as said.

In: clauses of a remark with their moods. Out: those entries, each from where it begins to where its sentence turns.
Never reads a finding; a reason that is told with a warning is still read for itself.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import Caution, Entry, Tip
from notebook.reading.advice import names_photo, pattern
from notebook.reading.clause import FACT, HYPOTHETICAL, INSTRUCTION, WARNING, Clause
from notebook.reading.state import State

_JOINED = frozenset(
    [
        "or",
        "and",
        "because",
        "cause",
        "cos",
        "so",
        "that",
        "how",
        "where",
        "if",
        "when",
        "till",
        "until",
        "otherwise",
        "then",
        "",
    ]
)


def read_cautions_and_tips(clauses: Sequence[Clause], state: State) -> list[Entry]:
    """Give cautions and tips with their words."""
    found: list[Entry] = []
    n = 0
    while n < len(clauses):
        mood = clauses[n].mood
        if mood not in (WARNING, INSTRUCTION):
            n += 1
            continue
        first, last = _reach(clauses, n)
        for covered in clauses[first : last + 1]:
            covered.mood = mood if covered.mood == FACT else covered.mood
        if mood == WARNING:
            last = _with_reason(clauses, last)
        span = state.span(clauses[first].start, clauses[last].end)
        topic, text = _topic(clauses[first : last + 1], state), state.words(clauses[first].start, clauses[last].end)
        cue = clauses[n].chunks[0].low
        if mood == WARNING:
            found.append(Caution(topic=topic, text=text, span=span, cue=cue, rule="caution"))
        else:
            found.append(Tip(topic=topic, text=text, span=span, cue=cue, rule="tip"))
        n = last + 1
    return found


def _reach(clauses: Sequence[Clause], n: int) -> tuple[int, int]:
    """Give the clauses one piece of advice covers: its "or you'll", its "if you", and what goes on from it."""
    first, last = n, n
    mood = clauses[n].mood
    if n and mood == WARNING and _is_same_breath(clauses, n) and clauses[n].joiner == "or":
        first = n - 1
    while last + 1 < len(clauses) and _goes_on(clauses, last, mood):
        last += 1
    if first and _is_same_breath(clauses, first) and clauses[first - 1].cue == "if":
        first -= 1
    return first, last


def _is_same_breath(clauses: Sequence[Clause], n: int) -> bool:
    return clauses[n - 1].sentence == clauses[n].sentence


def _has_amount(clause: Clause) -> bool:
    return any(c.kind == "amount" for c in clause.chunks)


def _goes_on(clauses: Sequence[Clause], last: int, mood: str) -> bool:
    nxt = clauses[last + 1]
    if nxt.sentence != clauses[last].sentence or names_photo([nxt.low]):
        return False
    if nxt.mood == mood:
        return True
    if nxt.mood == INSTRUCTION and nxt.joiner in ("and", "then", "", "so", "or"):
        return True
    if nxt.mood in (WARNING, INSTRUCTION) or nxt.joiner == "but":
        return False
    if mood == INSTRUCTION:
        return not any(c.kind == "amount" and c.amount and c.amount.dimension == "torque" for c in nxt.chunks)
    return not _has_amount(nxt) and (nxt.joiner in _JOINED or nxt.chunks[0].pronoun in ("it", "they", "that", "you"))


def _with_reason(clauses: Sequence[Clause], last: int) -> int:
    """Take in what follows a warning in its sentence and may be its reason: "..., they snap if you look at them"."""
    while last + 1 < len(clauses) and clauses[last + 1].sentence == clauses[last].sentence:
        clause = clauses[last + 1]
        if (
            clause.joiner == "but" or _has_amount(clause) or pattern("photo", "cue").search(clause.low)
            or clause.mood not in (FACT, WARNING, HYPOTHETICAL)
        ):  # fmt: skip
            break
        last += 1
    return last


def _topic(clauses: Sequence[Clause], state: State) -> str | None:
    for clause in clauses:
        for chunk in clause.chunks:
            if chunk.is_part and chunk.name and not chunk.is_unspecific and not chunk.tool and not chunk.container:
                return chunk.name
    return state.focus.bearer.component if state.focus.bearer else None
