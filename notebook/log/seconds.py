"""Leads from a place in the tidied text back to the words heard and the second of sound.

In: a remark with its changes and words. Out: a place in the text as heard, or a second from the start of the remark.
"""

from __future__ import annotations

from notebook.nouns import Remark


def place_in_text(remark: Remark, at: int) -> int:
    """Give the character of `text` that a character of `tidied` came from."""
    shift = 0
    for (start, end), (from_, to), _ in remark.changes:
        if start <= at < end:
            return from_
        if end <= at:
            shift = to - end
    return max(0, min(len(remark.text), at + shift))


def second_of(remark: Remark, at: int) -> float | None:
    """Give the second, from the start of the remark, of a character of `tidied`; None without word times."""
    if not remark.words:
        return None
    place = place_in_text(remark, at)
    reached = 0
    for word in remark.words:
        found = remark.text.find(word.text.strip(), reached)
        reached = found + len(word.text.strip()) if found >= 0 else reached
        if reached > place:
            return word.start_s
    return remark.words[-1].start_s
