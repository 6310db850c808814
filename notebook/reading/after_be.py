"""Tells whether what stands here is said of what went before: "bore's flat", "went stiff", "springs all good".

In: a sheet, a place in it, and the chunks before.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.sheets import Chunk


def is_after_be(before: Sequence[Chunk]) -> bool:
    for chunk in reversed(before[-4:]):
        if chunk.kind == "aux" or chunk.low in LINKS:
            return True
        if chunk.kind not in ("adverb", "cue", "determiner", "condition", "conjunction") and chunk.low != ",":
            return False
    return False


LINKS = frozenset(
    (
        "gone went looks look feels feel seems seem came come comes runs run turns turn looking feeling "
        "running spins went measured sounds sound looked felt seemed stayed going getting got getting left "
        "came found ran smells turned ended"
    ).split()
)
