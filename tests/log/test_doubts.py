"""Doubts that only the whole job shows."""

from __future__ import annotations

from decimal import Decimal

import pytest

from notebook.entries import Entry, Fastener, Measurement, Mileage
from notebook.log.doubts import doubt_together
from notebook.log.verdicts import running_left
from notebook.tables.cautions import DEFER, all_cautions, cautions_for
from tests.conftest import make_remark


def bolt(thread: str, component: str = "cover") -> Fastener:
    return Fastener(component=component, thread=thread, form="bolt")


def doubts(*remarks: tuple[Entry, ...], text: str = "said") -> list[str | None]:
    made = [make_remark(text, *entries, order=n) for n, entries in enumerate(remarks, 1)]
    return [e.doubt for r in doubt_together(made, str) for e in r.entries]


def test_lookalike_threads_on_one_part_are_pointed_out() -> None:
    """3/8 BSF (9.525 mm, 20 to the inch) starts in M10x1.25 (BS 84, ISO 261); computed in the table of lookalikes."""
    assert doubts((bolt("3/8 BSF"),), (bolt("M10x1.25"),)) == [
        None,
        "3/8 BSF is on this part too: the two start in each other by hand; gauge both",
    ]


def test_inch_and_metric_on_one_part_are_noted() -> None:
    assert doubts((bolt("M8"),), (bolt("1/4-20 UNC"),))[1] == "M8 is on this part too: inch and metric on one part"


@pytest.mark.parametrize("other", [bolt("M8"), bolt("3/8 BSF", "gearbox"), bolt("M6")])
def test_the_same_system_or_another_part_is_no_reason(other: Fastener) -> None:
    assert doubts((bolt("M8"),), (other,)) == [None, None]


def test_a_doubt_that_is_there_stays() -> None:
    said = bolt("M10x1.25").with_changes(doubt="17 mm is M10")
    assert doubts((bolt("3/8 BSF"),), (said,))[1] == "17 mm is M10"


def test_too_little_thread_in_soft_metal_is_pointed_out() -> None:
    """Two diameters in aluminium (common practice, no source): 9 mm of M8 is too little, 18 mm is not."""
    depth = Measurement(component="cover", quantity="depth", value=Decimal(9), unit="mm")
    text = "only 9 mm of M8 in the aluminium"
    assert doubts((bolt("M8"), depth), text=text)[1] == "9 mm of M8 in aluminium; 16 to 20 mm is usual"
    assert doubts((bolt("M8"), depth.with_changes(value=Decimal(18))), text=text)[1] is None


def test_cautions_come_once_the_gravest_first_and_defer() -> None:
    found = cautions_for(["brake band", "brake shoe", "brake shoes", "circlip"])
    assert len(found) == len(set(found))
    assert [c.level for c in found] == sorted((c.level for c in found), key=["high", "medium", "low"].index)
    assert any("asbestos" in c.text for c in found)
    assert "licensed practice" in DEFER


def test_a_winch_drum_is_no_oil_drum() -> None:
    assert not any("fuel" in c.text for c in cautions_for(["drum", "winch drum"]))


def test_every_caution_has_its_source_and_how_far_to_trust_it() -> None:
    assert len(all_cautions()) >= 60
    assert all(c.source and c.confidence in ("high", "medium", "low") and c.text.endswith(".") for c in all_cautions())


def test_what_is_left_of_what_was_expected() -> None:
    """Common practice (no source): rubbers of a shaft coupling are expected to last 10,000 miles; at 7,000, 3,000 are left."""
    run = Mileage(component="coupling rubber", value=Decimal(7000), unit="mi", role="run")
    expected = Mileage(component="coupling rubber", value=Decimal(10000), unit="mi", role="expected")
    assert running_left([run, expected]) == ["7,000 mi of about 10,000: about 3,000 left"]
    assert running_left([run]) == []
    assert running_left([run.with_changes(value=Decimal(12000)), expected]) == [
        "12,000 mi of about 10,000: past it by 2,000"
    ]
