"""The rows of one job that are its record, out of one archive and into another.

In: an open archive. Out: rows by table as plain values, and rows put in where they are not there yet. Only what cannot
be made again is carried: what was heard, pictured, corrected and decided; entries, parts and links are read anew.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping, Sequence
from typing import Any

from notebook.archive.database import archive_errors
from notebook.archive.store import Archive
from notebook.errors import COULD_NOT, NotebookError

Row = dict[str, Any]

TABLES: dict[str, str] = {
    "machine": "SELECT * FROM machine WHERE id = (SELECT machine_id FROM job WHERE id = :job)",
    "job": "SELECT * FROM job WHERE id = :job",
    "sitting": "SELECT * FROM sitting WHERE job_id = :job ORDER BY started, id",
    "recording": "SELECT * FROM recording WHERE job_id = :job ORDER BY sha256",
    "anchor": "SELECT * FROM anchor WHERE sitting_id IN (SELECT id FROM sitting WHERE job_id = :job) ORDER BY 1, 2, 3",
    "remark": "SELECT * FROM remark WHERE job_id = :job ORDER BY ord, id",
    "transcript": "SELECT * FROM transcript WHERE remark_id IN (SELECT id FROM remark WHERE job_id = :job) ORDER BY remark_id",
    "word": "SELECT * FROM word WHERE remark_id IN (SELECT id FROM remark WHERE job_id = :job) ORDER BY remark_id, 2",
    "unsettled": "SELECT * FROM unsettled WHERE remark_id IN (SELECT id FROM remark WHERE job_id = :job) ORDER BY remark_id, text_start",
    "photo": "SELECT * FROM photo WHERE job_id = :job ORDER BY id",
    "outage": "SELECT * FROM outage WHERE job_id = :job ORDER BY began, id",
    "mend": "SELECT * FROM mend WHERE job_id = :job ORDER BY id",
    "decision": "SELECT * FROM decision WHERE job_id = :job ORDER BY id",
    "rebuild_sitting": "SELECT * FROM rebuild_sitting WHERE job_id = :job ORDER BY sitting_id",
    "rebuild_tick": "SELECT * FROM rebuild_tick WHERE job_id = :job ORDER BY made, id",
    "outcome": "SELECT * FROM outcome WHERE job_id = :job ORDER BY made, id",
}
"""The tables that travel, in the order in which they can be put in."""
_LEFT_OUT = {"job": {"n", "clock"}, "remark": {"n", "tidied", "changes", "reader_version"}}
"""Columns that are the archive's own or are made again."""
_IDENTITY = ("machine_id", "opened")
"""What two jobs of one id must agree in; else one is somebody else's."""


def rows_of_job(archive: Archive, job_id: str) -> dict[str, list[Row]]:
    """Give the rows of a job by table."""
    with archive_errors(archive.path):
        return {
            table: [
                {k: v for k, v in row.items() if k not in _LEFT_OUT.get(table, ())}
                for row in archive.db.query(sql, {"job": job_id})
            ]
            for table, sql in TABLES.items()
        }


def check_rows(archive: Archive, rows: Mapping[str, Sequence[Row]]) -> None:
    """Refuse rows that this archive does not know, or a job whose id belongs to another job here."""
    for table, listed in rows.items():
        if table not in TABLES:
            raise NotebookError(
                f"The share holds a table {table!r} that is not known; nothing was taken in.",
                "Update this notebook.",
                COULD_NOT,
            )
        known = {c.name for c in archive.db[table].columns}
        for row in listed:
            if not isinstance(row, dict) or not row or set(row) - known:
                raise NotebookError(
                    f"The share holds a {table} with fields that are not known; nothing was taken in.",
                    "Update this notebook.",
                    COULD_NOT,
                )
    if len(rows.get("job", ())) != 1 or len(rows.get("machine", ())) != 1:
        raise NotebookError(
            "The share does not hold exactly one job in each of its parts; nothing was taken in.",
            "Ask for it again.",
            COULD_NOT,
        )
    _refuse_mixed(rows)
    (job,) = rows["job"]
    here = next(iter(archive.db.query("SELECT * FROM job WHERE id = ?", [job["id"]])), None)
    if here is not None and any(here[k] != job.get(k) for k in _IDENTITY):
        raise NotebookError(
            f"Another job of this shop has the id of job {job.get('number')!r} in the share; nothing was taken in.", "Ask the sender which job it is.", COULD_NOT,
        )  # fmt: skip


def _refuse_mixed(rows: Mapping[str, Sequence[Row]]) -> None:
    """Refuse rows that belong to another job than the one they travel with."""
    job_id = rows["job"][0].get("id")
    remarks = {r.get("id") for r in rows.get("remark", ())}
    for table, listed in rows.items():
        for row in listed:
            if ("job_id" in row and row["job_id"] != job_id) or (
                "remark_id" in row and table != "mend" and row["remark_id"] not in remarks
            ):
                raise NotebookError(
                    f"The share holds a {table} of another job; nothing was taken in.", "Ask for it again.", COULD_NOT
                )


def put_in(archive: Archive, rows: Mapping[str, Sequence[Row]]) -> int:
    """Put rows in that are not there yet, inside the caller's transaction; give how many were new.

    A machine with the same plate is the same machine. What is there already stays as it is: mends and decisions of two
    people are kept both.
    """
    machine = dict(rows["machine"][0])
    same = next(
        iter(
            archive.db.query(
                "SELECT id FROM machine WHERE id = ? OR (plate IS NOT NULL AND plate = ?)",
                [machine["id"], machine.get("plate")],
            )
        ),
        None,
    )
    count = 0
    try:
        for table in TABLES:
            for row in rows.get(table, ()):
                own = dict(row)
                if table == "machine" and same is not None:
                    continue
                if table == "job" and same is not None:
                    own["machine_id"] = same["id"]
                if table == "remark":
                    own |= {"tidied": own.get("text", ""), "changes": "[]", "reader_version": ""}
                names = ", ".join(own)
                found = archive.db.execute(
                    f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(own))}) ON CONFLICT DO NOTHING",
                    list(own.values()),
                )
                count += max(0, found.rowcount)
    except (sqlite3.IntegrityError, sqlite3.InterfaceError, sqlite3.ProgrammingError, OverflowError) as error:
        raise NotebookError(
            f"The share does not hang together ({error}); nothing was taken in.", "Ask for it again.", COULD_NOT
        ) from error
    return count
