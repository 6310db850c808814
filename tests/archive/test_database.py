"""The archive opens whole, at the newest schema, or says in one line why not and leaves the file as it was."""

from __future__ import annotations

import hashlib
import re
import sqlite3
from pathlib import Path

import pytest

from notebook.archive.database import open_database
from notebook.archive.migrations import MIGRATIONS
from notebook.errors import COULD_NOT, NotebookError
from tests.jobs.bench import is_one_line, open_bench, rows_of


def ask(path: Path, sql: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(path)
    found = connection.execute(sql).fetchall()
    connection.close()
    return found


def sha256_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def refusal(path: Path) -> NotebookError:
    with pytest.raises(NotebookError) as told:
        open_database(path)
    assert told.value.exit_status == COULD_NOT
    assert is_one_line(str(told.value))
    assert told.value.remedy
    return told.value


@pytest.mark.parametrize("is_there", [False, True], ids=["no file", "a file of no bytes"])
def test_a_blank_archive_gets_the_whole_schema(tmp_path: Path, is_there: bool) -> None:
    path = tmp_path / "archive.db"
    if is_there:
        path.touch()
    db = open_database(path)
    applied = [m.name for m in MIGRATIONS.applied(db)]
    assert (db.journal_mode, next(db.query("PRAGMA foreign_keys"))) == ("wal", {"foreign_keys": 1})
    db.close()
    assert applied
    assert ask(path, "PRAGMA integrity_check") == [("ok",)]
    assert {"job", "remark", "entry", "mend", "photo"} <= {
        str(n) for (n,) in ask(path, "SELECT name FROM sqlite_schema")
    }


def test_migrations_are_numbered_without_a_gap() -> None:
    with sqlite3.connect(":memory:") as connection:
        from sqlite_utils import Database

        names = [m.name for m in MIGRATIONS.pending(Database(connection))]
    connection.close()
    numbers = [int(found[1]) for name in names if (found := re.match(r"m(\d{3})_\w+$", name))]
    assert numbers == list(range(1, len(names) + 1))


def test_an_archive_of_any_older_number_is_brought_up_and_keeps_what_it_holds(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
    before = rows_of(tmp_path / "shop")
    with open_bench(tmp_path) as bench:
        assert [r.text for r in bench.log().remarks] == ["Hub is cracked."]
        assert (bench.archive.db.journal_mode, MIGRATIONS.pending(bench.archive.db)) == ("wal", [])
    assert rows_of(tmp_path / "shop") == before


def test_foreign_keys_hold_after_the_archive_is_opened_again(tmp_path: Path) -> None:
    path = tmp_path / "archive.db"
    open_database(path).close()
    db = open_database(path)
    with pytest.raises(sqlite3.IntegrityError), db.atomic():
        db.execute("INSERT INTO sitting(id, job_id, started, zone) VALUES ('s', 'no such job', 't', 'UTC')")
    db.close()


def test_a_newer_archive_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
    path = tmp_path / "shop" / "archive.db"
    connection = sqlite3.connect(path)
    with connection:
        connection.execute(
            "INSERT INTO _sqlite_migrations(migration_set, name, applied_at) VALUES ('teardown-notebook', 'm999_later', 't')"
        )
    connection.close()
    before, files = sha256_of(path), sorted(p.name for p in path.parent.iterdir())
    told = refusal(path)
    assert "newer" in told.message
    assert "m999_later" in told.message
    assert "Nothing was changed" in told.message
    assert (sha256_of(path), sorted(p.name for p in path.parent.iterdir())) == (before, files)


def test_a_migration_that_fails_halfway_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "archive.db"
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("CREATE TABLE mend (theirs TEXT)")
        connection.execute("INSERT INTO mend VALUES ('kept')")
    connection.close()
    refusal(path)
    tables = {str(n) for (n,) in ask(path, "SELECT name FROM sqlite_schema WHERE type = 'table'")}
    assert tables - {"_sqlite_migrations", "sqlite_sequence"} == {"mend"}
    assert ask(path, "SELECT * FROM mend") == [("kept",)]


@pytest.mark.parametrize(
    "content", [b"no archive at all\n" * 400, b"\x00" * 8192, b"SQLite format 3\x00" + b"\xff" * 8000]
)
def test_a_file_that_is_no_archive_is_told_and_left(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "archive.db"
    path.write_bytes(content)
    told = refusal(path)
    assert "no archive or is damaged" in told.message
    assert path.read_bytes() == content


def test_a_folder_in_the_place_of_the_archive_is_told(tmp_path: Path) -> None:
    (tmp_path / "archive.db").mkdir()
    assert "cannot be written" in refusal(tmp_path / "archive.db").message


def test_damage_in_the_middle_is_told_when_it_is_met(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say(*(f"Bolt {n} of the hub is loose." for n in range(60)))
    path = tmp_path / "shop" / "archive.db"
    whole = path.read_bytes()
    # The first page and those of the schema stay, so that it opens; the rows are gone.
    path.write_bytes(whole[: len(whole) // 2] + b"\xa5" * (len(whole) - len(whole) // 2))

    def use() -> None:
        with open_bench(tmp_path) as bench:
            bench.log()
            bench.reread()

    with pytest.raises(NotebookError, match="no archive or is damaged"):
        use()


def test_a_busy_archive_is_told(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.archive.db.execute("PRAGMA busy_timeout = 20")
        other = sqlite3.connect(bench.archive.path)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(NotebookError) as told:
            bench.archive.close_job(bench.job.id, bench.job.opened)
        other.rollback()
        other.close()
        assert "busy" in told.value.message
        assert "nothing was changed" in told.value.message
        bench.archive.close_job(bench.job.id, bench.job.opened)
        assert bench.archive.find_jobs("2041")[0].closed == bench.job.opened
