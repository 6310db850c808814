"""The shape of what is read: kinds, their fields and their values."""

from __future__ import annotations

from decimal import Decimal

from notebook.entries import Measurement
from notebook.reading.reader import Reader, read_job

KINDS = {
    "finding": {"component", "position", "condition", "presence", "degree", "count", "of"},
    "step": {"action", "component", "position", "off", "note"},
    "mark": {"component", "text", "count", "position"},
    "measurement": {"component", "position", "quantity", "value", "low", "high", "unit", "si", "role", "about", "said"},
    "fastener": {"component", "count", "thread", "form", "length", "driver", "state", "heat", "position"},
    "mileage": {"value", "low", "high", "unit", "role", "component", "said"},
    "disposition": {"component", "action", "count", "done", "position", "of"},
    "caution": {"topic", "text"},
    "tip": {"topic", "text"},
    "tool": {"name", "for"},
    "storage": {"place", "contents", "action"},
    "decision": {"component", "position", "state", "action", "by", "settles"},
    "promise": {"text", "by_when"},
    "photo": {"of", "which"},
    "correction": {"scope", "target"},
}
COMMON = {"kind", "span", "confidence", "doubt", "from", "cue", "rule"}
JOB = [
    "Clock shows 1,860 hours. Gear guard's off, six M8 hex bolts, 13 mil socket, they're in bag 4.",
    "Dot on the pinion lines up with the dot on the gear. Photo.",
    "Two of the six shoes are cracked, the rest look fine, no scoring on the drum.",
    "Lining's 1.2 mil, limit is 3, so it wants replacing.",
    "Never lever against the fins. The trick is a bar between two old bolts to hold the flange.",
    "Got a picture of that already. Needed the two leg puller.",
    "Owner wants the lining done. Told him it'd be ready by Friday.",
    "Scratch that last one.",
]


def test_every_entry_has_the_fields_of_its_kind() -> None:
    seen = set()
    for reading in read_job(JOB):
        for entry in reading.entries:
            said = entry.to_json()
            seen.add(said["kind"])
            assert set(said) <= KINDS[said["kind"]] | COMMON, said
            assert {"kind", "span", "confidence"} <= set(said)
    assert seen == set(KINDS)


def test_values_are_of_the_listed_words() -> None:
    for reading in read_job(JOB):
        for said in (e.to_json() for e in reading.entries):
            if said["kind"] == "finding":
                assert said["presence"] in ("present", "absent", "possible")
                assert said.get("degree") in (None, "slight", "moderate", "severe")
            if said["kind"] == "measurement":
                assert said["role"] in ("measured", "limit", "nominal", "required")
            if said["kind"] == "mileage":
                assert said["role"] in ("reading", "fitted", "run", "expected")


def test_an_amount_is_exact_and_a_number_in_json() -> None:
    (measured,) = [e for e in Reader().read("The shim is seven point two thou").entries if isinstance(e, Measurement)]
    assert measured.value == Decimal("7.2")
    assert measured.to_json()["value"] == 7.2


def test_a_part_carried_over_says_from_where() -> None:
    first, second = read_job(["The pawl is chipped.", "It's bent too."])
    assert [e.to_json().get("from") for e in first.entries] == [None]
    assert {e.to_json()["component"] for e in second.entries} == {"pawl"}
    assert {e.to_json()["from"] for e in second.entries} == {"1"} or {e.to_json()["from"] for e in second.entries} == {
        1
    }


def test_nothing_to_point_at_is_a_doubt_and_no_guess() -> None:
    (entry,) = Reader().read("The other two are fine.").entries
    assert entry.to_json().get("component") is None
    assert entry.doubt


def test_a_new_job_forgets_the_old_one() -> None:
    assert Reader().read("It's bent.").entries[0].to_json().get("component") is None


def test_the_cue_that_decided_is_kept() -> None:
    (absent,) = Reader().read("No scoring on the drum.").entries
    (possible,) = Reader().read("The hub might be cracked.").entries
    assert (absent.cue, absent.to_json()["presence"]) == ("no", "absent")
    assert (possible.cue, possible.to_json()["presence"]) == ("might be", "possible")
