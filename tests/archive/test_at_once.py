"""Two programs may use one archive at once: both succeed, and neither undoes what the other wrote."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from notebook.archive.store import Archive
from notebook.entries import Finding
from tests.conftest import (
    ROOT,
    make_job,
    make_link,
    make_photo,
    make_remark,
    make_sitting,
    open_stocked_archive,
)

WRITERS = 4
EACH = 25


def run_together(write: Callable[[int], None]) -> None:
    """Run the writers in threads that all begin at the same moment; the first error is raised here."""
    gate = threading.Barrier(WRITERS)

    def begin(who: int) -> None:
        gate.wait(timeout=60)
        write(who)

    with ThreadPoolExecutor(WRITERS) as threads:
        for done in [threads.submit(begin, who) for who in range(WRITERS)]:
            done.result(timeout=120)


def test_writers_at_once_all_succeed(tmp_path: Path) -> None:
    open_stocked_archive(tmp_path).close()
    job = make_job()

    def write(who: int) -> None:
        with Archive(tmp_path) as archive:
            for n in range(EACH):
                order = who * EACH + n + 1
                remark = make_remark(f"Gear {order} is worn.", Finding(component="gear", condition="worn"), order=order)
                archive.add_remark(job.id, remark, source_key=str(order))

    run_together(write)
    with Archive(tmp_path) as archive:
        log = archive.load_log(job)
    assert [r.order for r in log.remarks] == list(range(1, WRITERS * EACH + 1))
    assert all(len(r.entries) == 1 for r in log.remarks)


def test_writers_that_read_first_all_succeed(tmp_path: Path) -> None:
    """Reading and then writing in one transaction is what SQLite refuses at once where another wrote in between."""
    job, photo, remark = make_job(), make_photo(), make_remark("Photo.")
    with open_stocked_archive(tmp_path) as archive:
        archive.add_remark(job.id, remark, source_key="1")
        archive.add_photo(job.id, photo, "a", "b")

    def write(_: int) -> None:
        with Archive(tmp_path) as archive:
            for _ in range(EACH):
                archive.replace_links(job.id, [make_link(photo, remark)])

    run_together(write)
    with Archive(tmp_path) as archive:
        assert archive.load_log(job).links == (make_link(photo, remark),)


OPEN = """
import sys
from pathlib import Path
from notebook.archive.store import Archive
from tests.conftest import make_job, make_sitting
print("ready", flush=True)
sys.stdin.readline()
with Archive(Path(sys.argv[1])) as archive:
    job = make_job(sys.argv[2], job_id=sys.argv[2])
    archive.add_job(job)
    archive.add_sitting(make_sitting(job))
"""


@pytest.mark.parametrize("is_there", [False, True], ids=["no file yet", "a file of no bytes"])
def test_programs_that_make_the_same_new_archive_all_succeed(tmp_path: Path, is_there: bool) -> None:
    if is_there:
        (tmp_path / "archive.db").touch()
    programs = [
        subprocess.Popen(
            [sys.executable, "-c", OPEN, str(tmp_path), str(who)], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE, text=True,
        )
        for who in range(WRITERS)
    ]  # fmt: skip
    for program in programs:
        assert program.stdout is not None
        assert program.stdout.readline() == "ready\n"
    for program in programs:
        assert program.stdin is not None
        program.stdin.write("go\n")
        program.stdin.flush()
    for program in programs:
        _, err = program.communicate(timeout=120)
        assert (program.returncode, err) == (0, "")
    with Archive(tmp_path) as archive:
        assert {job.number for job in archive.all_jobs()} == {str(who) for who in range(WRITERS)}


def test_a_new_archive_that_another_program_holds_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite refuses to set the mode of a file in use at once; the other program is done while the notebook waits."""
    other = sqlite3.connect(tmp_path / "archive.db")
    other.execute("BEGIN IMMEDIATE")
    waits_s: list[float] = []

    def let_go(wait_s: float) -> None:
        waits_s.append(wait_s)
        other.rollback()

    monkeypatch.setattr("notebook.archive.database.time.sleep", let_go)
    with open_stocked_archive(tmp_path) as archive:
        assert archive.all_jobs() == [make_job()]
    other.close()
    assert len(waits_s) == 1


def test_what_is_written_as_one_is_seen_as_one(tmp_path: Path) -> None:
    """A reader beside a writer sees all of it or none, and does not wait."""
    job, other = make_job(), make_job("2042", job_id="job-2")
    with open_stocked_archive(tmp_path, job) as archive, Archive(tmp_path) as reader:
        with archive.all_or_nothing():
            archive.add_job(other)
            archive.add_sitting(make_sitting(other))
            assert reader.find_jobs("2042") == []
        assert reader.find_jobs("2042") == [other]


def test_what_fails_inside_takes_back_all_of_it(tmp_path: Path) -> None:
    job, other = make_job(), make_job("2042", job_id="job-2")
    with open_stocked_archive(tmp_path, job) as archive:

        def fail_after_writing() -> None:
            with archive.all_or_nothing():
                archive.add_job(other)
                raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            fail_after_writing()
        assert archive.find_jobs("2042") == []
        with archive.all_or_nothing():
            with pytest.raises(ZeroDivisionError):
                fail_after_writing()
            archive.close_job(job.id, job.opened)
        assert [(j.number, j.closed) for j in archive.all_jobs()] == [(job.number, job.opened)]
