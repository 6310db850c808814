"""The order of tightening round a circle. Common practice (no source): opposite, then square to it, then the gaps."""

from __future__ import annotations

from itertools import pairwise

import pytest

from notebook.tables.tightening import cross_order, cross_words


@pytest.mark.parametrize(
    ("count", "order"),
    [
        (4, (1, 3, 2, 4)),
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
        (12, (1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12)),
        (16, (1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16)),
    ],
)
def test_the_usual_circles(count: int, order: tuple[int, ...]) -> None:
    """The patterns of flange bolting as they are commonly drawn. Common practice (no source)."""
    assert cross_order(count) == order


@pytest.mark.parametrize("count", range(1, 41))
def test_each_bolt_once_and_its_opposite_next(count: int) -> None:
    order = cross_order(count)
    assert sorted(order) == list(range(1, count + 1))
    if count % 2 == 0:
        assert all(abs(a - b) == count // 2 for a, b in zip(order[::2], order[1::2], strict=True))
    elif count > 3:
        gaps = [min((b - a) % count, (a - b) % count) for a, b in pairwise(order)]
        assert min(gaps) >= count // 2 - 1


def test_few_bolts_and_unknown_counts_need_no_order() -> None:
    assert [cross_words(n) for n in (None, 1, 3, 60)] == [None] * 4
    assert "1 3 2 4" in (cross_words(4) or "")
    assert "common practice, no source" in (cross_words(4) or "")
