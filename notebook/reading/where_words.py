"""The words that say where a part has got to, and what else they can mean.

In: a line and a place in it. Out: a `Move`, or what stands around its words.

Examples: "is now | off" over small words; "out of true", "off to the shop" and "three thou out" are no moves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from notebook.reading.line import Line, is_thing
from notebook.reading.sheets import Chunk
from notebook.reading.verb_walk import NEGATIVE

BE_NOW = frozenset({"is", "are", "'s", "'re", "'m", "am"})

HAD = frozenset({"had", "got", "'ve", "have", "gotten"})

BARE = frozenset({"off", "out", "apart", "undone"})

_NOT_OUT_OF = frozenset(
    [
        "line",
        "true",
        "round",
        "shape",
        "gear",
        "balance",
        "tolerance",
        "square",
        "order",
        "date",
        "time",
        "spec",
        "adjustment",
        "sync",
        "it",
        "road",
        "way",
        "place",
        "sight",
        "hand",
        "truth",
        "centre",
        "level",
        "kilter",
        "mesh",
        "phase",
        "limits",
        "alignment",
        "here",
    ]
)

_NOT_AFTER = frozenset({"to", "for", "by", "than", "again"})

_MEASURES = frozenset(
    {"bit", "touch", "way", "mile", "little", "long", "well", "slightly", "far", "thou", "hair", "mil"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A part that got somewhere."""

    action: str
    cue: str
    parts: tuple[Chunk, ...]
    """What moved; empty when it is not said here."""
    start: int
    end: int
    """Words [start, end): the verb, or the part, to the last word that says where."""
    subject_first: int | None = None
    """Where the verb begins, when the part stands before it or somebody did it."""
    verb: int | None = None
    is_state: bool = False
    """It is off, now; not: it came off."""
    is_active: bool = False
    """Somebody did it, so that the subject is no part."""
    off: Chunk | None = None


def end_at(line: Line, at: int) -> int | None:
    """Give the word after the longest "off", "in two halves", "back on" that begins here."""
    if line.words[at].is_part and line.low(at) not in ("in",):
        return None
    for length in (4, 3, 2, 1):
        said = " ".join(line.lows[at : at + length])
        if said in line.deeds.ends and at + length <= len(line.words):
            return at + length
    return None


def said_at(line: Line, at: int, end: int) -> tuple[str, str]:
    said = " ".join(line.lows[at:end])
    return said, line.deeds.ends[said]


def skip(line: Line, at: int) -> int:
    """Go left over small words: "is now | off", "are both | out"; a measure ("a bit off") stops the reading."""
    adverbs = line.deeds.meant["adverbs"]
    while at >= 0:
        low = line.low(at)
        chunk = line.chunks[line.words[at].at]
        if low in NEGATIVE or low in _MEASURES or chunk.kind in ("amount", "number"):
            return -1
        if chunk.pronoun in ("both", "all") and chunk.name is None:
            at -= 1
            continue
        if low not in adverbs or line.words[at].is_part:
            return at
        at -= 1
    return at


def move(line: Line, at: int, end: int, *, start: int, parts: Sequence[Chunk] = (), subject_first: int | None = None, verb: int | None = None,
          is_state: bool = False, is_active: bool = False, off: Chunk | None = None) -> Move:  # fmt: skip
    said, action = said_at(line, at, end)
    cue = said if verb is None else f"{line.low(verb)} {said}"
    return Move(
        action=action, cue=cue, parts=tuple(parts), start=start, end=end, subject_first=subject_first, verb=verb, is_state=is_state,
        is_active=is_active, off=off or _came_off(line, at, end),
    )  # fmt: skip


def _came_off(line: Line, at: int, end: int) -> Chunk | None:
    """Give what it came off: "off its arm", "out of the tank", "off the far end of the shaft", "from the midsection"."""
    nxt = end
    if line.low(nxt) in ("of", "from", "out") and not line.is_part(nxt):
        nxt += 1
        if line.low(nxt) == "of":
            nxt += 1
    elif line.low(at) not in ("off", "out") or not line.is_part(nxt):
        return None
    if nxt >= len(line.words):
        return None
    chunk_at = line.words[nxt].at
    while chunk_at < len(line.chunks) and line.chunks[chunk_at].kind == "determiner":
        chunk_at += 1
    if (
        chunk_at < len(line.chunks)
        and line.chunks[chunk_at].pronoun == "place"
        and chunk_at + 2 < len(line.chunks)
        and line.chunks[chunk_at + 1].low == "of"
    ):
        chunk_at += 2
    chunk = line.chunks[chunk_at] if chunk_at < len(line.chunks) else None
    return chunk if chunk is not None and chunk.is_part and is_thing(chunk) else None


def means_else(line: Line, said: str, end: int) -> bool:
    nxt = line.low(end)
    if (nxt in _NOT_AFTER and said in BARE) or (
        nxt in ("of", "o")
        and line.low(end + 1) in _NOT_OUT_OF | {"the"}
        and line.low(end + 1 + (line.low(end + 1) == "the")) in _NOT_OUT_OF
    ):
        return True
    if end < len(line.words) and line.chunks[line.words[end].at].kind == "amount" and said in ("off", "out"):
        return True
    return nxt in ("a",) and line.low(end + 1) in ("bit", "touch", "tad")
