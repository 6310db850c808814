"""In which order to tighten bolts that lie in a circle.

In: how many there are, numbered round the circle. Out: the order. Common practice (no source): each bolt is followed by
the one across, the next pair lies square to it, and the rest fill the gaps; the maker's own order overrules it.
"""

from __future__ import annotations

LEAST, MOST = 4, 24
"""Fewer need no order, more are a flange with a procedure of its own."""


def cross_order(count: int) -> tuple[int, ...]:
    """Give the order, from 1, of bolts numbered round a circle; raises ValueError for none.

    Example: 4 gives 1 3 2 4, 8 gives 1 5 3 7 2 6 4 8; an odd number goes round in steps of just under half.
    """
    if count < 1:
        raise ValueError(count)
    if count % 2:
        step = max(1, (count - 1) // 2)
        return tuple(n * step % count + 1 for n in range(count))
    half = count // 2
    if count % 4:
        return tuple(at + 1 for start in _spread(half) for at in (start, start + half))
    quarter = count // 4
    return tuple(
        at + 1 for start in _spread(quarter) for at in (start, start + half, start + quarter, start + half + quarter)
    )


def cross_words(count: int | None) -> str | None:
    """Say the order for a step: "if they lie in a circle, tighten 1 3 2 4 ..."; None where none is needed."""
    if count is None or not LEAST <= count <= MOST:
        return None
    return f"if they lie in a circle, tighten {' '.join(map(str, cross_order(count)))} as numbered round it, in three rounds (common practice, no source)"


def _spread(count: int) -> list[int]:
    """Give 0 to count - 1: up to three in turn, more with every other one first."""
    return list(range(count)) if count <= 3 else [*range(0, count, 2), *range(1, count, 2)]
