"""Every kind of entry is said in plain words, and nothing that was said of an amount is left out."""

from __future__ import annotations

from decimal import Decimal

import pytest

from notebook.documents.words import entry_words, is_defect, part_name, plain_number
from notebook.entries import (
    KINDS,
    Caution,
    Correction,
    Decided,
    Disposition,
    Entry,
    Fastener,
    Finding,
    Mark,
    Measurement,
    Mileage,
    PhotoCue,
    Promise,
    Step,
    Storage,
    Tip,
    Tool,
)  # fmt: skip

D = Decimal
WORDS: list[tuple[Entry, str]] = [
    (Finding(condition="cracked"), "cracked"),
    (Finding(condition="cracked", degree="slight"), "slightly cracked"),
    (Finding(condition="cracked", degree="severe", presence="possible"), "perhaps badly cracked"),
    (Finding(condition="cracked", presence="absent", degree="slight"), "not cracked"),
    (Finding(condition="cracked", count=2, of=6), "2 of 6 cracked"),
    (Finding(condition="cracked", count=0, of=6), "0 of 6 cracked"),
    (Finding(condition="cracked", count=6, of=6), "all 6 cracked"),
    (Finding(condition="cracked", count=3), "3 cracked"),
    (Step(action="removed", off="shaft"), "removed off the shaft"),
    (Step(action="opened"), "opened"),
    (Mark(text="dot faces the gap"), "dot faces the gap"),
    (Measurement(value=D("7.20"), unit="mm", quantity="thickness"), "thickness 7.2 mm"),
    (Measurement(value=D("100"), unit="h"), "100 h"),
    (Measurement(value=D("-0.5"), unit="mm", role="limit"), "limit -0.5 mm"),
    (Measurement(low=D(5), high=D(8), unit="thou", role="nominal"), "should be 5 to 8 thou"),
    (Measurement(low=D(5), unit="thou"), "at least 5 thou"),
    (Measurement(high=D(8), unit="thou"), "up to 8 thou"),
    (Measurement(value=D(45), unit="N·m", role="required", quantity="torque", about=True), "torque set to about 45 N·m"),
    (Measurement(quantity="run-out"), "run-out ?"),
    (
        Fastener(count=8, thread="M6", form="countersunk socket screw", length=D("20"), driver="4 mm hex key", state=("tight", "rounded"), heat=True),
        "8 M6 x 20 mm countersunk socket screw; 4 mm hex key; tight, rounded; needed heat",
    ),
    (Fastener(heat=False), "fastener; no heat"),
    (Mileage(value=D(1860), unit="h"), "clock shows 1860 h"),
    (Mileage(value=D(900), unit="h", role="fitted"), "fitted at 900 h"),
    (Mileage(value=D(960), unit="h", role="run"), "has run 960 h"),
    (Mileage(low=D(800), high=D(1000), unit="h", role="expected"), "lasts about 800 to 1000 h"),
    (Disposition(action="replace"), "to be replaced"),
    (Disposition(action="replace", done=True, count=2), "2 replaced"),
    (Disposition(action="reuse"), "goes again"),
    (Disposition(action="send out", done=False), "to be sent out"),
    (Caution(text="never lever there"), "never lever there"),
    (Tip(text="warm it first"), "warm it first"),
    (Tool(name="two-leg puller"), "two-leg puller"),
    (Storage(place="bag 7", contents=("springs", "shims")), "springs, shims in bag 7"),
    (Storage(place="bag 7"), "in bag 7"),
    (Storage(place="bag 7", action="emptied"), "bag 7 emptied"),
    (Storage(place="bag 7", contents=("springs",), action="taken out"), "springs out of bag 7"),
    (Storage(place="bag 9", contents=("springs",), action="moved"), "springs in bag 9 (moved)"),
    (Decided(state="approved", action="replace", by="owner"), "approved (to be replaced) by the owner"),
    (Decided(state="declined", by="Idris"), "declined by Idris"),
    (Decided(state="advised"), "advised"),
    (Promise(text="told him Friday"), "told him Friday"),
    (PhotoCue(of="drum"), "photo of drum"),
    (PhotoCue(), "photo"),
    (Correction(scope="last remark"), "takes back the remark before"),
    (Correction(scope="value"), "corrects a value"),
]  # fmt: skip


@pytest.mark.parametrize(("entry", "words"), WORDS, ids=[words for _, words in WORDS])
def test_an_entry_is_said_in_words(entry: Entry, words: str) -> None:
    assert entry_words(entry) == words
    assert entry_words(entry.with_changes(struck=True)) == f"{words}  (struck out)"


def test_every_kind_is_said() -> None:
    assert {type(entry) for entry, _ in WORDS} == set(KINDS.values())


@pytest.mark.parametrize(
    "action",
    ["reuse", "clean", "rework", "overhaul", "replace", "scrap", "modify", "order", "check", "send out", "hold"],
)
def test_every_disposition_has_words_of_its_own(action: str) -> None:
    """The eleven actions are those of the contract; a wish and a deed never read alike."""
    said = entry_words(Disposition(action=action))
    assert said
    assert (said == action) == (action == "scrap")
    if action != "hold":
        assert entry_words(Disposition(action=action, done=True)) != said


@pytest.mark.parametrize(
    ("number", "written"),
    [
        ("7.20", "7.2"),
        ("7.0", "7"),
        ("700", "700"),
        ("7E+3", "7000"),
        ("0.000", "0"),
        ("1E-7", "0.0000001"),
        ("61480", "61480"),
    ],
)
def test_a_number_is_written_plainly(number: str, written: str) -> None:
    assert plain_number(Decimal(number)) == written


def test_a_part_is_named_with_its_position() -> None:
    assert part_name(Finding(component="bearing", position="inner", condition="worn")) == "bearing (inner)"
    assert part_name(Finding(component="bearing", condition="worn")) == "bearing"
    assert part_name(Finding(condition="worn")) == "part not named"
    assert part_name(Tip(text="x")) == "part not named"


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        (Finding(condition="cracked"), True),
        (Finding(condition="cracked", presence="possible"), True),
        (Finding(condition="cracked", presence="absent"), False),
        (Finding(condition="cracked", struck=True), False),
        (Finding(condition="missing"), True),
        (Finding(condition="sound"), False),
        (Finding(condition="not inspected"), False),
        (Disposition(action="scrap"), False),
    ],
)
def test_only_a_fault_that_is_or_may_be_there_is_a_defect(entry: Entry, expected: bool) -> None:
    assert is_defect(entry) is expected
