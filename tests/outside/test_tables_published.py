"""Threads and hexagons against figures printed by others, typed here from the page that is named.

Sources: BSW and BSF by a gauge maker's list citing BS 84:2007 (threads an inch by size; sizes it marks as
kept for replacement included); numbered and larger UNC by a published chart of ASME B1.1; NPT by published tables
of ASME B1.20.1; EN 14399-3 widths by a fastener supplier's table; BS 1083 widths by a published copy of its
table 2; spoken sizes by num2words 0.5 (LGPL), which knows nothing of threads.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from notebook.tables.spanners import hexagons_of, read_opening
from notebook.tables.thread_table import all_threads
from notebook.tables.threads import find_thread

BS_84_GAUGE_LIST = {
    "1/8": (40, None), "3/16": (24, 32), "7/32": (None, 28), "1/4": (20, 26), "5/16": (18, 22), "3/8": (16, 20),
    "7/16": (14, 18), "1/2": (12, 16), "9/16": (12, 16), "5/8": (11, 14), "11/16": (11, 14), "3/4": (10, 12),
    "7/8": (9, 11), "1": (8, 10), "1 1/8": (7, 9), "1 1/4": (7, 9), "1 3/8": (None, 8), "1 1/2": (6, 8),
    "1 3/4": (5, 7), "2": (4.5, 7), "2 1/4": (4, 6), "2 1/2": (4, 6), "2 3/4": (3.5, 6), "3": (3.5, 5),
    "3 1/4": (3.25, 5), "3 1/2": (3.25, 4.5), "3 3/4": (3, 4.5), "4": (3, 4.5), "4 1/2": (2.875, 4),
    "5": (2.75, None), "5 1/2": (2.625, None), "6": (2.5, None),
}  # fmt: skip
"""Size: threads an inch of BSW and of BSF; None where the list has a dash."""
UNC_CHART = {
    "#1": 64, "#2": 56, "#3": 48, "#4": 40, "#5": 40, "#6": 32, "#8": 32, "#10": 24, "#12": 24, "1/4": 20, "5/16": 18,
    "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12, "5/8": 11, "3/4": 10, "7/8": 9, "1": 8, "1 1/8": 7, "1 1/4": 7,
    "1 3/8": 6, "1 1/2": 6, "1 3/4": 5, "2": 4.5, "2 1/4": 4.5, "2 1/2": 4, "2 3/4": 4, "3": 4,
}  # fmt: skip
NPT_TABLE = {
    "1/16": (27, "0.3125"), "1/8": (27, "0.405"), "1/4": (18, "0.540"), "3/8": (18, "0.675"), "1/2": (14, "0.840"),
    "3/4": (14, "1.050"), "1": (11.5, "1.315"), "1 1/4": (11.5, "1.660"), "1 1/2": (11.5, "1.900"),
    "2": (11.5, "2.375"),
    "2 1/2": (8, "2.875"), "3": (8, "3.500"), "4": (8, "4.500"),
}  # fmt: skip
EN_14399_3_MM = {
    "M12": 22,
    "M14": 24,
    "M16": 27,
    "M18": 30,
    "M20": 32,
    "M22": 36,
    "M24": 41,
    "M27": 46,
    "M30": 50,
    "M36": 60,
}
BS_1083_IN = {
    "1/4": "0.445", "5/16": "0.525", "3/8": "0.600", "7/16": "0.710", "1/2": "0.820", "9/16": "0.920", "5/8": "1.010",
    "3/4": "1.200", "7/8": "1.300", "1": "1.480", "1 1/8": "1.670", "1 1/4": "1.860", "1 3/8": "2.050",
    "1 1/2": "2.220",
}  # fmt: skip
SIZES = ("1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "7/8")
WHOLE_SIZES = ("1 1/8", "1 1/4", "1 3/8", "1 1/2")


@pytest.mark.parametrize("size", BS_84_GAUGE_LIST)
@pytest.mark.parametrize(("family", "column"), [("BSW", 0), ("BSF", 1)])
def test_whitworth_and_fine_against_a_gauge_list(size: str, family: str, column: int) -> None:
    theirs = BS_84_GAUGE_LIST[size][column]
    ours = find_thread(f"{size} {family}")
    if theirs is None:
        # the list is of current gauges; ours may be an older size, and must then say so
        assert ours is None or ours.standard == "older Whitworth lists"
    else:
        assert ours is not None
        assert ours.tpi == Decimal(str(theirs))


@pytest.mark.parametrize(("size", "tpi"), UNC_CHART.items())
def test_unified_coarse_against_a_chart(size: str, tpi: float) -> None:
    ours = find_thread(f"{size}-{tpi} UNC")
    assert ours is not None
    assert (ours.size, ours.family) == (size, "UNC")


@pytest.mark.parametrize(("size", "row"), NPT_TABLE.items())
def test_taper_pipe_against_a_table(size: str, row: tuple[float, str]) -> None:
    ours = find_thread(f"{size} NPT")
    assert ours is not None
    assert ours.tpi == Decimal(str(row[0]))
    assert Fraction(ours.major_mm) == Fraction(row[1]) * Fraction("25.4")


@pytest.mark.parametrize(("thread", "width"), EN_14399_3_MM.items())
def test_structural_widths(thread: str, width: int) -> None:
    assert [h.af_mm for h in hexagons_of(thread, system="structural")] == [width]


@pytest.mark.parametrize(("size", "inches"), BS_1083_IN.items())
def test_later_whitworth_widths_and_markings(size: str, inches: str) -> None:
    for family in ("BSW", "BSF"):
        (ours,) = hexagons_of(f"{size} {family}", system="BS small")
        assert Fraction(ours.af_mm) == Fraction(inches) * Fraction("25.4")
    spanner = read_opening(f"{size} BS spanner")
    assert spanner is not None
    assert Fraction(spanner.widths_mm[0]) == Fraction(inches) * Fraction("25.4")


@pytest.mark.parametrize("family", ["BSF", "BSW", "BSP"])
@pytest.mark.parametrize("size", [*SIZES, *WHOLE_SIZES])
def test_sizes_in_words_are_the_sizes_in_figures(size: str, family: str) -> None:
    num2words = pytest.importorskip("num2words", reason="num2words is not installed: pip install num2words").num2words
    whole, _, part = size.rpartition(" ")
    upper, lower = (int(n) for n in part.split("/"))
    names = {2: "half", 4: "quarter"}
    lower_words = names.get(lower) or num2words(lower, to="ordinal")
    plural = "s" if upper > 1 else ""
    words = f"{num2words(int(whole)) + ' and ' if whole else ''}{num2words(upper)} {lower_words}{plural} {family}"
    assert find_thread(words) == find_thread(f"{size} {family}"), words


def test_numbers_of_ba_in_words() -> None:
    num2words = pytest.importorskip("num2words", reason="num2words is not installed: pip install num2words").num2words
    for thread in all_threads():
        if thread.family == "BA":
            assert find_thread(f"{num2words(int(thread.size))} BA") == thread
