"""Torque, depth of thread, drills, keys by form and a spanner on a hexagon, as they are asked."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from notebook.documents.rebuild_sheet import torque_words
from notebook.entries import Fastener
from notebook.reading.wholes import is_safety_critical
from notebook.tables.engagement import formula_engagement, least_engagement_mm
from notebook.tables.look_up import look_up
from notebook.tables.threads import find_thread
from notebook.tables.torque import class_said, lubricant_said, torque_of


@pytest.mark.parametrize(
    ("asked", "kind", "said"),
    [
        ("M8 cap screw key", "key", "M8 cap screw: 6 mm"),  # ISO 4762
        ("drill for M8", "drill", "M8: 6.8 mm"),  # ISO 2306
        ("tapping drill M10 fine", "drill", "M10x1: 9 mm"),  # ISO 2306
        ("8.5 mm drill", "drill", "M10: its tapping drill is 8.5 mm"),  # ISO 2306
        ("M12 15 mm deep in cast iron", "engagement", "15 mm of M12 in cast iron; 18 mm is usual"),  # common practice (no source)
        ("M8 22 mm deep in aluminium", "engagement", "22 mm is enough"),  # M8 stop screws want 20 to 25 mm: common practice (no source)
        ("torque M10 8.8 brake caliper bolts", "torque", "lives hang on it: get the maker's figure"),
        ("torque M12 10.9 con rod bolt", "torque", "stretch bolts are not tightened by a table: get the maker's figure"),
        ("torque 3/8 BSF", "torque", "the guide is of metric threads only: get the maker's figure"),
        ("torque M10x1.25 8.8", "torque", "[medium confidence]"),
        ("13 mm spanner on 1/2 AF", "spanner", "0.3 mm slack, slack, light use only"),  # 1/2 in is 12.7 mm exactly
        ("17 mm spanner on an M8 nut", "spanner", "M8, 13 mm (metric ISO): 4 mm slack, will round the corners"),  # ISO 272
        ("1/2 AF socket on 12 mm", "spanner", "0.7 mm slack, will round the corners"),
        ("quarter BS spanner", "spanner", "1/4 BSW, 1/4 BSF"),  # BS 1083: 0.445 in
    ],
)  # fmt: skip
def test_the_answer_says(asked: str, kind: str, said: str) -> None:
    answer = look_up(asked, is_safety_critical)
    assert answer.kind == kind
    assert said in "\n".join([answer.title, *answer.lines])


def test_a_key_asked_by_form_gives_no_other_form() -> None:
    assert {k["form"] for k in look_up("M6 grub screw key").values["keys"]} == {"grub screw"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("4 M10 10.9 bolts hold the guard", "10.9"), ("grade 8.8 bolts", "8.8"), ("stamped 12.9, M10", "12.9"), ("10.9 mm long M8 bolts", None),
        ("M10 10.9 bolts and M8 8.8 bolts", None), ("M8 bolts", None), ("end float is 8.8 thou", None),
    ],
)  # fmt: skip
def test_a_class_is_heard_where_it_is_one(words: str, said: str | None) -> None:
    assert class_said(words) == said


def test_class_lubricant_and_soft_metal_said_with_a_bolt_count_on_the_rebuild_sheet() -> None:
    """T = K F d with the preload of ISO 898-1: M10 10.9, 58.0 mm2 at 830 MPa, K 0.15 gives 54 N·m."""
    bolt = Fastener(component="guard", thread="M10", form="bolt")
    said = torque_words(bolt, None, is_safety_critical=False, words="four M10 10.9 bolts, oiled")
    assert f"about {0.15 * 0.75 * 830 * 58.0 * 10 / 1000:.0f} N·m" in said
    assert "K 0.15" in said
    soft = torque_words(bolt, None, is_safety_critical=False, words="four M10 10.9 bolts into the aluminium")
    assert soft == "soft casting: get the maker's figure"
    assert lubricant_said("dry threads") == "dry"


def test_the_textbook_example_of_torque() -> None:
    """Shigley, Mechanical Engineering Design, example 8-3: 3/4-16 UNF, 25 kip, K 0.30 gives 5,625 lbf·in."""
    assert torque_of(Decimal("0.30"), Decimal(25000), Decimal("0.75")) == 5625


@pytest.mark.parametrize(("size", "n", "inches"), [("1/4", 20, 0.1730), ("1/2", 13, 0.3643), ("3/4", 10, 0.5513), ("1", 8, 0.7309)])  # fmt: skip
def test_engagement_by_the_formula_of_the_handbook(size: str, n: int, inches: float) -> None:
    """FED-STD-H28/2B formula 14, limits 2A/2B of ASME B1.1 as handbooks print them: area, hole, pitch diameter."""
    area, hole, pitch_diameter = {
        "1/4": (0.0318, 0.207, 0.2127), "1/2": (0.1419, 0.434, 0.4435), "3/4": (0.3345, 0.663, 0.6773), "1": (0.6057, 0.890, 0.9101),
    }[size]  # fmt: skip
    assert formula_engagement(area, hole, pitch_diameter, 1 / n) == pytest.approx(inches, rel=2e-3)


def test_engagement_agrees_with_screw_thread_lib() -> None:
    """screw_thread_lib 0.0.6 (MIT), LEr_FEDSTD_14, on each size of its table of ASME B1.1-2019 2A/2B limits."""
    threads = pytest.importorskip("screw_thread_lib.threads", reason="screw_thread_lib is not installed")
    limits = pytest.importorskip("screw_thread_lib.data.ASME").ASME_UN_2A2B_dict
    for size, row in limits.items():
        pitch = 1 / row["n"]
        full = {**row, "d2bsc": row["dbsc"] - 0.649519 * pitch, "d1bsc": row["dbsc"] - 1.082532 * pitch}
        full |= {"D1bsc": full["d1bsc"], "D2bsc": full["d2bsc"]}
        theirs = threads.Assembly(full).LEr_FEDSTD_14()
        area = math.pi / 4 * (row["dbsc"] - 0.9743 * pitch) ** 2
        ours = formula_engagement(area, row["D1max"], row["d2min"], pitch)
        assert ours == pytest.approx(theirs, rel=2e-3), size


@pytest.mark.parametrize(
    ("name", "hole_mm", "pitch_diameter_mm"),
    [("M6", 5.153, 5.212), ("M8", 6.912, 7.042), ("M10", 8.676, 8.862), ("M12", 10.441, 10.679), ("M16", 14.210, 14.503), ("M20", 17.744, 18.164)],
)  # fmt: skip
def test_metric_limits_come_from_the_formulas_of_the_standard(
    name: str, hole_mm: float, pitch_diameter_mm: float
) -> None:
    """ISO 965-2 as widely printed: largest minor diameter of 6H, smallest pitch diameter of 6g; within two in a hundred."""
    thread = find_thread(name)
    assert thread is not None
    pitch, d = float(thread.pitch_mm), float(thread.major_mm)
    area = math.pi / 4 * (d - 0.9382 * pitch) ** 2
    ours = least_engagement_mm(thread)
    assert ours == pytest.approx(formula_engagement(area, hole_mm, pitch_diameter_mm, pitch), rel=0.02)
    assert ours is not None
    assert 0.6 * d < ours < d  # the rule of thumb, one diameter, is the safer
    assert least_engagement_mm(find_thread("3/8 BSF") or thread) is None
