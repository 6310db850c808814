"""Tables against formulas and definitions: nothing here comes from the tables themselves.

Sources: international yard and pound agreement 1959 (inch, pound); 3rd CGPM 1901 (standard gravity);
SI Brochure 9th ed.; NIST SP 811 Appendix B (figures as widely printed); ISO 724 and ASME B1.1 (basic minor
diameter d - 1.0825 P); BS 84 and ISO 228-1 (Whitworth form, depth 0.640327 P); BS 93 (pitch 0.9^k mm,
diameter 6 p^1.2, flank angle 47.5); BS 811 (depth of cycle form 0.5327 P); ISO 898-1 (stress area, proof
stress); ASME B1.1-2019 limits as held by screw_thread_lib 0.0.6 (MIT).
"""

from __future__ import annotations

import importlib
import math
from decimal import Decimal
from fractions import Fraction

import pytest

from notebook.tables.rows import read_rows
from notebook.tables.thread_table import Thread, all_threads
from notebook.tables.threads import find_thread
from notebook.tables.units import convert, to_si

EXACT_DEFINITIONS = {
    "in": "0.0254", "lb": "0.45359237", "ft": "0.3048", "mi": "1609.344", "kgf": "9.80665", "bar": "100000",
    "atm": "101325", "gal": "0.00454609", "US gal": "0.003785411784", "lbf": "4.4482216152605", "min": "60",
    "h": "3600", "L": "0.001", "t": "1000", "oz": "0.028349523125", "ton": "1016.0469088",
}  # fmt: skip
NIST_SP_811 = {
    "lbf·ft": "1.355818", "lbf·in": "0.1129848", "kgf·m": "9.80665", "psi": "6894.757", "inHg": "3386.389",
    "inH2O": "249.0889", "hp": "745.6999", "ozf·in": "0.007061552", "rpm": "0.1047198", "deg": "0.01745329",
    "thou": "0.0000254", "at": "98066.5", "cwt": "50.80235", "US ton": "907.1847", "fl oz": "0.00002841306",
    "US pt": "0.0004731765", "metric hp": "735.4988", "mph": "0.44704", "yd": "0.9144",
}  # fmt: skip
"""Seven figures, as printed."""


@pytest.mark.parametrize(("unit", "si"), EXACT_DEFINITIONS.items())
def test_units_defined_exactly_are_exact(unit: str, si: str) -> None:
    assert to_si(Decimal(1), unit) == Decimal(si)


@pytest.mark.parametrize(("unit", "printed"), NIST_SP_811.items())
def test_units_round_to_the_printed_factor(unit: str, printed: str) -> None:
    ours = to_si(Decimal(1), unit)
    assert ours is not None
    assert float(f"{ours:.7g}") == pytest.approx(float(printed), rel=5.1e-7)


def test_psi_is_exactly_a_pound_force_on_a_square_inch() -> None:
    """Exact: 0.45359237 kg x 9.80665 m/s2 over 0.0254 m squared."""
    pascals = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2
    assert Fraction(to_si(Decimal(1290320000), "psi") or 0) == pascals * 1290320000


def test_twelve_figures_of_pi() -> None:
    assert to_si(Decimal(180), "deg") == Decimal("3.14159265359")
    assert to_si(Decimal(30), "rpm") == Decimal("3.14159265359")


@pytest.mark.parametrize(
    ("celsius", "fahrenheit", "kelvin"), [("0", "32", "273.15"), ("100", "212", "373.15"), ("-40", "-40", "233.15")]
)
def test_fixed_points_of_the_temperature_scales(celsius: str, fahrenheit: str, kelvin: str) -> None:
    assert convert(Decimal(celsius), "degC", "degF") == Decimal(fahrenheit)
    assert to_si(Decimal(fahrenheit), "degF") == to_si(Decimal(celsius), "degC") == Decimal(kelvin)


# Threads ----------------------------------------------------------------------------------------------------

