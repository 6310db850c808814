"""The same finding before: how often, what was done, how it turned out; never this job, never another's story."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest

from notebook.archive.store import Archive
from notebook.history.precedent import find_precedent
from notebook.jobs.opening import open_job
from tests.jobs.bench import OPENED, Bench, open_bench

JOBS = (
    ("1", "T-1", ["Return spring is broken.", "Return spring wants replacing."]),
    ("2", "T-2", ["Return spring has snapped.", "Scrap that spring."]),
    ("3", "T-1", ["All four return springs are fine."]),
    ("4", "T-2", ["Return spring is broken again."]),
    ("5", None, ["The valve spring is broken.", "The last one I did had a cracked drum."]),
    ("6", None, ["The return spring might be broken.", "Drum is not cracked."]),
    ("7", "T-2", ["Return spring is broken."]),
)


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Archive]:
    with open_bench(tmp_path_factory.mktemp("precedent"), number="first") as first:
        for n, (number, plate, remarks) in enumerate(JOBS):
            job = open_job(
                first.archive,
                first.shop,
                number=number,
                machine="winch",
                plate=plate,
                opened=OPENED + timedelta(days=n),
            )
            Bench(shop=first.shop, archive=first.archive, job=job).say(*remarks, name=f"{n}.txt")
        yield first.archive


def job_id(archive: Archive, number: str) -> str:
    return archive.find_jobs(number)[0].id


def test_how_often_what_was_done_and_how_it_turned_out(archive: Archive) -> None:
    found = find_precedent(archive, "return spring", "broken", without_job=job_id(archive, "7"))
    assert found is not None
    assert [b.hit.job_number for b in found.before] == ["4", "2", "1"]
    assert (found.job_count, found.of, found.is_wider) == (3, len(JOBS), False)
    assert [b.turned for b in found.before] == ["same again", "same again", "found good"]
    assert found.before[2].done == ("replace",)
    assert found.before[2].next_job is not None
    assert found.before[2].next_job.number == "3"
    assert found.lines()[0] == f"return spring broken: in 3 jobs before (of {len(JOBS)})"
    assert "since: 2 same again, 1 found good" in found.lines()


def test_a_closer_name_that_was_never_so_is_looked_for_by_its_kind(archive: Archive) -> None:
    found = find_precedent(archive, "lift arm spring", "broken")
    assert found is not None
    assert (found.component, found.is_wider, found.job_count) == ("spring", True, 5)


@pytest.mark.parametrize(
    ("component", "condition"), [("drum", "cracked"), ("return spring", "bent"), ("gear", "broken")]
)
def test_what_never_was_has_no_precedent(archive: Archive, component: str, condition: str) -> None:
    assert find_precedent(archive, component, condition) is None


def test_only_jobs_before_a_day_can_be_asked_for(archive: Archive) -> None:
    found = find_precedent(archive, "return spring", "broken", before=OPENED + timedelta(days=1))
    assert found is not None
    assert [b.hit.job_number for b in found.before] == ["1"]


def test_a_job_is_no_precedent_of_itself(archive: Archive) -> None:
    assert find_precedent(archive, "valve spring", "broken", without_job=job_id(archive, "5"), before=OPENED) is None
