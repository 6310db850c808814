"""Answers of `log` and `find` have the shapes the contract names, whatever was said and asked."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from tests.conftest import HOSTILE, ROOT, Teardown

FOUND = {"asked", "answer", "count", "of", "hits", "jobs"}
HIT = {"job", "machine", "date", "remark", "text", "entry", "photo", "second"}


@pytest.fixture
def shop(teardown: Teardown, write_remarks: Callable[..., Path]) -> Teardown:
    """Give the command line of a shop with two jobs of plain remarks."""
    for number, opened, said in (
        ("2041", "2026-03-04", ["Drum bearing is cracked.", "Brake band's off.", 'Stud is 3/8 BSF, label says "hot".']),
        ("2042", "2026-03-05", ["No cracks in the drum bearing.", "Gear is worn."]),
    ):
        teardown("new", number, "--machine", "winch", "--opened", opened)
        taken = teardown("add", number, write_remarks(*said, name=f"{number}.txt"))
        assert (taken.status, taken.err) == (0, "")
    return teardown


def test_a_question_is_answered_with_every_field(shop: Teardown) -> None:
    answer = shop("find", "which", "jobs", "had", "a", "cracked", "bearing", "--json")
    assert answer.status == 0
    found = answer.json
    assert set(found) >= FOUND
    assert (found["asked"], found["count"], found["of"], found["jobs"]) == ("bearing, cracked", 1, 2, ["2041"])
    (hit,) = found["hits"]
    assert set(hit) >= HIT
    assert (hit["job"], hit["machine"], hit["date"], hit["text"]) == (
        "2041",
        "winch",
        "2026-03-04",
        "Drum bearing is cracked.",
    )
    (remark,) = [r for r in shop("log", "2041", "--json").json["remarks"] if r["id"] == hit["remark"]]
    assert hit["entry"]["id"] == remark["entries"][0]["id"]
    assert hit["entry"]["condition"] == "cracked"


def test_a_question_of_what_is_absent_gives_the_other_job(shop: Teardown) -> None:
    assert shop("find", "bearings not cracked", "--json").json["jobs"] == ["2042"]


@pytest.mark.parametrize("words", ["3/8", '"hot"', "stud label"])
def test_words_are_found_as_words_and_the_answer_says_so(shop: Teardown, words: str) -> None:
    answer = shop("find", words, "--json")
    assert answer.status == 0
    assert answer.json["jobs"] == ["2041"]
    assert answer.json["asked"].startswith("remarks with the words: ")
    assert answer.json["hits"][0]["entry"] is None
    assert "as words" in shop("find", words).out


def test_a_thread_is_asked_for_as_a_fastener(shop: Teardown) -> None:
    answer = shop("find", "3/8 BSF", "--json").json
    assert answer["jobs"] == ["2041"]
    assert answer["hits"][0]["entry"]["kind"] == "fastener"


@pytest.mark.parametrize(
    "question",
    [
        "", " ", "?", '"', "'", "*", "3/8 NEAR(", "AND OR NOT", "kryptonite", "tidied:stud", "🔧", "\x1b[31m", "\ud800", "-", "a\nb",
        "'; DROP TABLE remark; --", "%", "_", "x" * 10_000, "worn " * 2000, "cracked\udcffbearing",
    ],
    ids=lambda q: ascii(q)[:24],
)  # fmt: skip
def test_any_question_is_answered_in_shape(shop: Teardown, question: str) -> None:
    answer = shop("find", "--json", "--", question)
    assert answer.err == ""
    assert set(answer.json) >= FOUND
    assert answer.status == (0 if answer.json["hits"] else 1)
    assert answer.json["count"] == len(answer.json["jobs"])
    in_words = shop("find", "--", question)
    assert in_words.status == answer.status
    assert all(line.isprintable() for line in in_words.out.split("\n"))
    assert shop("log", "2041", "--json").status == 0


def test_nothing_is_found_in_an_empty_shop(teardown: Teardown) -> None:
    answer = teardown("find", "broken springs", "--json")
    assert answer.status == 1
    assert (answer.json["count"], answer.json["of"], answer.json["hits"], answer.json["jobs"]) == (0, 0, [], [])


def test_the_log_has_every_field(shop: Teardown) -> None:
    log = shop("log", "2041", "--json").json
    assert set(log) >= {"job", "remarks", "parts", "photos"}
    for remark in log["remarks"]:
        assert set(remark) >= {"id", "at", "text", "tidied", "entries"}
        assert all(set(e) >= {"kind", "span", "confidence", "id", "struck", "mended"} for e in remark["entries"])
    entries = {e["id"] for r in log["remarks"] for e in r["entries"]}
    for part in log["parts"]:
        assert set(part) >= {"id", "component", "position", "of", "order", "entries", "verdicts"}
        assert set(part["entries"]) <= entries
    assert "drum bearing" in [p["component"] for p in log["parts"]]
    assert datetime.fromisoformat(log["job"]["opened"]).tzinfo is not None


def test_the_log_is_the_same_every_time(shop: Teardown) -> None:
    for how in ((), ("--ids",), ("--markdown",), ("--json",)):
        first = shop("log", "2041", *how)
        assert (first.status, first.err) == (0, "")
        assert shop("log", "2041", *how).out == first.out


def test_hostile_remarks_are_kept_as_said_and_shown_on_one_line_each(
    shop: Teardown, write_remarks: Callable[..., Path]
) -> None:
    said = HOSTILE.removesuffix("\ud800") + " Pinion is cracked."
    assert shop("add", "2041", write_remarks(json.dumps({"text": said}), name="said.jsonl")).status == 0
    assert said in [r["text"] for r in shop("log", "2041", "--json").json["remarks"]]
    for how in ((), ("--markdown",)):
        assert all(line.isprintable() for line in shop("log", "2041", *how).out.split("\n"))
    assert all(line.isprintable() for line in shop("find", "pinion").out.split("\n"))


def test_a_job_taken_in_as_words_has_nothing_to_play(shop: Teardown) -> None:
    answer = shop("play", "2041", "1")
    assert answer.status == 1
    assert "taken in as words" in answer.err


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252", "utf-8"])
def test_a_terminal_that_shows_few_signs_still_gets_its_answer(tmp_path: Path, encoding: str) -> None:
    said = "Drum 🔧 bearing is cracked — torque 45 N·m."
    for how, shown in (("--json", said), ("--explain", said.encode(encoding, "replace").decode(encoding))):
        done = subprocess.run(
            [sys.executable, "-m", "notebook", "read", "-", how], input=f"{said}\n".encode(), capture_output=True, check=True, cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": encoding},
        )  # fmt: skip
        answer = done.stdout.decode(encoding)
        assert done.stderr == b""
        assert shown == (json.loads(answer)["text"] if how == "--json" else answer.splitlines()[0].removeprefix("1: "))


def test_an_answer_that_nobody_reads_to_the_end_is_no_failure_of_the_notebook(tmp_path: Path) -> None:
    """As with `teardown read - | head -1`: one line or none on standard error, never a trace."""
    program = subprocess.Popen(
        [sys.executable, "-m", "notebook", "read", "-", "--json"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert program.stdout is not None
    program.stdout.close()
    program.stdout = None
    _, err = program.communicate(b"Gear is worn.\n" * 2000, timeout=120)
    assert b"Traceback" not in err
    assert program.returncode != 0


def test_the_log_tells_what_jobs_before_it_had_too(teardown: Teardown, write_remarks: Callable[..., Path]) -> None:
    for number, said in (("1", "The return spring is broken, replace it."), ("2", "One return spring is broken."), ("3", "Return spring is fine.")):  # fmt: skip
        teardown("new", number, "--machine", "forestry winch", "--opened", f"2026-03-0{number}")
        teardown("add", number, write_remarks(said, name=f"{number}.txt"))
    assert "Seen before" not in teardown("log", "1").out
    assert "Seen before" not in teardown("log", "3").out
    seen = teardown("log", "2").out.split("Seen before\n")[1]
    assert "return spring broken: once before" in seen
    assert "last: job 1, forestry winch" in seen
