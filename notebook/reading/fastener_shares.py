"""Some of a set: "two came off alright, the other two were seized", "all free bar one", "the rest were tight".

In: the words of a remark. Out: `Share`s, each with where it begins and how many it is.
Never says how they came.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from notebook.reading.tidy import Piece

SOME, REST, WHOLE = "some", "rest", "whole"
_LARGEST = 200
_NAMING = frozenset(
    {"number", "no.", "numbers", "bag", "tray", "tin", "box", "tub", "shelf", "drawer", "cylinder", "#", "to", "at"}
)
_THEM = frozenset({"them", "those", "these", "the", "em", "'em"})
_HOW = frozenset(
    (
        "came come is was were are 's 've had has have been missing loose tight seized wanted wants needed needs took moved spun backed "
        "just only fought wouldn't won't stripped rounded gone went all still turned undid refused stuck let finger nearest by needing behind under"
    ).split()
)
_ONE = frozenset({"one", "un", "yin", "wan"})
_ORDINALS = frozenset("first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth last".split())
_WHERE = frozenset(
    "bottom top back front left right inner outer near far odd end middle inboard outboard upper lower".split()
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Some of a set, from a piece on."""

    start: int
    kind: str
    count: int | None = None
    position: str | None = None


def find_shares(pieces: Sequence[Piece], start: int, end: int) -> list[Share]:
    """Give the shares told in pieces [start, end)."""
    found: list[Share] = []
    at = start
    while at < end:
        share = _share_at(pieces, at)
        if share is not None:
            found.append(share)
            at += 1
            while (at < end and pieces[at].low in ("of", "other", "one", "them", "those", "the", "these")) or _count(
                pieces, at
            ):
                at += 1  # "two | of the six", "the other | two": one share
            continue
        at += 1
    return found


def _low(pieces: Sequence[Piece], at: int) -> str:
    return pieces[at].low if 0 <= at < len(pieces) else ""


def _count(pieces: Sequence[Piece], at: int) -> int | None:
    """Give the number of things said at a piece; none for a name ("number five")."""
    if not 0 <= at < len(pieces) or _low(pieces, at - 1) in _NAMING:
        return None
    if pieces[at].low in _ONE:
        return 1
    value = pieces[at].value if pieces[at].kind == "number" else None
    return int(value) if value is not None and value.denominator == 1 and 0 < value <= _LARGEST else None


def _share_at(pieces: Sequence[Piece], at: int) -> Share | None:
    low, nxt, before = _low(pieces, at), _low(pieces, at + 1), _low(pieces, at - 1)
    if low in ("bar", "except", "but") and (count := _count(pieces, at + 1)) and _low(pieces, at + 2) not in ("of",):
        return Share(start=at + 1, kind=SOME, count=count)
    if low == "number" and before in ("bar", "except", "but", "from"):
        return Share(start=at, kind=SOME, count=1)
    if low in ("couple", "pair") and nxt == "of" and _low(pieces, at + 2) in _THEM:
        return Share(start=at, kind=SOME, count=2)
    if low == "neither" and nxt == "of":
        return None
    if low in ("rest", "remainder", "others"):
        return Share(start=at, kind=REST)
    if low == "other" and before in ("the", "an"):
        return Share(start=at, kind=SOME, count=_count(pieces, at + 1) or 1)
    if low in ("both", "they", "all", "none", "each") and before not in ("with", "on"):
        return Share(start=at, kind=WHOLE)
    if low in _ORDINALS and before == "the" and (nxt in _HOW or nxt in _ONE):
        return Share(start=at, kind=SOME, count=1, position=low)
    if low in _WHERE and nxt in _ONE:
        return Share(start=at, kind=SOME, count=1, position=low)
    count = _count(pieces, at)
    if count is None or before in ("other", *_WHERE, *_ORDINALS):
        return None
    is_share = (nxt in ("of", "on") and _low(pieces, at + 2) in _THEM) or nxt in _HOW
    return Share(start=at, kind=SOME, count=count) if is_share else None
