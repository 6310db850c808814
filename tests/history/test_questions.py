"""Sixty questions, written with their right answers before the code that answers them, are answered nearly all rightly."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from notebook.archive.store import Archive
from notebook.jobs.opening import open_archive
from notebook.shop import open_shop
from tests.history.question_scores import FILL, Scored, score, score_plain, totals
from tests.history.question_set import asked_questions

LEAST = 0.95


@pytest.fixture(scope="module", params=["demonstration", "made"])
def filled(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Archive]]:
    folder: Path = tmp_path_factory.mktemp(request.param)
    FILL[request.param](folder)
    with open_archive(open_shop(folder)) as archive:
        yield request.param, archive


def test_precision_and_recall(filled: tuple[str, Archive]) -> None:
    over, archive = filled
    scored = score(archive, over)
    precision, recall, right, counted = totals(scored)
    assert (precision >= LEAST, recall >= LEAST) == (True, True), _misses(scored)
    assert right == counted, _misses(scored)
    plain_precision, *_ = totals(score_plain(archive, over))
    assert precision > plain_precision + 0.3


def _misses(scored: list[Scored]) -> list[tuple[int, str, float, float]]:
    return [
        (s.asked.n, s.understood, s.precision, s.recall)
        for s in scored
        if s.precision < 1 or s.recall < 1 or s.is_count_right is False
    ]


def test_the_questions_can_tell_right_from_wrong() -> None:
    asked = [a for over in ("demonstration", "made") for a in asked_questions(over)]
    assert len(asked) == 60
    assert len({a.jobs for a in asked}) > 40
    assert sum(a.asked_by != "plain" for a in asked) == 30
    assert sum(not a.jobs for a in asked) <= 5


@pytest.mark.parametrize("filled", ["demonstration"], indirect=True)
def test_broken_springs_are_never_those_that_were_whole_or_of_another_machine(filled: tuple[str, Archive]) -> None:
    _, archive = filled
    scored = next(s for s in score(archive, "demonstration") if s.asked.question == "which jobs had broken springs")
    assert scored.jobs == {"1041", "1127", "1214", "2041"}
