"""The work of reading grows with a remark's length, not with its square: calls are counted, no clock is read."""

from __future__ import annotations

import cProfile

import pytest

from notebook.reading.reader import Reader

SHORT, LONG = 1_000, 4_000
"""Characters."""


def calls_for(text: str) -> int:
    """Count the function calls that a reading takes, those of generators among them."""
    reader, counter = Reader(), cProfile.Profile()
    counter.enable()
    reader.read(text)
    counter.disable()
    return sum(int(row.callcount) for row in counter.getstats())


@pytest.fixture(scope="module", autouse=True)
def everything_is_loaded() -> None:
    Reader().read(
        "Two of the six M8 bolts are seized, 7.2 mil, bag 4, photo. The fraction plate's worn, it'll go again."
    )


@pytest.mark.parametrize(
    "piece",
    [
        "two of the six shoes are cracked ", "six, no, ", "1,000,", "one hundred ", "87k ", "eight M8 bolts, ", "worn ", "of of ", "and ",
        "seven point two mil ", "the seal isn't torn or ", "5 to ", "bag 2 ", "the drum is scored. ",
    ],
)  # fmt: skip
def test_four_times_the_words_take_about_four_times_the_work(piece: str) -> None:
    short, long = (calls_for((piece * LONG)[:size]) for size in (SHORT, LONG))
    assert long < 7 * short
