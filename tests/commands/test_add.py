"""Things are taken into a job one by one: what is bad is told in one line each, and the rest goes on."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from tests.conftest import Teardown
from tests.photos.pictures import save_picture

Write = Callable[..., Path]
FIELDS = {"remarks", "known_remarks", "photos", "known_photos", "noise_dropped", "problems"}


@pytest.fixture
def job(teardown: Teardown) -> Teardown:
    """Give the command line of a shop in which job 2041 is open."""
    assert teardown("new", "2041", "--machine", "winch", "--opened", "2026-03-04T09:00:00+00:00").status == 0
    return teardown


def texts(job: Teardown) -> list[str]:
    return [remark["text"] for remark in job("log", "2041", "--json").json["remarks"]]


def test_remarks_in_words_are_taken_in_order(job: Teardown, write_remarks: Write) -> None:
    said = ["Drum bearing is cracked.", "No cracks in the drum.", "Guard is off."]
    taken = job("add", "2041", write_remarks(*said), "--person", "Maren", "--json")
    assert (taken.status, taken.err) == (0, "")
    assert set(taken.json) == FIELDS
    assert (taken.json["remarks"], taken.json["problems"]) == (3, [])
    log = job("log", "2041", "--json").json
    assert [(r["order"], r["text"], r["at"], r["person"]) for r in log["remarks"]] == [
        (n, text, None, "Maren") for n, text in enumerate(said, 1)
    ]
    assert [s["person"] for s in log["sittings"]] == ["Maren"]


def test_taking_the_same_file_again_changes_nothing(job: Teardown, write_remarks: Write, tmp_path: Path) -> None:
    said = write_remarks("Drum bearing is cracked.", "Guard is off.")
    picture = save_picture(tmp_path / "IMG_1.jpg")
    job("add", "2041", said, picture)
    before = job("log", "2041", "--json").out
    twin = write_remarks("Drum bearing is cracked.", "Guard is off.", name="the same under another name.txt")
    for files in ((said, picture), (twin,), (said, twin, said)):
        again = job("add", "2041", *files, "--json")
        assert again.status == 0
        assert (again.json["remarks"], again.json["photos"], again.json["problems"]) == (0, 0, [])
        assert again.json["known_remarks"] == 2 * len([f for f in files if f.suffix == ".txt"])
    assert job("log", "2041", "--json").out == before


def test_the_same_words_in_another_job_are_its_own(job: Teardown, write_remarks: Write) -> None:
    said = write_remarks("Drum bearing is cracked.")
    job("new", "2042", "--machine", "winch")
    job("add", "2041", said)
    assert job("add", "2042", said, "--json").json["remarks"] == 1
    ids = {number: job("log", number, "--json").json["remarks"][0]["id"] for number in ("2041", "2042")}
    assert len(set(ids.values())) == 2


def test_timed_remarks_keep_their_time_and_are_put_in_order(job: Teardown, write_remarks: Write) -> None:
    rows = [
        {"at": "2026-03-04T11:00:05+01:00", "seconds": 3.5, "text": "Drum bearing is cracked."},
        {"at": "2026-03-04T09:59:00Z", "text": "Guard is off."},
    ]
    job("add", "2041", write_remarks(*map(json.dumps, rows), name="said.jsonl"))
    remarks = job("log", "2041", "--json").json["remarks"]
    assert [r["text"] for r in remarks] == ["Guard is off.", "Drum bearing is cracked."]
    assert [datetime.fromisoformat(r["at"]) for r in remarks] == [
        datetime.fromisoformat("2026-03-04T09:59:00+00:00"),
        datetime.fromisoformat("2026-03-04T10:00:05+00:00"),
    ]
    assert [r["seconds"] for r in remarks] == [None, 3.5]


BAD_LINES = {
    "no JSON": "{not json",
    "no object": '["Guard is off."]',
    "no text": '{"at": "2026-03-04T09:00:00Z"}',
    "text is null": '{"text": null}',
    "text is a number": '{"text": 5}',
    "text is empty": '{"text": "  "}',
    "half of a sign": '{"text": "\\ud83d"}',
    "time without a zone": '{"at": "2026-03-04T09:00:00", "text": "Guard is off."}',
    "no time": '{"at": "yesterday", "text": "Guard is off."}',
    "time that is a number": '{"at": 5, "text": "Guard is off."}',
    "time before all time": '{"at": "0001-01-01T00:00:00+14:00", "text": "Guard is off."}',
    "no length": '{"seconds": NaN, "text": "Guard is off."}',
    "length without end": '{"seconds": 1e999, "text": "Guard is off."}',
    "length below nothing": '{"seconds": -1, "text": "Guard is off."}',
    "length in words": '{"seconds": "long", "text": "Guard is off."}',
    "too deep": "[" * 100_000,
}


@pytest.mark.parametrize("line", BAD_LINES.values(), ids=BAD_LINES.keys())
def test_a_broken_line_is_told_and_the_rest_is_taken(job: Teardown, write_remarks: Write, line: str) -> None:
    good = [json.dumps({"text": text}) for text in ("Drum bearing is cracked.", "Gear is worn.")]
    taken = job("add", "2041", write_remarks(good[0], line, good[1], name="said.jsonl"), "--json")
    assert taken.status == 0
    assert taken.json["remarks"] == 2
    (problem,) = taken.json["problems"]
    assert problem.startswith("said.jsonl line 2: ")
    assert problem.isprintable()
    assert taken.err == f"! {problem}\n"
    assert texts(job) == ["Drum bearing is cracked.", "Gear is worn."]


def test_signs_that_end_a_line_elsewhere_stay_inside_a_remark(job: Teardown, write_remarks: Write) -> None:
    said = "Drum\u2028bearing\u0085is\x1c cracked."
    line = json.dumps({"text": said}, ensure_ascii=False)
    assert job("add", "2041", write_remarks(line, name="said.jsonl"), "--json").json["remarks"] == 1
    assert texts(job) == [said]


def test_lines_may_end_as_other_systems_end_them(job: Teardown, tmp_path: Path) -> None:
    (tmp_path / "said.txt").write_bytes(b"\xef\xbb\xbfGuard is off.\r\n\r\n  Gear is worn.  \r\n")
    assert job("add", "2041", tmp_path / "said.txt", "--json").json["remarks"] == 2
    assert texts(job) == ["Guard is off.", "Gear is worn."]


BAD_FILES = {
    "empty.txt": b"",
    "blank.txt": b"\n  \n\t\n",
    "empty.jsonl": b"",
    "latin.txt": "Gehäuse gerissen".encode("latin-1"),
    "half.txt": "Guard is off.".encode("utf-16"),
    "text.jpg": b"Drum bearing is cracked.\n",
    "text.heic": b"Drum bearing is cracked.\n",
    "empty.png": b"",
    "notes.doc": b"Drum bearing is cracked.\n",
    "no suffix": b"Drum bearing is cracked.\n",
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_a_bad_file_alone_could_not_be_taken(job: Teardown, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(BAD_FILES[name])
    taken = job("add", "2041", tmp_path / name, "--json")
    assert taken.status == 3
    (problem,) = taken.json["problems"]
    assert name in problem.split(": ")[0]
    assert taken.err == f"! {problem}\n"
    assert texts(job) == []
    assert (tmp_path / name).read_bytes() == BAD_FILES[name]


def test_every_bad_file_beside_good_ones_leaves_the_good_ones_taken(
    job: Teardown, write_remarks: Write, tmp_path: Path
) -> None:
    bad = []
    for name, content in BAD_FILES.items():
        (tmp_path / name).write_bytes(content)
        bad.append(tmp_path / name)
    good = [write_remarks("Drum bearing is cracked."), save_picture(tmp_path / "IMG_1.jpg")]
    missing = tmp_path / "missing.txt"
    too_long = tmp_path / ("x" * 300 + ".txt")
    taken = job("add", "2041", *bad, missing, too_long, *good, "--json")
    assert taken.status == 0
    assert (taken.json["remarks"], taken.json["photos"]) == (1, 1)
    assert len(taken.json["problems"]) == len(BAD_FILES) + 2
    assert all(line.startswith("! ") and line.isprintable() for line in taken.err.splitlines())
    log = job("log", "2041", "--json").json
    assert [p["name"] for p in log["photos"]] == ["IMG_1.jpg"]


def test_a_file_that_is_not_there_is_told(job: Teardown, tmp_path: Path) -> None:
    taken = job("add", "2041", tmp_path / "gone\n\x1b[31m.txt")
    assert taken.status == 3
    assert "There is no such file." in taken.err
    assert len(taken.err.splitlines()) == 1
    assert "\x1b" not in taken.err


def test_a_folder_is_taken_whole_and_what_is_hidden_left(job: Teardown, tmp_path: Path) -> None:
    card = tmp_path / "card"
    for place in ("a", ".trash"):
        (card / place).mkdir(parents=True)
        save_picture(card / place / "IMG.jpg")
    (card / "a" / "said.txt").write_text("Gear is worn.\n")
    (card / "readme.doc").write_text("left without a word, for nobody named it")
    taken = job("add", "2041", card, "--json").json
    assert (taken["remarks"], taken["photos"], taken["problems"]) == (1, 1, [])


@pytest.mark.skipif(os.name == "nt", reason="Windows has no file names that are no text")
def test_a_file_name_that_is_no_text_is_taken_all_the_same(job: Teardown, tmp_path: Path) -> None:
    picture = save_picture(tmp_path / "a.jpg")
    odd = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.jpg"))
    said = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.txt"))
    try:
        picture.rename(odd)
    except OSError:
        pytest.skip("this disk takes no file names that are no text")
    said.write_text("Gear is worn.\n")
    taken = job("add", "2041", odd, said, "--json")
    assert (taken.status, taken.json["photos"], taken.json["remarks"]) == (0, 1, 1)
    assert job("log", "2041", "--json").json["photos"][0]["name"] == "caf\N{REPLACEMENT CHARACTER}.jpg"


def test_the_original_of_a_picture_is_kept_byte_for_byte(job: Teardown, tmp_path: Path) -> None:
    picture = save_picture(tmp_path / "IMG_1.jpg")
    job("add", "2041", picture)
    log = job("log", "2041", "--json").json
    kept = tmp_path / "shop" / "jobs" / log["job"]["id"] / "photos" / f"{log['photos'][0]['sha256']}.jpg"
    assert kept.read_bytes() == picture.read_bytes()


def test_numbers_too_large_for_the_archive_never_lose_a_remark(job: Teardown, write_remarks: Write) -> None:
    said = write_remarks("Guard is off.", f"Removed {'9' * 30} bolts, M6.", "Gear is worn.")
    assert job("add", "2041", said, "--json").json["remarks"] == 3
    assert len(texts(job)) == 3


def test_a_job_that_is_not_there_takes_nothing(teardown: Teardown, write_remarks: Write, tmp_path: Path) -> None:
    assert teardown("add", "77", write_remarks("Gear is worn.")).status == 1
    assert not list((tmp_path / "shop" / "jobs").iterdir())


@pytest.mark.parametrize("started", ["soon", "2026-03-04T25:00"])
def test_a_start_that_is_no_time_is_wrong_use(job: Teardown, write_remarks: Write, started: str) -> None:
    answer = job("add", "2041", write_remarks("Gear is worn."), "--started", started)
    assert answer.status == 2
    assert texts(job) == []


def test_a_name_that_is_no_text_is_wrong_use_and_stores_nothing(job: Teardown, write_remarks: Write) -> None:
    answer = job("add", "2041", write_remarks("Gear is worn."), "--person", "Mar\udcffen")
    assert answer.status == 2
    assert "Traceback" not in answer.err
    assert texts(job) == []
