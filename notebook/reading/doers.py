"""Says who did a deed: the speaker, somebody else, the one spoken to, or the part by itself.

In: a line and the place where its verb begins. Out: one of ME, OTHER, YOU, PART.
"The last fella had the airbox off and pulled the belt": both are his.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.clause import Clause
from notebook.reading.line import Line, is_thing
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

ME, OTHER, YOU, PART = "me", "other", "you", "part"

_SHARING = frozenset({"and", "&", "then", ",", "or"})
_PEOPLE = frozenset(
    ["he", "somebody", "someone", "who", "whoever", "himself", "herself", "anybody", "everybody", "nobody"]
)
_MINE = frozenset({"my", "our", "his", "her", "their"})


def doer_of(line: Line, first: int, clause: Clause, state: State) -> str:
    """Say who did the deed whose verb begins at word `first`; without a subject the clause before may say."""
    at = line.words[first - 1].at if first else -1
    chunk, place = _subject(line.chunks[: at + 1])
    if chunk is not None:
        return _who(chunk, place, line.chunks, line, state)
    if clause.joiner in _SHARING and line.own == 0:
        before, place = _subject(state.last_chunks, is_first=True)
        if before is not None and _has_verb_after(state.last_chunks, place):
            who = _who(before, place, state.last_chunks, line, state)
            return who if who in (OTHER, YOU) else ME
    return ME


def _subject(chunks: Sequence[Chunk], *, is_first: bool = False) -> tuple[Chunk | None, int]:
    """Give the part or person nearest before the verb that no preposition leads to (or the first of all)."""
    places = range(len(chunks)) if is_first else range(len(chunks) - 1, -1, -1)
    for at in places:
        chunk = chunks[at]
        if not chunk.is_part or (at and chunks[at - 1].kind == "preposition"):
            continue
        return chunk, at
    return None, -1


def _has_verb_after(chunks: Sequence[Chunk], place: int) -> bool:
    return any(c.kind in ("verb", "aux") for c in chunks[place + 1 :])


def _who(chunk: Chunk, place: int, chunks: Sequence[Chunk], line: Line, state: State) -> str:
    if chunk.pronoun in ("i", "we", "me", "us"):
        return ME
    if chunk.pronoun in ("you", "ye"):
        return YOU
    if chunk.pronoun in _PEOPLE or (chunks is not state.last_chunks and place in line.people):
        return OTHER
    if chunk.pronoun == "she":
        return PART if state.focus.is_about_machine else OTHER
    words = (chunk.name or "").split()
    if (
        any(w in line.deeds.meant["others"] or w.rstrip("s") in line.deeds.meant["others"] for w in words)
        and not chunk.is_known
    ):
        return OTHER
    if chunk.determiner in _MINE and not chunk.is_known and place == 0:
        return OTHER
    return PART if is_thing(chunk) else ME
