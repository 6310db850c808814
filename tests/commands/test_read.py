"""Text is read into entries, one object a remark, with nothing stored. Only plain remarks are used here."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import Teardown

PLAIN = "Drum bearing is cracked."
DENIED = "No cracks in the drum."


def test_each_remark_gives_one_object(teardown: Teardown) -> None:
    answer = teardown("read", "-", "--json", say=f"{PLAIN}\n{DENIED}\n")
    assert (answer.status, answer.err) == (0, "")
    first, second = answer.json_lines
    assert set(first) == {"line", "text", "tidied", "changes", "entries"}
    assert [(r["line"], r["text"]) for r in (first, second)] == [(1, PLAIN), (2, DENIED)]
    (cracked,) = first["entries"]
    (denied,) = second["entries"]
    assert (cracked["kind"], cracked["component"], cracked["condition"], cracked["presence"]) == (
        "finding", "drum bearing", "cracked", "present",
    )  # fmt: skip
    assert (denied["component"], denied["condition"], denied["presence"]) == ("drum", "cracked", "absent")


def test_every_entry_leads_to_its_words(teardown: Teardown) -> None:
    for remark in teardown("read", "-", "--json", say=f"{PLAIN}\nPlate measures seven point two mil.\n").json_lines:
        for entry in remark["entries"]:
            start, end = entry["span"]
            assert 0 <= start < end <= len(remark["tidied"])
            assert 0 <= entry["confidence"] <= 1
        for (start, end), (from_, to), why in remark["changes"]:
            assert remark["tidied"][start:end] != remark["text"][from_:to]
            assert why


def test_an_empty_line_starts_a_new_job_and_gives_no_output(teardown: Teardown) -> None:
    """What is carried over from a remark must not cross the empty line; lines are counted over it."""
    carried = teardown("read", "-", "--json", say=f"{PLAIN}\nIt is worn as well.\n").json_lines
    assert carried[1]["entries"][0]["component"] == "drum bearing"
    assert carried[1]["entries"][0]["from"] == "1"
    for gap in ("\n", "  \n", "\n\n\n", "\r\n"):
        apart = teardown("read", "-", "--json", say=f"{PLAIN}\n{gap}It is worn as well.\n").json_lines
        assert [r["line"] for r in apart] == [1, 2]
        assert all(e.get("component") is None for e in apart[1]["entries"])


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_a_file_and_standard_input_are_read_alike(teardown: Teardown, tmp_path: Path, ending: str, mark: str) -> None:
    said = (mark + ending.join((PLAIN, "", DENIED)) + ending).encode()
    (tmp_path / "said.txt").write_bytes(said)
    by_file = teardown("read", tmp_path / "said.txt", "--json")
    assert [r["text"] for r in by_file.json_lines] == [PLAIN, DENIED]
    assert teardown("read", "-", "--json", say=said).out == by_file.out


@pytest.mark.parametrize("said", ["", "\n", "\n\n"])
def test_nothing_said_gives_nothing(teardown: Teardown, said: str) -> None:
    answer = teardown("read", "-", "--json", say=said)
    assert (answer.status, answer.out, answer.err) == (0, "", "")


def test_bytes_that_are_no_text_are_read_as_far_as_they_go(teardown: Teardown, tmp_path: Path) -> None:
    (tmp_path / "said.txt").write_bytes(b"Drum bearing is cracked.\n\xff\xfe\x00 gear\n")
    answer = teardown("read", tmp_path / "said.txt", "--json")
    assert answer.status == 0
    assert answer.json_lines[0]["entries"][0]["condition"] == "cracked"
    assert "\N{REPLACEMENT CHARACTER}" in answer.json_lines[1]["text"]


@pytest.mark.parametrize("name", ["missing.txt", ".", "gone\n\x1b[31m.txt"])
def test_a_file_that_cannot_be_read_is_told(teardown: Teardown, tmp_path: Path, name: str) -> None:
    answer = teardown("read", tmp_path / name, "--json")
    assert (answer.status, answer.out) == (3, "")
    assert answer.err.startswith("teardown: ")
    assert answer.err.strip().isprintable()


def test_without_json_each_remark_is_shown_in_words(teardown: Teardown) -> None:
    answer = teardown("read", "-", "--explain", say=f"{PLAIN}\nGuard\x1b[31m is off.\n")
    lines = answer.out.splitlines()
    assert lines[0] == f"1: {PLAIN}"
    assert lines[1].split() == ["finding", "drum", "bearing:", "cracked"]
    assert lines[2].strip() == f'words "{PLAIN.rstrip(".")}"'
    assert lines[3].strip().startswith('present, by "cracked" (rule finding.')
    assert all(line.isprintable() for line in lines)


def test_nothing_is_stored(teardown: Teardown, tmp_path: Path) -> None:
    teardown("read", "-", say=f"{PLAIN}\n")
    assert not (tmp_path / "shop").exists()
