"""Doubts about pitches, units and drills that were said, with what is right."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from notebook.entries import Entry
from notebook.reading.reader import read_job
from notebook.tables.amount_checks import doubt_drill, doubt_pitch, doubt_unit
from notebook.tables.thread_table import all_threads


def doubts(text: str) -> list[str]:
    (reading,) = read_job([text])
    entries: tuple[Entry, ...] = reading.entries
    return [e.doubt for e in entries if e.doubt and not re.search("which part|nothing said before", e.doubt)]


@pytest.mark.parametrize(
    ("said", "doubt"),
    [
        # BS 84: 3/8 BSF has 20 to the inch; nothing of 3 1/8 in has
        ("Bolt is 3 1/8 inch, 20 threads an inch.", "no 3 1/8 in thread of 20 tpi; 3/8 BSF is 20 tpi"),
        ("The pitch on that stud is 23 threads an inch.", "no thread of 23 tpi in the tables; the nearest 22 or 24"),
        ("Torque it to 40 psi.", "torque in psi; N·m or lbf·ft is usual"),
        ("End float is four bar.", "end float in bar; mm or thou is usual"),
        ("The oil pressure is 30 newton metres.", "pressure in N·m; bar or psi is usual"),
        # ISO 2306: M8 is tapped after 6.8 mm
        ("Drilled it out eight mil and tapped it M8.", "an 8 mm hole leaves no thread for M8; its tapping drill is 6.8 mm"),
        ("Nut took a 5/7 spanner.", "no 5/7 spanner; the nearest is 5/8"),
        ("Cover bolts are M8, 17 mm spanner.", "M8 bolt takes 13 mm; 17 mm is M10"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_doubted_with_what_is_right(said: str, doubt: str) -> None:
    assert doubts(said) == [doubt]


@pytest.mark.parametrize(
    "said",
    [
        "Torque was 85 newton metres, then another 90 degrees.",
        "Backlash is two degrees.",
        "Depth is fine, oil pressure four bar.",
        "The clearance is 0.1 mm and the voltage is 12 volts.",
        "Chain pitch is half an inch.",
        "Drilled it 6.8 mm and tapped it M8.",
        "Drilled it out to 8.2 mm and tapped it for an M8 insert.",
        "Bolt is 3/8 inch, 20 threads an inch.",
    ],
)
def test_what_can_be_is_left_alone(said: str) -> None:
    assert doubts(said) == []


def test_no_pitch_of_the_tables_is_doubted() -> None:
    for thread in all_threads():
        if thread.tpi is not None:
            assert doubt_pitch(thread.tpi, "tpi", "it is ") is None
        assert doubt_pitch(thread.pitch_mm, "mm", "", "stud") is None


def test_no_tapping_drill_of_the_tables_is_doubted() -> None:
    """Every drill of the tables, and one a tenth of a millimetre larger, suits its own thread from M3 up."""
    for thread in all_threads():
        if thread.tapping_drill_mm is not None and thread.major_mm >= 3:
            drill = thread.tapping_drill_mm
            for width in (drill, drill + Decimal("0.1")) if thread.pitch_mm >= Decimal("0.7") else (drill,):
                assert doubt_drill(f"{width} mm drill, then tapped", (thread.name,)) is None, thread.name


@pytest.mark.parametrize("text", ["8.5 mm drill for the M12 tap", "drilled 8 mm and tapped M10"])
def test_a_drill_under_the_core_is_doubted(text: str) -> None:
    thread = "M12" if "M12" in text else "M10"
    assert "under the core" in (doubt_drill(text, (thread,)) or "")


def test_two_threads_in_one_remark_say_nothing() -> None:
    assert doubt_drill("8 mm drill, tapped M8 and M10", ("M8", "M10")) is None


@pytest.mark.parametrize("before", ["", "speed ", "the torque on the 40 mm bolt with the "])
def test_only_what_stands_right_before_counts(before: str) -> None:
    assert doubt_unit("mm", before) in (None, "speed in mm; rpm is usual")
