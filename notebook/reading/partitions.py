"""Joins shares and places into one part: "two of the six shoes", "the end of the shaft".

In and out: chunks.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notebook.reading.sheets import Chunk

_PARTS_OF = frozenset(
    {
        "one",
        "both",
        "all",
        "none",
        "neither",
        "each",
        "either",
        "half",
        "most",
        "some",
        "any",
        "couple",
        "pair",
        "few",
        "number",
        "rest",
    }
)

_LITTLE = frozenset(
    "drop bit touch trace smear film splash dribble lick dab dollop blob load lots loads bits hint smattering".split()
)
""" "Hardly a drop of oil", "a bit of packing": what there is a little of is the thing meant."""

_PLACES_ON = frozenset(
    (
        "end top bottom side edge middle centre inside outside back front corner half face underside tip base "
        "root rim surface end heel toe mouth crown"
    ).split()
)


def join_partitions(chunks: list[Chunk]) -> list[Chunk]:
    """Join "two of the six shoes", "one of them", "the end of the shaft" into one part."""
    out: list[Chunk] = []
    for chunk in chunks:
        if chunk.is_part and (fewer := _all_but(out, chunk)):
            out[-4:] = [fewer]
            continue
        if (
            chunk.is_part
            and len(out) >= 2
            and out[-1].low == "of"
            and out[-2].is_part
            and (joined := _partition(out[-2], chunk))
        ):
            out[-2:] = [joined]
            continue
        if (
            chunk.is_part
            and chunk.name
            and len(out) >= 2
            and out[-1].kind == "thread"
            and out[-2].is_part
            and out[-2].name is None
            and out[-2].count
        ):
            chunk.count, chunk.determiner = out[-2].count, out[-2].determiner or out[-2].pronoun
            if out[-2].pronoun in ("all", "both"):
                chunk.of = chunk.count
            out[-2].kind, out[-2].value = "number", Fraction(out[-2].count)
        out.append(chunk)
    return out


def _all_but(out: Sequence[Chunk], chunk: Chunk) -> Chunk | None:
    """Join "all bar one of the sixteen rollers" into fifteen of sixteen."""
    if (
        len(out) < 4
        or out[-1].low != "of"
        or out[-3].low not in ("bar", "but", "except", "save")
        or out[-4].pronoun != "all"
    ):
        return None
    less = out[-2].count or (int(out[-2].value) if out[-2].value is not None else None)
    if less is None or chunk.count is None or chunk.name is None:
        return None
    joined = Chunk(**{name: getattr(chunk, name) for name in Chunk.__slots__})
    joined.start, joined.low = out[-4].start, f"all but {less} of {chunk.low}"
    joined.of, joined.count = chunk.count, chunk.count - less
    return joined


def _partition(first: Chunk, second: Chunk) -> Chunk | None:
    head = (first.name or "").split()[-1:] or [first.pronoun or ""]
    is_little = head[0] in _LITTLE and not second.is_unspecific
    is_share = (
        is_little
        or first.pronoun in _PARTS_OF
        or (first.name is None and first.count is not None)
        or head[0] in ("couple", "pair", "half", "rest", "most", "few")
    )
    if is_share:
        whole = second
        joined = Chunk(**{name: getattr(whole, name) for name in Chunk.__slots__})
        joined.start, joined.low = first.start, f"{first.low} of {second.low}"
        joined.of = second.count
        joined.count = None if is_little else first.count
        joined.is_negative = first.is_negative or first.pronoun in ("none", "neither")
        joined.position = second.position or first.position
        if head[0] in ("couple", "pair"):
            joined.count = 2
        if first.pronoun == "both":
            joined.count = joined.of = 2
        elif first.pronoun in ("all", "none", "neither", "each"):
            joined.count = joined.of = second.count or (2 if first.pronoun == "neither" else None)
        joined.pronoun = second.pronoun if second.name is None else None
        joined.determiner = first.pronoun or first.determiner
        joined.attributes = [*first.attributes, *second.attributes]
        return joined
    if head[0] in _PLACES_ON and second.name and not second.is_unspecific:
        joined = Chunk(**{name: getattr(second, name) for name in Chunk.__slots__})
        joined.start, joined.low = first.start, f"{first.low} of {second.low}"
        place = " ".join(w for w in first.low.split() if w not in ("the", "a", "an", "one"))
        joined.position = place
        joined.is_negative = first.is_negative
        return joined
    return None
