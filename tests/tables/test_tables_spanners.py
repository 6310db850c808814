"""Hexagons and spanners: all the real widths of a thread, slack in mm, a verdict."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.tables.spanners import all_hexagons, fit, hexagons_for, hexagons_of, nearest_openings, read_opening


def widths(thread: str, **narrow: str) -> set[str]:
    return {h.marked for h in hexagons_of(thread, **narrow)}


@pytest.mark.parametrize(
    ("thread", "marked"),
    [
        ("M8", {"13", "14", "12", "10"}),
        ("M8x1", {"13", "14", "12", "10"}),
        ("M10", {"16", "17", "14", "13", "15"}),
        ("M12", {"18", "19", "22", "17", "15"}),
        ("M22", {"34", "32", "36"}),
        ("1/4 BSF", {"1/4 BS = 3/16 W"}),
        ("1/4 BSW", {"1/4 BS = 3/16 W", "1/4 W = 5/16 BS"}),
        ("7/16 UNC", {"5/8 AF", "11/16 AF", "3/4 AF"}),
        ("#10-32", {"3/8 AF"}),
        ("2 BA", {"2 BA"}),
        ("G 1/8", set()),
        ("nonsense", set()),
    ],
)
def test_every_width_met_on_a_thread(thread: str, marked: set[str]) -> None:
    assert widths(thread) == marked


def test_a_part_or_a_system_narrows_it() -> None:
    assert widths("M10", system="metric ISO") == {"16"}
    assert widths("M10", part="nut with flange") == {"15"}
    assert widths("7/16 UNF", part="bolt") == {"5/8 AF"}


@pytest.mark.parametrize(
    ("opening_mm", "af_mm", "slack_mm", "verdict"),
    [
        ("17", "17", "0", "its own size"),
        ("33", "33.02", "-0.02", "close fit"),
        ("13", "12.7", "0.3", "slack, light use only"),
        ("12.7", "13", "-0.3", "will not go on"),
        ("29", "28.575", "0.425", "will round the corners"),
        ("16", "15.875", "0.125", "close fit"),
    ],
)
def test_slack_and_verdict(opening_mm: str, af_mm: str, slack_mm: str, verdict: str) -> None:
    found = fit(Decimal(opening_mm), Decimal(af_mm))
    assert (found.slack_mm, found.verdict) == (Decimal(slack_mm), verdict)


def test_a_spanner_gives_the_hexagons_it_fits_closest_first() -> None:
    found = hexagons_for(Decimal(13))
    assert found[0].hexagon.threads == ("M8",)
    assert [f.fit.slack_mm for f in found] == sorted(f.fit.slack_mm for f in found)
    assert ("5/16 UNC", "5/16 UNF") in [f.hexagon.threads for f in found]
    assert all(Decimal("-0.05") <= f.fit.slack_mm <= Decimal("0.35") for f in found)
    assert hexagons_for(Decimal(3000)) == ()


@pytest.mark.parametrize(
    ("words", "said", "widths_mm", "kind"),
    [
        ("17 mm spanner", "17 mm", ["17"], "metric"),
        ("36 mil socket", "36 mm", ["36"], "metric"),
        ("7/16 AF", "7/16 AF", ["11.1125"], "AF"),
        ("1 1/8 AF spanner", "1 1/8 AF", ["28.575"], "AF"),
        ("5/8 BS spanner", "5/8 BS", ["25.654", "27.94"], "BS"),
        ("1/4 Whitworth", "1/4 W", ["13.335", "11.303"], "BS"),
        ("2 BA box spanner", "2 BA", ["8.2296"], "BA"),
        ("1/2 in socket", "1/2 in", ["12.7", "20.828", "23.368"], "AF"),
    ],
)
def test_sizes_of_spanners_are_read(words: str, said: str, widths_mm: list[str], kind: str) -> None:
    found = read_opening(words)
    assert found is not None
    assert (found.said, [str(w) for w in found.widths_mm], found.kind) == (said, widths_mm, kind)
    assert found.is_possible


@pytest.mark.parametrize(
    "words", ["", "1/2 in drive", "4 mm hex key", "adjustable", "screwdriver", "13", "a bar", "0/0 AF"]
)
def test_what_is_no_spanner_size_gives_none(words: str) -> None:
    assert read_opening(words) is None


def test_sevenths_are_no_spanner() -> None:
    found = read_opening("3/7 socket")
    assert found is not None
    assert not found.is_possible


def test_the_nearest_metric_and_inch_openings() -> None:
    metric, inch = nearest_openings(Decimal("33.02"))
    assert (metric.said, inch.said) == ("33 mm", "1 5/16 AF")


def test_minimum_widths_are_under_the_nominal() -> None:
    for hexagon in all_hexagons():
        assert hexagon.af_min_mm is None or hexagon.af_min_mm < hexagon.af_mm


@given(st.text(max_size=20))
def test_no_words_break_the_reading(words: str) -> None:
    found = read_opening(words)
    assert found is None or found.widths_mm
    assert isinstance(hexagons_of(words), tuple)