DEPTH_BOTH_SIDES = {
    "M": 1.082532, "UNC": 1.082532, "UNF": 1.082532, "UNEF": 1.082532, "UNS": 1.082532,
    "BSW": 1.280654, "BSF": 1.280654, "G": 1.280654, "R": 1.280654, "BA": 1.2, "BSC": 1.0654,
}  # fmt: skip
"""Twice the basic depth of thread, in pitches. The cycle figure reproduces a published drill column."""
FLANK_ANGLES = {
    "M": 60,
    "UNC": 60,
    "UNF": 60,
    "UNEF": 60,
    "UNS": 60,
    "NPT": 60,
    "BSC": 60,
    "BSW": 55,
    "BSF": 55,
    "G": 55,
    "R": 55,
    "BA": 47.5,
}
LARGEST_SLIP_MM = 0.0016
"""Half a figure of the table, and the rounding of the standard's own steps for pipe threads."""


@pytest.mark.parametrize("thread", all_threads(), ids=lambda t: t.name)
def test_minor_diameter_pitch_and_angle_follow_the_form_of_the_thread(thread: Thread) -> None:
    assert float(thread.angle_deg) == FLANK_ANGLES[thread.family]
    if thread.tpi is not None:
        assert float(thread.pitch_mm) == pytest.approx(25.4 / float(thread.tpi), rel=1e-11)
    if thread.family == "NPT":
        assert thread.minor_mm is None
        return
    assert thread.minor_mm is not None
    minor = float(thread.major_mm) - DEPTH_BOTH_SIDES[thread.family] * float(thread.pitch_mm)
    assert float(thread.minor_mm) == pytest.approx(minor, abs=LARGEST_SLIP_MM)


@pytest.mark.parametrize(
    "thread", [t for t in all_threads() if t.tapping_drill_mm is not None and t.minor_mm], ids=lambda t: t.name
)
def test_a_tapping_drill_leaves_room_for_the_tap_and_enough_thread(thread: Thread) -> None:
    """Never under the basic minor diameter, never less than two thirds of the full depth (common practice)."""
    assert thread.tapping_drill_mm is not None
    assert thread.minor_mm is not None
    assert thread.tapping_drill_mm >= thread.minor_mm
    depth = (thread.major_mm - thread.tapping_drill_mm) / (thread.major_mm - thread.minor_mm)
    assert float(depth) >= 0.66


@pytest.mark.parametrize("k", range(26))
def test_ba_pitch_and_diameter_by_formula(k: int) -> None:
    """BS 93: pitch 0.9^k mm and diameter 6 p^1.2 of the unrounded pitch, both to two figures, for 0 to 25 BA."""
    thread = find_thread(f"{k} BA")
    assert thread is not None
    pitch = 0.9**k
    assert float(thread.pitch_mm) == float(f"{pitch:.2g}")
    assert float(thread.major_mm) == float(f"{6 * pitch**1.2:.2g}")


@pytest.mark.parametrize("thread", [t for t in all_threads() if t.size.startswith("#")], ids=lambda t: t.name)
def test_numbered_sizes_by_rule(thread: Thread) -> None:
    """ASME B1.1: diameter 0.060 + 0.013 n inches."""
    inches = Fraction("0.060") + Fraction("0.013") * int(thread.size[1:])
    assert Fraction(thread.major_mm) == inches * Fraction("25.4")


def test_inch_fractions_are_exact() -> None:
    for thread in all_threads():
        if thread.family in {"BSW", "BSF", "UNC", "UNF", "UNEF", "BSC"} and not thread.size.startswith("#"):
            inches = sum((Fraction(part) for part in thread.size.split()), Fraction(0))
            assert Fraction(thread.major_mm) == inches * Fraction("25.4"), thread.name


