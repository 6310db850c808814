"""Opens the archive's database: checked, migrated, with WAL and foreign keys, one connection a thread.

In: the file. Out: an open sqlite-utils `Database`. Turns what SQLite raises into one line that says what
happened, what is safe and what to do. Never reads or writes a row of the nouns.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlite_utils import Database

from notebook.archive.migrations import MIGRATIONS
from notebook.errors import NotebookError

_WAIT_S = 30
_AGAIN_S = 0.02


def open_database(path: Path) -> Database:
    """Open (and where needed make or migrate) the archive; raises NotebookError where it cannot."""
    with archive_errors(path):
        db = Database(sqlite3.connect(path, timeout=_WAIT_S))
        try:
            db.execute("PRAGMA foreign_keys = ON")
            db.execute("PRAGMA synchronous = NORMAL")
            _refuse_newer(db, path)
            if MIGRATIONS.pending(db):
                _set_wal(db)
                with writing(db):
                    MIGRATIONS.apply(db)
        except BaseException:
            db.close()
            raise
    return db


@contextmanager
def writing(db: Database) -> Iterator[None]:
    """Hold the archive for writing until all of it is done or none; inside another, it is a part of that one.

    Writing is asked for at once: a transaction that reads first and then wants to write is refused, without
    waiting, where another program wrote in between.
    """
    if db.conn.in_transaction:
        with db.atomic():
            yield
        return
    db.conn.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.conn.execute("COMMIT")
    except BaseException:
        db.rollback()
        raise


def _set_wal(db: Database) -> None:
    until_s = time.monotonic() + _WAIT_S
    while True:
        try:
            db.conn.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            # SQLite does not wait by itself while another program sets the mode of the same new file.
            if "locked" not in str(error) or time.monotonic() > until_s:
                raise
            time.sleep(_AGAIN_S)


def _refuse_newer(db: Database, path: Path) -> None:
    known = {m.name for m in MIGRATIONS.pending(db)} | {m.name for m in MIGRATIONS.applied(db)}
    ours = {m.name for m in MIGRATIONS._migrations}
    if known - ours:
        raise NotebookError(
            f"The archive {path.name} was written by a newer Teardown Notebook ({', '.join(sorted(known - ours))}). Nothing was changed.",
            "Open it with that version, or bring this one up to date.",
        )


@contextmanager
def archive_errors(path: Path) -> Iterator[None]:
    """Turn what SQLite raises into a line for a person."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        raise explain(error, path) from error


def explain(error: sqlite3.Error, path: Path) -> NotebookError:
    """Say in one line what an SQLite error means for the archive."""
    text = str(error).lower()
    if "full" in text or "disk i/o" in text:
        return NotebookError(
            "The disk is full or does not answer; what was stored before is safe.",
            "Free some room and run the same command again.",
        )
    if "locked" in text or "busy" in text:
        return NotebookError(
            "Another program keeps the archive busy; nothing was changed.", "Close it and run the same command again."
        )
    if "readonly" in text or "read-only" in text or "unable to open" in text:
        return NotebookError(
            f"The archive {path} cannot be written; nothing was changed.",
            "Check the rights of the shop folder, or name another with --shop.",
        )
    if "not a database" in text or "malformed" in text:
        return NotebookError(
            f"{path} is no archive or is damaged; it was left as it is.",
            "Put back a backup, or name another shop folder with --shop.",
        )
    return NotebookError(
        f"The archive refused: {error}. What was stored before is safe.",
        "Run the same command again; if it stays, put back a backup.",
    )
