"""Spoken photo cues: "photo", "get a shot of this", "got a picture of that already".

In: clauses of a remark. Out: photo cues, each with what it is of and whether the photo comes next or was taken before.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import PhotoCue
from notebook.reading.advice import pattern
from notebook.reading.bearers import resolve
from notebook.reading.clause import ELSEWHERE, HYPOTHETICAL, QUESTION, USUAL, Clause
from notebook.reading.marking import plain_words
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_NOT_MEANT = frozenset({QUESTION, ELSEWHERE, HYPOTHETICAL, USUAL})


def read_photo_cues(clauses: Sequence[Clause], state: State) -> list[PhotoCue]:
    """Give the spoken photo cues of a remark; "forgot to take a photo" and "in the picture" are none."""
    found: list[PhotoCue] = []
    for clause in clauses:
        text = plain_words(clause)
        said = pattern("photo", "cue").search(text)
        if said is None or clause.mood in _NOT_MEANT or pattern("photo", "none").search(text):
            continue
        if pattern("photo", "printed").search(text):
            continue
        which = "before" if pattern("photo", "taken").search(text) else "next"
        span = state.span(clause.start, clause.end)
        found.append(PhotoCue(of=_photo_of(clause, state), which=which, span=span, cue=said.group(), rule="photo"))
    return found


def _photo_of(clause: Clause, state: State) -> str | None:
    """Give the part after "of", else any part named, else what was just spoken of."""
    for at, chunk in enumerate(clause.chunks):
        if chunk.low == "of" and at + 1 < len(clause.chunks) and clause.chunks[at + 1].is_part:
            part = clause.chunks[at + 1]
            if part.name and not part.is_unspecific:
                return part.name
            bearer = resolve(part, state.focus)
            return bearer.component if bearer else None
    named = next((c.name for c in clause.chunks if _may_be_seen(c)), None)
    return named or (state.focus.bearer.component if state.focus.bearer else None)


def _may_be_seen(chunk: Chunk) -> bool:
    return bool(
        chunk.is_part and chunk.name and not chunk.is_unspecific and not pattern("photo", "cue").search(chunk.low)
        and chunk.name not in ("photo", "picture", "shot")
    )  # fmt: skip