def test_unified_sizes_and_drills_against_asme_limits() -> None:
    """ASME B1.1-2019 2A/2B limits held by screw_thread_lib: series, threads an inch, drill between D1 min and max."""
    pytest.importorskip(
        "screw_thread_lib", reason="screw_thread_lib is not installed: pip install --no-deps screw_thread_lib"
    )
    limits = importlib.import_module("screw_thread_lib.data.ASME").ASME_UN_2A2B_dict
    assert len(limits) == 11
    for size, row in limits.items():
        thread = find_thread(f"{size} {row['series']}")
        assert thread is not None, size
        assert thread.family == row["series"]
        assert thread.tpi == row["n"]
        assert float(thread.major_mm) == pytest.approx(row["dbsc"] * 25.4)
        assert thread.tapping_drill_mm is not None
        # the limits are printed to 0.001 in, so half of that either side
        assert row["D1min"] - 0.0005 <= float(thread.tapping_drill_mm) / 25.4 <= row["D1max"] + 0.0005, size


# Torque guide -----------------------------------------------------------------------------------------------

PROOF_STRESS_MPA = {"10.9": (830, 830), "12.9": (970, 970), "8.8": (580, 600)}
"""ISO 898-1: up to 16 mm, and above."""
ISO_898_1_PROOF_LOADS_N = {
    ("M6", "8.8"): 11600, ("M8", "8.8"): 21200, ("M10", "8.8"): 33700, ("M12", "8.8"): 48900, ("M16", "8.8"): 91000,
    ("M20", "8.8"): 147000, ("M24", "8.8"): 212000, ("M8", "10.9"): 30400, ("M10", "10.9"): 48100,
    ("M12", "10.9"): 70000,
    ("M10", "12.9"): 56300, ("M12", "12.9"): 81800, ("M20", "12.9"): 238000,
}  # fmt: skip
"""As printed in published EN ISO 898-1 tables, coarse threads."""


def stress_area_mm2(diameter_mm: float, pitch_mm: float) -> float:
    """ISO 898-1: pi/4 ((d2 + d3)/2)^2 with d2 = d - 0.649519 P and d3 = d1 - H/6."""
    height = math.sqrt(3) / 2 * pitch_mm
    d2, d3 = diameter_mm - 0.75 * height, diameter_mm - 1.25 * height - height / 6
    return math.pi / 4 * ((d2 + d3) / 2) ** 2


def test_the_whole_torque_guide_is_the_formula() -> None:
    """T = K F d with F = 0.75 of the proof load; each figure to the three figures it is given."""
    rows = read_rows("torque_guide")
    assert len(rows) == 216
    for row in rows:
        d, pitch = float(row["thread"].split("x")[0][1:]), float(row["pitch_mm"])
        area = stress_area_mm2(d, pitch)
        small, large = PROOF_STRESS_MPA[row["property_class"]]
        stress = small if d <= 16 else large
        assert float(row["proof_stress_MPa"]) == stress
        assert float(row["stress_area_mm2"]) == pytest.approx(area, abs=0.006)
        assert float(row["proof_load_N_computed"]) == pytest.approx(area * stress, rel=2e-4)
        for k, column in ((0.20, "K0_20"), (0.15, "K0_15"), (0.12, "K0_12")):
            torque = k * 0.75 * area * stress * d / 1000
            assert float(row[f"torque_Nm_{column}"]) == pytest.approx(torque, rel=6e-3), row
        assert float(row["torque_lbfft_K0_20"]) == pytest.approx(float(row["torque_Nm_K0_20"]) / 1.355818, rel=8e-3)


@pytest.mark.parametrize(("bolt", "load"), ISO_898_1_PROOF_LOADS_N.items(), ids=str)
def test_proof_loads_against_the_printed_standard(bolt: tuple[str, str], load: int) -> None:
    (row,) = [r for r in read_rows("torque_guide") if (r["thread"], r["property_class"]) == bolt]
    assert float(row["proof_load_N_published"]) == load
    assert float(row["proof_load_N_computed"]) == pytest.approx(load, rel=0.012)


def test_every_metric_thread_of_the_torque_guide_exists() -> None:
    for row in read_rows("torque_guide"):
        thread = find_thread(row["thread"])
        assert thread is not None, row["thread"]
        assert thread.pitch_mm == Decimal(row["pitch_mm"])
