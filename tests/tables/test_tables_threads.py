"""Threads by name: many spellings, none picked silently, the nearest where there is none."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.tables.rows import read_rows
from notebook.tables.thread_names import read_thread_name
from notebook.tables.thread_table import all_threads, lookalikes_of
from notebook.tables.threads import find_thread, find_threads, is_listed, nearest_threads, standing_of

SPELLINGS = [
    ("M6", "M6"), ("m 6", "M6"), ("em six", "M6"), ("M6 x 1", "M6"), ("M6 coarse", "M6"), ("M6 bolts", "M6"),
    ("M8x1.25", "M8"), ("M8 × 1,25", "M8"), ("M8 by 1.25", "M8"), ("M8-1.25", "M8"), ("8 mm x 1.25 pitch", "M8"),
    ("M8x30", "M8"), ("M8x1.25x30", "M8"), ("M8x1", "M8x1"), ("M10 fine", "M10x1.25"), ("M10 1.25", "M10x1.25"),
    ("M12 x 1.5 left hand", "M12x1.5"), ("M10.0", "M10"), ("M2.6", "M2.6x0.45"),
    ("3/8 BSF", "3/8 BSF"), ("3/8 B.S.F.", "3/8 BSF"), ('3/8" BSF', "3/8 BSF"), ("three eighths BSF", "3/8 BSF"),
    ("3/8 BSF 20 tpi", "3/8 BSF"), ("⅜ bsf", "3/8 BSF"), ("quarter whit", "1/4 BSW"), ("1/2 Whitworth", "1/2 BSW"),
    ("inch and a quarter BSF", "1 1/4 BSF"), ("one and three eighths BSF", "1 3/8 BSF"),
    ("seven thirty-seconds BSF", "7/32 BSF"),
    ("1/4-28 UNF", "1/4-28 UNF"), ("1/4 UNF", "1/4-28 UNF"), ("1/4 x 28 UNF", "1/4-28 UNF"), ("1/4 NF", "1/4-28 UNF"),
    ("1/4-28", "1/4-28 UNF"), ("1/4-20", "1/4-20 UNC"), ("1 1/8-7 UNC", "1 1/8-7 UNC"), ("1-8 UNC", "1-8 UNC"),
    ("#10-32", "#10-32 UNF"), ("10-32 UNF", "#10-32 UNF"), ("number ten thirty-two", "#10-32 UNF"),
    ("8-32", "#8-32 UNC"), ("#1-64 UNC", "#1-64 UNC"), ("1 UNC", "1-8 UNC"), ("8 UNF", "#8-36 UNF"),
    ("0-80", "#0-80 UNF"), ("1-14 UNF", "1-14 UNS"), ("1/2-28", "1/2-28 UNEF"),
    ("2 BA", "2 BA"), ("2BA", "2 BA"), ("3/8BSF", "3/8 BSF"), ("2 B.A.", "2 BA"), ("two BA", "2 BA"), ("0 BA", "0 BA"),
    ("G 1/8", "G 1/8"), ("G1/8", "G 1/8"), ("1/8 BSP", "G 1/8"), ("1/8 BSPP", "G 1/8"), ("half inch BSP", "G 1/2"),
    ("1/8 gas", "G 1/8"), ("1/8 BSPT", "R 1/8"), ("R 1/8", "R 1/8"), ("1/8 NPT", "1/8 NPT"), ("1/8-27 NPT", "1/8 NPT"),
    ("5/16 26 tpi cycle", "5/16x26 BSC"), ("5/16 cycle", "5/16x26 BSC"), ("7/16 cycle 20 tpi", "7/16x20 BSC"),
    ("1/4x26 BSC", "1/4x26 BSC"), ("1/4 CEI", "1/4x26 BSC"), ("1.370x24 BSC", "1.370x24 BSC"),
]  # fmt: skip
OPEN_NAMES = [
    ("M10 fine", ["M10x1.25", "M10x1", "M10x0.75"]),
    ("7/16 cycle", ["7/16x26 BSC", "7/16x20 BSC"]),
    ("1/2 in 20 tpi", ["1/2-20 UNF", "1/2x20 BSC"]),
    ("quarter twenty", ["1/4 BSW", "1/4-20 UNC"]),
    ("M15", ["M15x1.5", "M15x1"]),
]


@pytest.mark.parametrize(("spelling", "name"), SPELLINGS)
def test_a_thread_is_found_by_many_spellings(spelling: str, name: str) -> None:
    found = find_thread(spelling)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize("thread", [t.name for t in all_threads()])
def test_every_thread_is_found_by_its_own_name(thread: str) -> None:
    assert thread in [t.name for t in find_threads(thread)]
    found = find_thread(thread)
    assert found is not None
    assert found.name == thread
    if not found.is_special:
        assert nearest_threads(thread, 1) == [found]
        assert is_listed(thread)


@pytest.mark.parametrize(("name", "fits"), OPEN_NAMES)
def test_a_name_that_fits_several_gives_them_all(name: str, fits: list[str]) -> None:
    assert [t.name for t in find_threads(name)] == fits


@pytest.mark.parametrize("name", ["quarter twenty", "1/2 in 20 tpi", "26 tpi cycle", "M15", "5/16"])
def test_a_name_that_leaves_family_or_size_open_gives_no_single_thread(name: str) -> None:
    assert len(find_threads(name)) > 1
    assert find_thread(name) is None


def test_twenty_six_tpi_cycle_is_a_series() -> None:
    assert all(t.family == "BSC" and t.tpi == 26 for t in find_threads("26 tpi cycle"))
    assert len(find_threads("26 tpi cycle")) == 13


@pytest.mark.parametrize(
    "words", ["", "stud", "left hand", "tight", "13 mm socket", "3/8 BSF spanner", "5", "M", "M0", "1/0 BSF", "M8 BSF"]
)
def test_what_is_no_name_gives_nothing(words: str) -> None:
    assert find_thread(words) is None
    assert find_threads(words) == ()
    assert nearest_threads(words) == []
    assert standing_of(words) == "unreadable"


@pytest.mark.parametrize(
    ("name", "nearest"),
    [
        ("3/7 BSF", ["3/8 BSF", "7/16 BSF"]),
        ("M13", ["M12", "M14"]),
        ("3 1/8 in, 20 tpi", ["3/8 BSF"]),
        ("M8x1.5", ["M8", "M8x1"]),
        ("M13x1.5", ["M12x1.5", "M14x1.5"]),
        ("3/16 BSP", ["G 1/8", "G 1/4"]),
        ("30 BA", ["25 BA", "24 BA"]),
        ("11/16 UNC", ["5/8-11 UNC", "3/4-10 UNC"]),
    ],
)
def test_the_nearest_of_what_does_not_exist(name: str, nearest: list[str]) -> None:
    assert find_thread(name) is None
    assert not is_listed(name)
    assert [t.name for t in nearest_threads(name, len(nearest))] == nearest


@pytest.mark.parametrize(
    ("name", "standing"),
    [
        ("M8", "listed"), ("M8x1", "listed"), ("M25", "fine only"), ("M25x1.5", "listed"), ("M17", "fine only"),
        ("M19", "special"), ("M5x0.9", "special"), ("M2.6", "special"), ("M12x0.75", "special"),
        ("M13", "none"), ("M8x1.5", "none"), ("M80", "beyond"), ("M0.6", "beyond"),
        ("3/7 BSF", "none"), ("7 BSW", "beyond"), ("13/16 BSW", "listed"), ("1/4 BSW 26 tpi", "constant pitch"),
        ("1/2-16 UN", "constant pitch"), ("3 1/8 in, 20 tpi", "none"), ("3 in, 20 tpi", "constant pitch"),
        ("1/4-40 ME", "constant pitch"), ("5/16-18 UNF", "none"), ("10-24 UNF", "none"), ("#14-20", "beyond"),
        ("7/8 cycle", "beyond"), ("3/7 cycle", "none"), ("30 BA", "none"), ("17 BA", "listed"),
    ],
)  # fmt: skip
def test_standing_tells_special_from_impossible_and_from_beyond_the_tables(name: str, standing: str) -> None:
    assert standing_of(name) == standing


def test_sizes_of_a_thread_are_exact() -> None:
    thread = find_thread("3/8 BSF")
    assert thread is not None
    assert (thread.major_mm, thread.pitch_mm, thread.tpi) == (Decimal("9.525"), Decimal("1.27"), Decimal(20))
    assert (thread.angle_deg, thread.tapping_drill_mm) == (Decimal(55), Decimal("8.3"))
    assert thread.confidence == "high"
    assert "BS 84" in thread.source


def test_a_lookalike_is_seen_from_both_sides() -> None:
    (one,) = [pair for pair in lookalikes_of("M6") if pair.other == "0 BA"]
    (other,) = [pair for pair in lookalikes_of("0 BA") if pair.other == "M6"]
    assert one.flank_angles == "60/47.5"
    assert other.flank_angles == "47.5/60"
    (small,) = [pair for pair in lookalikes_of("G 1/8") if pair.other == "M10x1"]
    assert small.major_difference_mm == Decimal("0.272")
    assert [p.major_difference_mm for p in lookalikes_of("M10x1") if p.other == "G 1/8"] == [Decimal("-0.272")]
    assert lookalikes_of("M36x3") == ()


def test_the_figures_of_the_lookalikes_are_those_of_the_threads() -> None:
    threads = {t.name: t for t in all_threads()}
    for row in read_rows("thread_lookalikes"):
        a, b = threads[row["thread_a"]], threads[row["thread_b"]]
        assert abs(Decimal(row["major_difference_mm"]) - (b.major_mm - a.major_mm)) <= Decimal("0.0006")
        apart = abs(a.pitch_mm - b.pitch_mm) * 10
        assert abs(Decimal(row["pitch_error_over_10_threads_mm"]) - apart) <= Decimal("0.0006")
        assert row["flank_angles"] == f"{a.angle_deg}/{b.angle_deg}"


def test_no_lookalike_by_the_rule_is_left_out() -> None:
    listed = [t for t in all_threads() if not t.is_special and t.major_mm >= 2]
    named = {frozenset((row["thread_a"], row["thread_b"])) for row in read_rows("thread_lookalikes")}
    pipe = {"G", "R"}
    for i, a in enumerate(listed):
        for b in listed[i + 1 :]:
            if a.family == b.family or {a.family, b.family} == pipe:
                continue
            apart_mm, pitch_apart_mm = abs(a.major_mm - b.major_mm), abs(a.pitch_mm - b.pitch_mm)
            if apart_mm * 100 > 5 * min(a.major_mm, b.major_mm) or apart_mm > Decimal("0.5"):
                continue
            if pitch_apart_mm * 1000 <= 45 * min(a.pitch_mm, b.pitch_mm):
                assert frozenset((a.name, b.name)) in named, (a.name, b.name)


WORDS = (
    "M m 6 8 10 13 1.25 x by - / 1/4 3/8 3/7 1 1/8 0 BSF BSW UNF UNC BA G BSP NPT cycle tpi 20 26 # fine coarse in"
    " half quarter eighths three pitch mm , . 99999999999999 1/0 0/8 & thread"
)


@given(st.one_of(st.text(max_size=20), st.lists(st.sampled_from(WORDS.split()), max_size=6).map(" ".join)))
def test_no_words_break_the_look_up(words: str) -> None:
    said = read_thread_name(words)
    found = find_threads(words)
    near = nearest_threads(words, 3)
    assert len(near) <= 3
    assert said is not None or not found
    assert standing_of(words) in {
        "listed", "fine only", "special", "constant pitch", "none", "beyond", "unreadable",
    }  # fmt: skip
