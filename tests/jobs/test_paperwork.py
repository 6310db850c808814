"""Documents over the archive: what is there without a typesetter, and figures that are those of the archive."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.conftest import Teardown

SAID = (
    "Guard's off, six M8 by 25 hex bolts.\n"
    "Drum shaft is 29.96 millimetres, limit 29.9.\n"
    "Lining is down to 1.4 mm, limit is 2, replace it.\n"
    "Two of the four springs are broken.\n"
    "Pinion is fine, no play at all.\n"
)


@pytest.fixture
def job(teardown: Teardown, tmp_path: Path) -> Teardown:
    words = tmp_path / "said.txt"
    words.write_text(SAID)
    assert teardown("new", "31", "--machine", "forestry winch").status == 0
    assert teardown("add", "31", words).status == 0
    return teardown


@pytest.mark.parametrize("asked", ["report 31", "rebuild 31", "order 31", "train winch"])
def test_without_the_typesetter_the_page_is_made_and_the_line_says_so(
    asked: str, job: Teardown, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    made = job(*asked.split(), "--to", tmp_path / "out")
    assert "pip install typst" in made.err
    names = {path.suffix for path in (tmp_path / "out").iterdir()}
    assert ".html" in names
    assert ".pdf" not in names


def test_figures_of_the_report_are_those_of_the_archive(job: Teardown, tmp_path: Path) -> None:
    job("report", "31", "--to", tmp_path / "out")
    page = next((tmp_path / "out").glob("*.html")).read_text()
    for figure in ("29.96 mm", "29.9 mm", "1.4 mm", "past it by 0.6 mm", "2 of 4"):
        assert figure in page


@pytest.mark.parametrize("kind", ["winch", "forestry winch", "forestry-winch", "Forestry_Winch"])
def test_a_kind_of_machine_is_found_however_its_words_are_joined(kind: str, job: Teardown, tmp_path: Path) -> None:
    assert job("train", kind, "--to", tmp_path / "out").status == 0


def test_a_kind_that_no_job_has_is_said_with_those_there_are(job: Teardown, tmp_path: Path) -> None:
    answer = job("train", "loom", "--to", tmp_path / "out")
    assert answer.status != 0
    assert "forestry winch" in answer.err
