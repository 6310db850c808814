"""Facts of the trade that no standard prints: common practice (no source), each said where it is tested."""

from __future__ import annotations

from decimal import Decimal

import pytest

from notebook.entries import Measurement
from notebook.reading.reader import read_job
from notebook.tables.keys import COUNTERSUNK, all_keys, key_of
from notebook.tables.spanners import fit, hexagons_of
from notebook.tables.thread_table import all_threads, lookalikes_of
from notebook.tables.threads import find_thread, find_threads
from notebook.tables.units import convert


def test_a_33_mm_socket_goes_on_a_seven_eighths_bs_hexagon() -> None:
    """Common practice (no source): 1.300 in is 33.02 mm, so a 33 mm socket is less than 0.1 mm from it."""
    (hexagon,) = hexagons_of("7/8 BSF", system="BS small")
    assert hexagon.af_mm == Decimal("33.02")
    found = fit(Decimal(33), hexagon.af_mm)
    assert abs(found.slack_mm) < Decimal("0.1")
    assert found.verdict == "close fit"


def test_three_eighths_bsf_is_twenty_to_the_inch_and_three_and_an_eighth_is_nothing() -> None:
    """Common practice (no source): "3 1/8 in, 20 threads" is a misheard 3/8 BSF."""
    thread = find_thread("3/8 BSF")
    assert thread is not None
    assert thread.tpi == 20
    assert find_threads("3 1/8 in, 20 tpi") == ()
    largest = max(t.major_mm for t in all_threads() if t.tpi == 20 and t.family != "M")
    assert largest < Decimal("3.125") * Decimal("25.4")


def test_240_mm_is_about_ten_inches_to_a_mechanic() -> None:
    """Common practice (no source): about, within six in a hundred, and never exactly."""
    inches = convert(Decimal(240), "mm", "in")
    assert inches == Decimal("9.44881889764")
    assert abs(inches - 10) / 10 < Decimal("0.06")
    assert inches != 10


@pytest.mark.parametrize("thread", sorted({k.thread for k in all_keys() if k.form == COUNTERSUNK}))
def test_a_countersunk_socket_screw_takes_a_smaller_key_than_a_cap_screw(thread: str) -> None:
    """Common practice (no source): so a rounded socket is the usual damage of a countersunk screw."""
    name = thread if thread.startswith("M") else f"{thread} UNF"
    cap, sunk = key_of(name, "cap screw"), key_of(name, "countersunk socket screw")
    assert cap is not None
    assert sunk is not None
    assert sunk.size_mm < cap.size_mm


def test_half_inch_is_the_coarse_size_where_whitworth_and_unified_part() -> None:
    """Common practice (no source): 12 against 13; from 1/4 to 1 1/2 all other coarse sizes share the pitch."""
    pairs = [
        (w, u)
        for w in all_threads()
        for u in all_threads()
        if (w.family, u.family) == ("BSW", "UNC") and w.size == u.size and Decimal("6.3") < w.major_mm < Decimal("38.2")
    ]
    assert len(pairs) == 14
    assert [w.size for w, u in pairs if w.tpi != u.tpi] == ["1/2"]
    assert all(w.angle_deg != u.angle_deg for w, u in pairs)


@pytest.mark.parametrize(
    ("thread", "other"),
    [
        ("M6", "0 BA"), ("G 1/8", "M10x1"), ("M8", "5/16-18 UNC"), ("M5", "2 BA"), ("1/2 BSW", "1/2-13 UNC"),
        ("1/4 BSW", "1/4-20 UNC"), ("3/8 BSF", "M10x1.25"), ("1/2 NPT", "G 1/2"), ("M5", "#10-32 UNF"),
    ],
)  # fmt: skip
def test_the_pairs_every_shop_has_mixed_once(thread: str, other: str) -> None:
    """Common practice (no source)."""
    assert other in [pair.other for pair in lookalikes_of(thread)]


def test_a_half_inch_bsp_is_nearly_21_mm_across() -> None:
    """Common practice (no source): the size of a pipe thread is the old bore."""
    thread = find_thread("half inch BSP")
    assert thread is not None
    assert thread.major_mm == Decimal("20.955")


@pytest.mark.parametrize(
    ("first", "second"), [("3/16", "1/4"), ("1/4", "5/16"), ("3/8", "7/16"), ("1/2", "9/16"), ("3/4", "7/8")]
)
def test_an_early_whitworth_head_takes_the_spanner_of_the_next_size(first: str, second: str) -> None:
    """Common practice (no source): a spanner marked 1/4 W is one marked 5/16 BS."""
    (early,) = hexagons_of(f"{first} BSW", system="BS large")
    (later,) = hexagons_of(f"{second} BSF", system="BS small")
    assert early.af_mm == later.af_mm
    assert early.marked == f"{first} W = {second} BS"


def test_the_speed_of_a_coupling_bearing() -> None:
    """Common practice (no source): a rubber-sealed double-row bearing in a shaft coupling runs at 7,500 r/min, 785 rad/s."""
    (reading,) = read_job(["The bearing runs at seven and a half thousand rpm."])
    (speed,) = [e for e in reading.entries if isinstance(e, Measurement)]
    assert (speed.value, speed.unit, speed.quantity) == (Decimal(7500), "rpm", "speed")
    assert float(speed.si or 0) == pytest.approx(785.398, abs=1e-3)
