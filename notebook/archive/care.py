"""Care of the database itself: copied while in use, checked, laid out anew, a job taken out for good.

In: an archive. Out: a copy, what is wrong with it, what is kept of a job. Never touches sound or pictures.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from notebook.archive import rows
from notebook.archive.database import archive_errors
from notebook.archive.store import Archive
from notebook.archive.telling import lay_out_told
from notebook.errors import NotebookError


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptFile:
    """A file that the archive counts on."""

    path: str
    """Relative to the shop folder."""
    sha256: str | None
    """None where the archive does not know it."""
    what: str
    """`sound`, `remark`, `photo`, `thumbnail`."""
    job_number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeBackup:
    """A backup that was made."""

    path: str
    made: datetime
    sha256: str
    newest_job_n: int


def copy_database(archive: Archive, target: Path) -> None:
    """Copy the database as it is now, also while others write; the copy is whole and stands alone."""
    with archive_errors(archive.path), closing(sqlite3.connect(target)) as copy:
        archive.db.conn.backup(copy, pages=2000)
        copy.execute("PRAGMA journal_mode = DELETE")
        refuse_damaged(copy, target)


def refuse_damaged(db: sqlite3.Connection, path: Path) -> None:
    """Raise NotebookError where SQLite finds the database damaged."""
    wrong = [row[0] for row in db.execute("PRAGMA integrity_check(5)") if row[0] != "ok"]
    if wrong:
        raise NotebookError(
            f"{path.name} is damaged ({wrong[0]}); nothing was changed.", "Put back a backup: teardown restore FILE"
        )


def refuse_damaged_file(path: Path) -> None:
    """Raise NotebookError where a file is no whole database."""
    with archive_errors(path), closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as db:
        refuse_damaged(db, path)


def find_damage(archive: Archive) -> list[str]:
    """Give what is wrong inside the database, a line each."""
    found: list[str] = []
    with archive_errors(archive.path):
        found += [r[0] for r in archive.db.execute("PRAGMA integrity_check(20)").fetchall() if r[0] != "ok"]
        for table, _, parent, _ in archive.db.execute("PRAGMA foreign_key_check").fetchall()[:20]:
            found.append(f"a row of {table} belongs to a {parent} that is not there")
        orphans = archive.db.execute(
            "SELECT count(*) FROM entry WHERE remark_id NOT IN (SELECT id FROM remark)"
        ).fetchone()[0]
        if orphans:
            found.append(f"{orphans} entries have no remark")
    return found


def find_stale(archive: Archive) -> list[str]:
    """Give what no longer follows from the record and can be made again."""
    found: list[str] = []
    with archive_errors(archive.path):
        try:
            archive.db.execute("INSERT INTO remark_words(remark_words, rank) VALUES ('integrity-check', 1)")
        except sqlite3.DatabaseError:
            found.append("the index of words")
        finally:
            archive.db.conn.rollback()
        told = "SELECT count(DISTINCT remark_n * 4096 + ord) FROM told WHERE name = ''"
        counted = "SELECT count(*) FROM entry WHERE struck = 0"
        if archive.db.execute(told).fetchone() != archive.db.execute(counted).fetchone():
            found.append("the entries laid out for asking")
    return found


def lay_out_again(archive: Archive) -> None:
    """Make the index of words and the entries laid out for asking again, from the remarks and entries."""
    with archive.all_or_nothing():
        archive.db.execute("INSERT INTO remark_words(remark_words) VALUES ('rebuild')")
        archive.db.execute("DELETE FROM told")
        sql = (
            "SELECT entry.*, remark.n AS remark_n, job.n AS job_n, CAST(strftime('%s', job.opened) AS INTEGER) AS opened FROM entry"
            " JOIN remark ON remark.id = entry.remark_id JOIN job ON job.id = remark.job_id WHERE entry.struck = 0"
        )
        archive.db.conn.executemany(
            "INSERT OR IGNORE INTO told(name, kind, what, how, position, low, high, more, opened, job_n, remark_n, ord)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                (*told, row["opened"], row["job_n"], row["remark_n"], row["ord"])
                for row in list(archive.db.query(sql))
                for told in lay_out_told(rows.entry_of(row), archive.names_of)
            ),
        )


def list_files(archive: Archive, job_id: str | None = None) -> Iterator[KeptFile]:
    """Give every file that the archive counts on, of one job or of all."""
    only = "WHERE job_id = ?" if job_id else ""
    params = [job_id] if job_id else []
    for sql in (
        f"SELECT path, sha256, 'sound' AS what, job_id FROM recording {only}",
        f"SELECT path, sha256, 'photo' AS what, job_id FROM photo {only}",
        f"SELECT thumbnail_path AS path, NULL AS sha256, 'thumbnail' AS what, job_id FROM photo {only}",
        f"SELECT DISTINCT sound_path AS path, NULL AS sha256, 'remark' AS what, job_id FROM remark {only}",
    ):
        with archive_errors(archive.path):
            joined = f"SELECT kept.path, kept.sha256, kept.what, job.number FROM ({sql}) AS kept JOIN job ON job.id = kept.job_id WHERE kept.path IS NOT NULL"
            for path, sha256, what, number in archive.db.execute(joined, params).fetchall():
                yield KeptFile(path=path, sha256=sha256, what=what, job_number=number)


def count_unread(archive: Archive, reader_version: str) -> int:
    """Give how many jobs were read by other rules than today's."""
    with archive_errors(archive.path):
        sql = "SELECT count(DISTINCT job_id) FROM remark WHERE reader_version <> ?"
        return int(archive.db.execute(sql, [reader_version]).fetchone()[0])


