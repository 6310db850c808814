"""The archive's schema, by numbered migrations; a released one is never changed.

In: an open database. Out: the same database at the newest schema. The comments inside the SQL stay in the
database, so that any SQLite browser shows what a column means. Times are ISO 8601 in UTC.
"""

from __future__ import annotations

from sqlite_utils import Database, Migrations

from notebook.archive.asking_schema import ASKING_SCHEMA
from notebook.archive.bench_schema import BENCH_SCHEMA
from notebook.archive.care_schema import CARE_SCHEMA
from notebook.archive.caution_schema import CAUTION_SCHEMA
from notebook.archive.decided_schema import DECIDED_SCHEMA
from notebook.archive.first_schema import FIRST_SCHEMA
from notebook.archive.fitting_schema import FITTING_SCHEMA
from notebook.archive.newest_schema import NEWEST_SCHEMA
from notebook.archive.photo_schema import PHOTO_SCHEMA
from notebook.archive.speed_schema import SPEED_SCHEMA
from notebook.archive.view_schema import VIEW_SCHEMA
from notebook.archive.walked_schema import WALKED_SCHEMA

MIGRATIONS = Migrations("teardown-notebook")


@MIGRATIONS()
def m001_first_archive(db: Database) -> None:
    """Machines, jobs, sittings, remarks, words, photos, entries by kind, parts, fittings, links, mends, decisions, places."""
    for statement in FIRST_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m002_bench(db: Database) -> None:
    """Listening at the bench: while nothing could be heard, and words that the ear left unsettled."""
    for statement in BENCH_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m003_lives_of_fittings(db: Database) -> None:
    """When a fitting was last seen good, how long it had run when it failed, and the jobs that saw it."""
    for statement in FITTING_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m004_asking(db: Database) -> None:
    """Every entry laid out for asking, indexes to ask by, and views for people."""
    for statement in ASKING_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m005_cautions_read(db: Database) -> None:
    """Usual cautions that somebody has read for a job."""
    for statement in CAUTION_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m006_sync_card(db: Database) -> None:
    """The time on a sync card in a picture, and pictures that a person keeps loose."""
    for statement in PHOTO_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m007_backups(db: Database) -> None:
    """The backups that were made."""
    for statement in CARE_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m008_views(db: Database) -> None:
    """Views for people: jobs, fasteners, places."""
    for statement in VIEW_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m009_asking_quickly(db: Database) -> None:
    """The job of each remark by short numbers, and indexes that hold all that a question needs."""
    for statement in SPEED_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m010_newest_jobs(db: Database) -> None:
    """An index of the jobs, newest first, with all that a question asks of them."""
    for statement in NEWEST_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m011_the_way_back(db: Database) -> None:
    """What was said of each step of a rebuild, and how jobs turned out."""
    for statement in WALKED_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)


@MIGRATIONS()
def m012_decided(db: Database) -> None:
    """Decisions and promises that were said, places that are emptied, labels in pictures."""
    for statement in DECIDED_SCHEMA.split(";;"):
        if statement.strip():
            db.execute(statement)
