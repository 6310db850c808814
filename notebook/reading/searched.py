"""What was looked for and not found: "checked it for cracks, none", "looked for pitting on the race and there wasn't any".

In: the clauses of a remark as they are read. Out: findings that are absent.
Never reads what was found: a fault that is there is said with words of its own.
"""

from __future__ import annotations

from notebook.entries import Finding
from notebook.reading.bearers import part_after, resolve
from notebook.reading.clause import Clause
from notebook.reading.condition_bearers import ON_PART
from notebook.reading.focus import Bearer
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_SEARCHES = frozenset(
    (
        "look looked looking check checked checking inspect inspected inspecting search searched searching feel felt feeling "
        "test tested testing examine examined hunt hunted hunting watch watched listen listened went over dye dyed"
    ).split()
)
_FOUND_NONE = (
    "none", "nothing", "nowt", "not any", "isn't any", "wasn't any", "weren't any", "is none", "was none", "no", "nope", "not a", "not one", "all clear", "clean", "came up clean", "found none",
    "found nothing", "couldn't find", "couldn't find any", "can't find any", "can't see any", "couldn't see any", "not a sign", "drew a blank", "didn't find any", "never found",
)  # fmt: skip
_FEW_WORDS = 7
"""A longer answer speaks of something else."""


def find_none(clause: Clause, before: Clause | None, state: State, subject: Bearer | None) -> list[Finding]:
    """Give the absent findings of a clause that says nothing was found of what the clause before it looked for."""
    if before is None or before.sentence not in (clause.sentence, clause.sentence - 1):
        return []
    sought = _sought(before)
    if not sought or not _is_none(clause):
        return []
    found = []
    for at in sought:
        chunk = before.chunks[at]
        place = part_after(before.chunks, at, ON_PART)
        bearer = resolve(place[1], state.focus) if place else _object(before, at, state) or subject
        if bearer is not None and bearer.component:
            found.append(
                Finding(
                    component=bearer.component, position=bearer.position, condition=chunk.conditions[0].term, presence="absent",
                    span=(state.span(before.start, before.end)[0], state.span(clause.start, clause.end)[1]), cue=clause.low,
                    rule="finding.looked_for", from_=bearer.from_,
                )
            )  # fmt: skip
    return found


def _sought(clause: Clause) -> list[int]:
    """Give the conditions behind "for" after a word of searching."""
    lows = [c.low for c in clause.chunks]
    if "for" not in lows or not any(c.low.split()[0] in _SEARCHES for c in clause.chunks[: lows.index("for")]):
        return []
    return [n for n, c in enumerate(clause.chunks) if n > lows.index("for") and c.kind == "condition"]


def _is_none(clause: Clause) -> bool:
    if any(c.kind == "condition" and c.low != "clean" for c in clause.chunks):
        return False
    low = clause.low.removeprefix("but ").removeprefix("there ").removeprefix("was ").removeprefix("were ")
    return len(low.split()) <= _FEW_WORDS and any(low == said or low.startswith(f"{said} ") for said in _FOUND_NONE)


def _object(clause: Clause, at: int, state: State) -> Bearer | None:
    """ "Checked the hub for cracks": what was searched."""
    parts: list[Chunk] = [
        c for c in clause.chunks[:at] if c.is_part and c.pronoun not in ("i", "we", "you", "he", "she")
    ]
    return resolve(parts[-1], state.focus) if parts else None