def forget_rows(archive: Archive, job_id: str) -> None:
    """Take everything of a job out of the database, so that no byte of it stays in the file.

    Deleted rows are overwritten, the index of words is made anew, the file is written anew and the journal emptied.
    """
    with archive_errors(archive.path):
        db = archive.db
        db.execute("PRAGMA secure_delete = ON")
        with archive.all_or_nothing():
            (machine_id,) = db.execute("SELECT machine_id FROM job WHERE id = ?", [job_id]).fetchone()
            db.execute("DELETE FROM job WHERE id = ?", [job_id])
            if db.execute("SELECT 1 FROM job WHERE machine_id = ?", [machine_id]).fetchone() is None:
                db.execute("DELETE FROM fitting WHERE machine_id = ?", [machine_id])
                db.execute("DELETE FROM machine WHERE id = ?", [machine_id])
            db.execute("INSERT INTO remark_words(remark_words) VALUES ('rebuild')")
        db.execute("VACUUM")
        busy, _, _ = db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if busy:
            raise NotebookError(
                "The job is forgotten, but another program still reads the archive, and its journal holds old pages.",
                "Close the other program, then run: teardown check",
            )


def note_backup(archive: Archive, path: Path, made: datetime, sha256: str, newest_job_n: int) -> None:
    """Note that a backup was made."""
    with archive.all_or_nothing():
        archive.db.execute(
            "INSERT OR REPLACE INTO backup(path, made, sha256, newest_job_n) VALUES (?, ?, ?, ?)",
            [str(path), rows.time_text(made), sha256, newest_job_n],
        )


def backups_with(archive: Archive, job_id: str) -> list[MadeBackup]:
    """Give the backups that were made while the job was there, newest first."""
    with archive_errors(archive.path):
        sql = "SELECT backup.* FROM backup JOIN job ON job.n <= backup.newest_job_n WHERE job.id = ? ORDER BY made DESC"
        return [
            MadeBackup(
                path=r["path"],
                made=datetime.fromisoformat(r["made"]),
                sha256=r["sha256"],
                newest_job_n=r["newest_job_n"],
            )
            for r in archive.db.query(sql, [job_id])
        ]


def newest_job_n(archive: Archive) -> int:
    """Give the highest number that counts a job."""
    with archive_errors(archive.path):
        return int(archive.db.execute("SELECT coalesce(max(n), 0) FROM job").fetchone()[0])


def read_view(archive: Archive, view: str) -> tuple[list[str], Iterator[tuple[object, ...]]]:
    """Give the columns and the rows of one of the views for people, or of a table."""
    with archive_errors(archive.path):
        found = archive.db.execute(f'SELECT * FROM "{view}"')
        return [d[0] for d in found.description], iter(found.fetchall())
