"""A person's correction wins over what was read, lasts over a reread, and is refused whole where it cannot hold."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import HOSTILE, Answered, Teardown

FIRST, SECOND = "Drum bearing is cracked.", "No cracks in the drum."


@pytest.fixture
def job(teardown: Teardown, tmp_path: Path) -> Teardown:
    """Give the command line of a shop whose job 2041 holds two plain remarks."""
    said = tmp_path / "said.txt"
    said.write_text(f"{FIRST}\n{SECOND}\n")
    teardown("new", "2041", "--machine", "winch")
    taken = teardown("add", "2041", said)
    assert (taken.status, taken.err) == (0, "")
    return teardown


def entries(job: Teardown, remark: int = 1) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = job("log", "2041", "--json").json["remarks"][remark - 1]["entries"]
    return found


def mends(job: Teardown) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = job("log", "2041", "--json").json["mends"]
    return found


def assert_refused(job: Teardown, answer: Answered, status: int) -> None:
    """A refusal is one line, stores no mend, and leaves a job that can be read again."""
    assert (answer.status, answer.out) == (status, "")
    assert len(answer.err.splitlines()) == 1
    assert answer.err.startswith("teardown: ")
    assert answer.err.strip().isprintable()
    assert mends(job) == []
    assert job("reread", "2041").status == 0


def test_a_field_is_set_and_stays_set(job: Teardown) -> None:
    answer = job("mend", "2041", "1", "--set", "condition=pitted", "--set", "count=2", "--person", "Maren", "--json")
    assert answer.status == 0
    (entry,) = answer.json["entries"]
    assert (entry["condition"], entry["count"], entry["mended"], entry["struck"]) == ("pitted", 2, True, False)
    assert job("reread", "2041").status == 0
    assert entries(job) == [entry]
    assert sorted((m["field"], m["old"] and json.loads(m["old"]), json.loads(m["new"]), m["person"], m["conflict"]) for m in mends(job)) == [
        ("condition", "cracked", "pitted", "Maren", None),
        ("count", None, 2, "Maren", None),
    ]  # fmt: skip


def test_an_entry_is_struck_and_no_longer_counts(job: Teardown) -> None:
    assert "drum bearing: cracked" in job("log", "2041").out.split("What was found wrong")[1].split("\n\n")[0]
    assert job("find", "cracked bearings").status == 0
    assert job("mend", "2041", "1", "--strike").status == 0
    assert [e["struck"] for e in entries(job)] == [True]
    assert "What was found wrong\n  nothing" in job("log", "2041").out
    assert "cracked  (struck out)" in job("log", "2041").out
    assert job("find", "cracked bearings").status == 1


def test_an_entry_is_added(job: Teardown) -> None:
    added = job(
        "mend", "2041", "2", "--add", "finding", "--set", "component=drum", "--set", "condition=scored", "--json"
    )
    assert added.status == 0
    assert [(e["condition"], e["presence"], e["mended"]) for e in added.json["entries"]] == [
        ("cracked", "absent", False),
        ("scored", "present", True),
    ]
    job("reread", "2041")
    assert entries(job, 2) == added.json["entries"]


def test_the_words_are_put_right_and_read_again(job: Teardown) -> None:
    answer = job("mend", "2041", "1", "--text", "Gear is worn.", "--json").json
    assert (answer["text"], answer["heard"]) == ("Gear is worn.", FIRST)
    assert [(e["component"], e["condition"]) for e in answer["entries"]] == [("gear", "worn")]
    job("mend", "2041", "1", "--text", "Gear is bent.")
    job("reread", "2041")
    remark = job("log", "2041", "--json").json["remarks"][0]
    assert (remark["text"], remark["heard"]) == ("Gear is bent.", FIRST)
    assert [m["action"] for m in mends(job)] == ["text", "text"]


def test_a_mend_that_no_longer_fits_is_told_and_kept(job: Teardown) -> None:
    job("mend", "2041", "1", "--set", "condition=pitted")
    job("mend", "2041", "1", "--text", "Nothing to say here.")
    reread = job("reread", "2041")
    assert reread.status == 0
    assert reread.err.startswith("! a mend no longer fits: ")
    assert [bool(m["conflict"]) for m in mends(job)] == [True, False]
    assert "mend of a finding: " in job("log", "2041").out.split("To look at")[1]
    job("mend", "2041", "1", "--text", FIRST)
    assert [m["conflict"] for m in mends(job)] == [None, None, None]
    assert [e["condition"] for e in entries(job)] == ["pitted"]


def test_a_remark_is_named_by_number_id_or_the_start_of_its_id(job: Teardown) -> None:
    remark_id = job("log", "2041", "--json").json["remarks"][0]["id"]
    entry_id = entries(job)[0]["id"]
    for which in ("1", remark_id, remark_id[:13]):
        for entry in ((), ("--entry", entry_id), ("--entry", entry_id[:8])):
            assert job("mend", "2041", which, *entry, "--accept", "--json").json["id"] == remark_id


def test_the_ids_of_the_log_are_those_the_mend_takes(job: Teardown) -> None:
    line = next(ln for ln in job("log", "2041", "--ids").out.splitlines() if "drum bearing: cracked" in ln)
    remark, entry = line.split()[-1].split(":")
    assert job("mend", "2041", remark, "--entry", entry, "--strike").status == 0
    assert entries(job)[0]["struck"]


@pytest.mark.parametrize("which", ["3", "0", "-1", "²", "9" * 5000, "", "abcd", "zz"])
def test_a_remark_that_is_not_there_is_nothing_found(job: Teardown, which: str) -> None:
    assert_refused(job, job("mend", "2041", "--strike", "--", which), 1)


def test_an_entry_that_is_not_there_is_nothing_found(job: Teardown) -> None:
    assert_refused(job, job("mend", "2041", "1", "--entry", "abcdef", "--strike"), 1)


@pytest.mark.parametrize(
    "said",
    [
        ("--set", "presence=maybe"),
        ("--set", "count=two"),
        ("--set", "count=2.5"),
        ("--set", "count=true"),
        ("--set", "count=NaN"),
        ("--set", "count=Infinity"),
        ("--set", "condition="),
        ("--set", "colour=red"),
        ("--set", "id=x"),
        ("--set", "struck=true"),
        ("--set", "confidence=1"),
        ("--set", "span=[0,1]"),
        ("--text", ""),
        ("--text", "  \n"),
        ("--add", "opinion"),
        ("--add", "finding"),
        ("--add", "finding", "--set", "component=drum"),
        ("--add", "finding", "--set", "condition=worn", "--set", "presence=perhaps"),
        ("--add", "finding", "--set", "condition=worn", "--set", "colour=red"),
        ("--add", "measurement", "--set", "value=NaN"),
        ("--add", "measurement", "--set", "value=wide"),
        ("--add", "fastener", "--set", "heat=warm"),
    ],
    ids=" ".join,
)
def test_what_does_not_fit_is_wrong_use_and_stores_nothing(job: Teardown, said: tuple[str, ...]) -> None:
    before = job("log", "2041", "--json").out
    assert_refused(job, job("mend", "2041", "1", *said), 2)
    assert job("log", "2041", "--json").out == before


@pytest.mark.parametrize(
    ("kind", "field", "typed", "stored"),
    [
        ("fastener", "heat", "false", False),
        ("fastener", "state", "tight", ["tight"]),
        ("fastener", "state", '["tight", "rounded"]', ["tight", "rounded"]),
        ("fastener", "length", "20.50", 20.5),
        ("fastener", "thread", "8", "8"),
        ("fastener", "count", "99999999999999999999", 99999999999999999999),
        ("measurement", "value", "7.20", 7.2),
        ("measurement", "said", "7.20", "7.20"),
        ("measurement", "about", "true", True),
    ],
)
def test_what_is_typed_becomes_the_kind_of_value_the_field_holds(
    job: Teardown, kind: str, field: str, typed: str, stored: object
) -> None:
    answer = job("mend", "2041", "1", "--add", kind, "--set", "component=bolt", "--set", f"{field}={typed}", "--json")
    assert answer.status == 0, answer.err
    assert answer.json["entries"][-1][field] == stored
    assert job("reread", "2041").status == 0
    assert entries(job)[-1][field] == stored


def test_hostile_words_are_kept_as_typed_and_shown_on_one_line(job: Teardown) -> None:
    hostile = HOSTILE.removesuffix("\ud800")
    answer = job("mend", "2041", "1", "--set", f"component={hostile}", "--set", "condition=wo\nrn", "--person", hostile)
    assert answer.status == 0
    assert len(answer.out.splitlines()) == 2
    assert "\x1b" not in answer.out
    assert entries(job)[0]["component"] == hostile
    for how in ((), ("--ids",), ("--markdown",)):
        log = job("log", "2041", *how).out
        assert all(line.isprintable() for line in log.split("\n"))
        assert "<script>" not in log or how != ("--markdown",)


def test_what_is_no_text_is_wrong_use_and_stores_nothing(job: Teardown) -> None:
    for said in (("--text", "Gear\udcff is worn."), ("--set", "component=\udcff"), ("--strike", "--person", "\udcff")):
        answer = job("mend", "2041", "1", *said)
        assert (answer.status, answer.out) == (2, "")
        assert "Traceback" not in answer.err
    assert mends(job) == []
    assert job("reread", "2041").status == 0


def test_rereading_says_what_it_did(job: Teardown) -> None:
    assert job("reread", "2041").out == "Job 2041: 2 remarks read again, 2 entries, 2 parts.\n"
    assert job("reread", "--all").out == job("reread", "2041").out
    before = job("log", "2041", "--json").out
    job("reread", "2041", "2041")
    assert job("log", "2041", "--json").out == before
