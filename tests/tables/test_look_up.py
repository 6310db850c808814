"""What is looked up: threads, spanners, keys, measured bolts, units, torque and engagement, with their published sources."""

from __future__ import annotations

from decimal import Decimal

import pytest

from notebook.tables.engagement import doubt_engagement, engagement
from notebook.tables.look_up import look_up
from notebook.tables.measured import candidates
from notebook.tables.torque import TorqueGuide, torque_guide
from tests.conftest import Teardown


def lines(asked: str) -> str:
    answer = look_up(asked)
    return "\n".join([answer.title, *answer.lines])


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("3/8 BSF", "20 threads an inch"),  # BS 84
        ("2 BA", "pitch 0.81 mm"),  # BS 93
        ("1/2 BSP", "20.955 mm over the threads"),  # ISO 228-1: the size is the old bore
        ("M10", "pitch 1.5 mm"),  # ISO 261
        ("M10", "tapping drill 8.5 mm"),  # ISO 2306
        ("1/4-20 UNC", "20 threads an inch"),  # ASME B1.1
        ("3/8 BSF", "easily taken for M10x1.25"),  # computed: 0.475 mm and 0.02 mm of pitch apart
        ("M6 key", "M6 countersunk socket screw: 4 mm"),  # ISO 10642
        ("M6 key", "M6 cap screw: 5 mm"),  # ISO 4762
        ("13 mm spanner", "M8 hexagon bolt, screw and nut (metric ISO, 13 mm): no slack, its own size"),  # ISO 272
        ("40 lbf ft to Nm", "54.2327 "),  # NIST SP 811: 1 lbf·ft = 1.355818 N·m
        ("7.2 mm to thou", "283.465 thou"),  # 1 in = 25.4 mm exactly
        ("M8 in aluminium", "16 to 20 mm of good thread"),  # common practice (no source): 2 to 2.5 diameters
    ],
)
def test_the_wall_chart_is_answered(asked: str, said: str) -> None:
    assert said in lines(asked)


def test_a_fine_thread_left_open_gives_every_pitch() -> None:
    """M10 fine is 1.25, 1 and 0.75 (ISO 261)."""
    names = [t["name"] for t in look_up("M10 fine").values["threads"]]
    assert {"M10x1.25", "M10x1"} <= set(names)


def test_a_measured_bolt_gives_every_candidate_in_order() -> None:
    """9.4 mm with 20 to the inch is 3/8 BSF (BS 84); without a pitch M10 and the unified sizes come too."""
    assert next(c.thread.name for c in candidates(Decimal("9.4"), Decimal("1.27"))) == "3/8 BSF"
    open_pitch = [c.thread.name for c in candidates(Decimal("9.4"))]
    assert {"3/8 BSF", "3/8 BSW", "3/8-16 UNC", "3/8-24 UNF"} <= set(open_pitch)
    assert all(c.reasons for c in candidates(Decimal("9.4")))


def test_a_real_bolt_measures_under_its_name() -> None:
    """External threads measure 0.02 to 0.3 mm under nominal (common practice, no source): 9.85 mm is an M10, 10.3 is none."""
    assert "M10" in [c.thread.name for c in candidates(Decimal("9.85"), Decimal("1.5"))]
    assert candidates(Decimal("10.3"), Decimal("1.5")) == ()


@pytest.mark.parametrize(
    "asked", ["bananas", "3/7 BSF", "", "M", "?????", "a" * 5000, "9 mm over the threads 0 tpi", "1/0 in to mm"]
)
def test_nonsense_is_answered_with_nothing_like_that(asked: str) -> None:
    assert look_up(asked).kind in ("nothing", "measured bolt")


def test_nothing_is_found_with_the_nearest_and_status_1(teardown: Teardown) -> None:
    answer = teardown("look-up", "3/7", "BSF")
    assert answer.status == 1
    assert answer.out.startswith("Nothing like that in the tables. The nearest: 3/8 BSF")


def test_numbers_in_words_are_looked_up_too(teardown: Teardown) -> None:
    answer = teardown("look-up", "three", "eighths", "BSF", "--json")
    assert answer.json["threads"][0]["name"] == "3/8 BSF"


def test_torque_of_the_textbook_formula() -> None:
    """T = K F d, F 75 % of proof load (ISO 898-1: 580 MPa x 58.0 mm2): M10 8.8 with K 0.20 is 50.46 N·m, within 1 %."""
    guide = torque_guide("M10", "8.8")
    assert isinstance(guide, TorqueGuide)
    assert float(guide.torque_nm) == pytest.approx(0.20 * 0.75 * 580 * 58.0 * 10 / 1000, rel=0.01)
    assert "the maker's figure overrules" in guide.words()
    assert "K 0.20" in guide.words()


@pytest.mark.parametrize(
    ("thread", "said_class", "part", "critical"),
    [("M10", "8.8", "brake caliper", True), ("M10", None, "cover", False), ("M8", "10.9", "con rod bolt", False), ("M6", "8.8", "aluminium casting", False), ("3/8 BSF", "8.8", "cover", False)],
)  # fmt: skip
def test_no_torque_where_lives_hang_on_it_or_the_class_is_not_known(
    thread: str, said_class: str | None, part: str, critical: bool
) -> None:
    said = torque_guide(thread, said_class, part=part, is_safety_critical=critical)
    assert isinstance(said, str)
    assert said.endswith("get the maker's figure")


def test_engagement_by_rule_of_thumb() -> None:
    """Common practice (no source): steel one diameter, cast iron one and a half, aluminium two; M8 stop screws 20 to 25 mm."""
    steel, iron, soft = (engagement("M8", m) for m in ("steel", "cast iron", "aluminium"))
    assert steel is not None
    assert iron is not None
    assert soft is not None
    assert [float(x) for x in (steel.usual_mm, iron.usual_mm, soft.usual_mm, soft.cautious_mm)] == [8, 12, 16, 20]
    assert doubt_engagement("M8", "aluminium", Decimal(10)) == "10 mm of M8 in aluminium; 16 to 20 mm is usual"
    assert doubt_engagement("M8", "aluminium", Decimal(22)) is None


def test_the_rule_of_thumb_is_safer_than_the_formula() -> None:
    """FED-STD-H28/2B, as worked in handbooks: 1/2-13 UNC wants 0.3643 in for equal strengths; one diameter is more."""
    half = engagement("1/2-13 UNC", "steel")
    assert half is not None
    assert half.usual_mm > Decimal("0.3643") * Decimal("25.4")
