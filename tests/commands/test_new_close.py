"""Jobs are opened under a number and closed; what cannot be a number is refused in one line."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest

from tests.conftest import Answered, Teardown


def assert_refused(answer: Answered, status: int) -> None:
    """A refusal is one printable line on standard error, with its exit status."""
    assert (answer.status, answer.out) == (status, "")
    lines = answer.err.splitlines()
    assert len(lines) == 1, answer.err
    assert lines[0].startswith("teardown: ")
    assert lines[0].isprintable()


def test_a_job_is_opened_and_found_again(teardown: Teardown) -> None:
    opened = teardown(
        "new", "2041", "--machine", "forestry winch", "--plate", "ST-118", "--owner-ref", "north gate", "--reading", "1860 h",
        "--opened", "2026-03-04T09:12:00+01:00", "--json",
    )  # fmt: skip
    assert opened.status == 0
    assert {k: v for k, v in opened.json.items() if k != "id"} == {
        "number": "2041", "machine": "forestry winch", "plate": "ST-118"
    }  # fmt: skip
    job = teardown("log", "2041", "--json").json["job"]
    assert datetime.fromisoformat(job.pop("opened")) == datetime.fromisoformat("2026-03-04T08:12:00+00:00")
    assert job == {
        "id": opened.json["id"], "number": "2041", "machine": "forestry winch", "plate": "ST-118", "owner_ref": "north gate",
        "reading": "1860 h", "closed": None,
    }  # fmt: skip


def test_the_folder_is_the_id_and_never_what_was_typed(teardown: Teardown, tmp_path: Path) -> None:
    for number in ("../../up", "..", ".", "/etc", "a/b", "C:\\x", "-1"):
        opened = teardown("new", "--machine", "winch", "--json", "--", number)
        assert opened.status == 0, opened.err
        assert (tmp_path / "shop" / "jobs" / opened.json["id"] / "photos").is_dir()
        assert teardown("log", "--json", "--", number).json["job"]["number"] == number
    assert [p.name for p in tmp_path.iterdir()] == ["shop"]
    assert {len(p.name) for p in (tmp_path / "shop" / "jobs").iterdir()} == {36}


@pytest.mark.parametrize("number", ["it's", 'say "2041"', "'; DROP TABLE job; --", "%", "é 🔧", "20 41", "x" * 200])
def test_a_number_is_only_a_label(teardown: Teardown, number: str) -> None:
    assert teardown("new", number, "--machine", "winch").status == 0
    assert teardown("log", number, "--json").json["job"]["number"] == number
    assert teardown("close", number).status == 0


@pytest.mark.parametrize(
    "number", ["", "   ", "20\n41", "20\t41\n", "\x1b[31m2041", "x" * 201, "20\udcff41", "\u202e2041"]
)
def test_what_cannot_be_a_number_is_refused(teardown: Teardown, number: str) -> None:
    assert_refused(teardown("new", number, "--machine", "winch"), 2)
    assert teardown("reread", "--all").out == ""


def test_a_number_is_used_once(teardown: Teardown) -> None:
    first = teardown("new", "2041", "--machine", "winch", "--json").json
    assert_refused(teardown("new", "2041", "--machine", "pump"), 2)
    assert_refused(teardown("new", " 2041 ", "--machine", "pump"), 2)
    assert teardown("log", "2041", "--json").json["job"]["id"] == first["id"]


def test_a_job_answers_to_its_id_too(teardown: Teardown) -> None:
    job_id = teardown("new", "2041", "--machine", "winch", "--json").json["id"]
    assert teardown("log", job_id, "--json").json["job"]["number"] == "2041"
    assert_refused(teardown("new", job_id, "--machine", "winch"), 2)


@pytest.mark.parametrize("machine", ["", "  ", "\n"])
def test_a_machine_has_a_name(teardown: Teardown, machine: str) -> None:
    assert_refused(teardown("new", "1", "--machine", machine), 2)


def test_what_is_said_of_a_machine_is_kept_on_one_line(teardown: Teardown) -> None:
    hostile = "win\nch\x1b[31m\udcff"
    opened = teardown(
        "new", "1", "--machine", hostile, "--plate", hostile, "--owner-ref", hostile, "--reading", hostile
    )
    assert opened.status == 0
    assert opened.out.count("\n") == 1
    assert opened.out.strip().isprintable()
    head = teardown("log", "1").out.splitlines()[0]
    assert head.count("win ch") == 3
    assert head.isprintable()


def test_the_same_plate_is_the_same_machine(teardown: Teardown, tmp_path: Path) -> None:
    from notebook.archive.store import Archive

    for number, plate in (("1", "ST-1"), ("2", " ST-1 "), ("3", "ST-2"), ("4", ""), ("5", ""), ("6", " ")):
        assert teardown("new", number, "--machine", "winch", "--plate", plate).status == 0
    with Archive(tmp_path / "shop") as archive:
        machines = {job.number: job.machine for job in archive.all_jobs()}
    assert machines["1"] == machines["2"]
    assert len({m.id for m in machines.values()}) == 5
    assert [machines[n].plate for n in "456"] == [None] * 3


@pytest.mark.parametrize("opened", ["yesterday", "2026-13-01", "04.03.2026", "", "0001-01-01T00:00:00+05:00"])
def test_a_time_that_is_none_is_refused(teardown: Teardown, opened: str) -> None:
    assert_refused(teardown("new", "1", "--machine", "winch", "--opened", opened), 2)
    assert teardown("log", "1").status == 1


def test_a_job_is_closed_and_opened_again(teardown: Teardown) -> None:
    teardown("new", "2041", "--machine", "winch")
    assert teardown("close", "2041").out == "Job 2041 is closed.\n"
    closed = teardown("log", "2041", "--json").json["job"]["closed"]
    assert datetime.fromisoformat(closed).tzinfo is not None
    assert teardown("close", "2041", "--open-again").out == "Job 2041 is open again.\n"
    assert teardown("log", "2041", "--json").json["job"]["closed"] is None


@pytest.mark.parametrize("command", [("log", "77"), ("close", "77"), ("reread", "77"), ("mend", "77", "1", "--strike")])
def test_a_job_that_is_not_there_is_nothing_found(teardown: Teardown, command: tuple[str, ...]) -> None:
    assert_refused(teardown(*command), 1)
    teardown("new", "2041", "--machine", "winch")
    answer = teardown(*command)
    assert_refused(answer, 1)
    assert "2041" in answer.err


def test_an_empty_job_has_a_log(teardown: Teardown) -> None:
    teardown("new", "2041", "--machine", "winch")
    answer = teardown("log", "2041")
    assert answer.status == 0
    assert "What was found wrong\n  nothing" in answer.out
    as_json = teardown("log", "2041", "--json").json
    assert [as_json[name] for name in ("remarks", "parts", "photos", "mends", "sittings", "recordings")] == [[]] * 6


def test_a_shop_folder_that_cannot_be_used_is_told(teardown: Teardown, tmp_path: Path) -> None:
    (tmp_path / "a file").write_text("not a folder")
    assert_refused(teardown("new", "1", "--machine", "winch", "--shop", tmp_path / "a file"), 3)
    assert (tmp_path / "a file").read_text() == "not a folder"


@pytest.mark.parametrize(
    "setting",
    ["zone = 'Nowhere/Atall'", "habit = 'cubit'", "keep_sound_days = -1", "zone = ", "\x00", 'zone = "../etc"'],
)
def test_settings_that_cannot_be_read_are_told_and_left(teardown: Teardown, tmp_path: Path, setting: str) -> None:
    teardown("new", "1", "--machine", "winch")
    settings = tmp_path / "shop" / "shop.toml"
    settings.write_text(setting)
    assert_refused(teardown("log", "1"), 3)
    assert settings.read_text() == setting


def test_an_archive_that_is_damaged_is_told_and_left(teardown: Teardown, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "archive.db").write_bytes(b"this is no archive, whatever its name says" * 50)
    before = (shop / "archive.db").read_bytes()
    for command in (("log", "1"), ("new", "1", "--machine", "winch"), ("find", "broken springs"), ("reread", "--all")):
        assert_refused(teardown(*command), 3)
    assert (shop / "archive.db").read_bytes() == before


def test_the_shop_is_named_by_option_before_environment(teardown: Teardown, tmp_path: Path) -> None:
    other = tmp_path / "other shop"
    assert teardown("new", "1", "--machine", "winch", "--shop", other).status == 0
    assert teardown("log", "1").status == 1
    assert json.loads(teardown("log", "1", "--shop", other, "--json").out)["job"]["number"] == "1"
