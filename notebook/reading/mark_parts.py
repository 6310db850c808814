"""Says which part a mark is about.

In: the clauses of a mark and where its words stand. Out: the part and how many. "Chamfer to the engine": neither the
chamfer nor the engine, but what was spoken of before. Never takes a landmark ("toward | the bearing") for the part.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from notebook.reading.clause import Clause
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_FEATURES = frozenset(
    (
        "dot mark arrow notch line dab pop chamfer stripe paint punch writing number letter lip side end edge way gap groove face red white "
        "black blue green yellow turn hole tooth slot order lick dimple step eye join scribe nick string tape tag label spline chalk texta "
        "clock o'clock file place corner bottom top middle row pair boss nose tail tab flat taper shoulder width thread"
    ).split()
)
_OF = frozenset({"on", "of", "in", "across", "at", "round", "to", "from"})
_POINTS_BACK = frozenset(
    {"they", "them", "it", "these", "those", "this", "that", "one", "each", "both", "number", "she", "he"}
)


def marked_part(
    clauses: Sequence[Clause], at: int, start: int, end: int, state: State, *, is_part_after: bool
) -> tuple[str | None, int | None]:
    """Give the part a mark is about: named before its words, or behind them, else what was spoken of before."""
    chunks = clauses[at].chunks
    before, behind = chunks[:start], chunks[start:]
    subject = _named(before) or _within(chunks[start:end])
    owner = _owner(behind)
    if is_part_after:
        chosen = _named(behind) if not _points_back(chunks[start : end + 2]) else None
        chosen = chosen or subject
    else:
        chosen = subject or owner
    if chosen is None:
        chosen = _earlier(clauses, at, is_last=_counts(chunks))
    if chosen is not None:
        return chosen.name, chosen.count
    remembered = state.memory.bearer or state.focus.bearer
    return (remembered.component if remembered else None), None


def _named(chunks: Iterable[Chunk]) -> Chunk | None:
    """Give the first part named that is no mere feature."""
    return next((c for c in chunks if _is_whole(c)), None)


def _within(chunks: Sequence[Chunk]) -> Chunk | None:
    """Give the part that the words themselves begin with: "two washers | behind the hub"."""
    return chunks[0] if chunks and _is_whole(chunks[0]) else None


def _owner(chunks: Sequence[Chunk]) -> Chunk | None:
    """ "Dot | on the pinion", "the end | of the plunger": whose feature it is."""
    for n, chunk in enumerate(chunks[:-2]):
        if (
            chunk.is_part
            and _is_feature(chunk)
            and chunks[n + 1].low in _OF - {"to", "from"}
            and _is_whole(chunks[n + 2])
        ):
            return chunks[n + 2]
    return None


def _points_back(chunks: Sequence[Chunk]) -> bool:
    """ "I've numbered | them with the pen": what is marked was named before."""
    part = next((c for c in chunks if c.is_part and c.pronoun not in ("i", "we", "you")), None)
    return part is not None and part.name is None and part.pronoun in _POINTS_BACK


def _counts(chunks: Sequence[Chunk]) -> bool:
    """ "Two went behind", "each one back in its own slot": of what was named last."""
    return (
        bool(chunks)
        and chunks[0].is_part
        and chunks[0].name is None
        and (chunks[0].count is not None or chunks[0].pronoun in ("each", "one"))
    )


def _earlier(clauses: Sequence[Clause], at: int, *, is_last: bool) -> Chunk | None:
    """Give what was named in the clauses before: the subject of the nearest, or the last of it when some are counted."""
    for clause in reversed(clauses[:at]):
        named = [c for c in clause.chunks if _is_whole(c)]
        if named:
            return named[-1] if is_last else named[0]
    return None


def _is_feature(chunk: Chunk) -> bool:
    words = (chunk.name or chunk.low).split()
    return bool(words) and words[-1].removesuffix("s") in _FEATURES


def _is_whole(chunk: Chunk) -> bool:
    if not chunk.is_part or not chunk.name or chunk.is_unspecific or chunk.quantity:
        return False
    return (
        not _is_feature(chunk) and not (chunk.container and not chunk.is_known) and (not chunk.tool or chunk.is_known)
    )
