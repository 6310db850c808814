"""Put made jobs into an archive quickly, each remark with the entries it truly has.

In: jobs of `made_jobs`. Out: an archive as the notebook would have written it, but in large writes; the rows are made by
the archive's own functions. Nothing is read from the words: what is measured on it is asking, not reading.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from datetime import timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any
from uuid import UUID

from notebook.archive import rows
from notebook.archive.store import Archive
from notebook.archive.telling import Told, lay_out_told
from notebook.entries import entry_from_json
from notebook.nouns import Remark
from notebook.reading.names import names_of
from tests.speed.made_jobs import MadeJob

_AT_ONCE = 500


def fill_archive(shop: Path, jobs: Iterable[MadeJob]) -> int:
    """Write made jobs into the archive of a shop folder; give how many remarks."""
    remarks = 0
    with Archive(shop, names_of) as archive:
        archive.db.execute("PRAGMA synchronous = OFF")
        archive.db.execute("PRAGMA cache_size = -400000")
        archive.db.execute("PRAGMA foreign_keys = OFF")
        later = _put_off(archive)
        batch: dict[str, list[Any]] = {}
        for n, job in enumerate(jobs, 1):
            remarks += _lay_out(job, n, remarks, batch)
            if n % _AT_ONCE == 0:
                _write(archive, batch)
        _write(archive, batch)
        with archive.all_or_nothing():
            archive.db.execute(
                f"INSERT OR IGNORE INTO told({_TOLD}) SELECT {_TOLD} FROM temp.told_later ORDER BY 1, 2, 3, 4, 9, 10, 11, 12"
            )
            archive.db.execute("INSERT INTO remark_words(remark_words) VALUES ('rebuild')")
            archive.db.execute(
                "INSERT INTO spoken_in(remark_n, job_n) SELECT remark.n, job.n FROM remark JOIN job ON job.id = remark.job_id"
            )
            for sql in later:
                archive.db.execute(sql)
        archive.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return remarks


def _lay_out(job: MadeJob, job_n: int, before: int, batch: dict[str, list[Any]]) -> int:
    job_id, sitting_id, machine_id = (
        _id(f"job {job.number}"),
        _id(f"sitting {job.number}"),
        _id(f"machine {job.plate}"),
    )
    opened = rows.time_text(job.opened)
    _add(batch, "machine", {"id": machine_id, "kind": job.machine, "plate": job.plate})
    _add(
        batch,
        "job",
        {
            "id": job_id, "number": job.number, "machine_id": machine_id, "owner_ref": job.owner_ref, "reading": f"{job.reading_h} h",
            "opened": opened, "closed": None, "n": job_n,
        },
    )  # fmt: skip
    _add(
        batch,
        "sitting",
        {"id": sitting_id, "job_id": job_id, "person": job.person, "started": opened, "ended": None, "zone": "UTC"},
    )
    for order, said in enumerate(job.remarks, 1):
        n = before + order
        remark = Remark(
            id=_id(f"remark {n}"), sitting_id=sitting_id, order=order, at=job.opened + timedelta(minutes=2 * order), seconds=4.0,
            person=job.person, heard=said.text, text=said.text, tidied=said.text,
        )  # fmt: skip
        row = rows.remark_row(remark, job_id, remark.id, None)
        _add(batch, "remark", {"n": n, **row, "reader_version": "made"})
        for at, entry in enumerate(said.entries):
            common, table, own, told = _entry(json.dumps(entry))
            entry_id = _id(f"entry {n} {at}")
            body = common["body"].replace(_NO_ID, entry_id)
            _add(
                batch,
                "entry",
                {**common, "id": entry_id, "remark_id": remark.id, "job_id": job_id, "ord": at, "body": body},
            )
            _add(batch, table, {**own, "entry_id": entry_id})
            place = (int(job.opened.timestamp()), job_n, n, at)
            batch.setdefault("told", []).extend((*t, *place) for t in told)
    return len(job.remarks)


_NO_ID = "no id yet"
_NO_REMARK = Remark(id="", sitting_id="", order=1, at=None, seconds=None, heard="", text="")


@lru_cache(maxsize=100_000)
def _entry(written: str) -> tuple[dict[str, Any], str, dict[str, Any], list[Told]]:
    """Make the rows of an entry once for all that are alike."""
    entry = entry_from_json({**json.loads(written), "id": _NO_ID})
    common, table, own = rows.entry_rows(entry, _NO_REMARK, "", 0, None)
    return common, table, own, lay_out_told(entry, names_of)


def _id(of: str) -> str:
    """Give an id that looks as any other and is the same for the same thing."""
    return str(UUID(bytes=hashlib.blake2b(of.encode(), digest_size=16).digest()))


def _add(batch: dict[str, list[Any]], table: str, row: dict[str, Any]) -> None:
    batch.setdefault(table, []).append(row)


_TOLD = "name, kind, what, how, position, low, high, more, opened, job_n, remark_n, ord"


def _put_off(archive: Archive) -> list[str]:
    """Take away indexes and triggers, which are made at the end in one go; give their SQL."""
    found = archive.db.execute(
        "SELECT type, name, sql FROM sqlite_schema WHERE type IN ('index', 'trigger') AND sql IS NOT NULL"
    ).fetchall()
    for kind, name, _ in found:
        archive.db.execute(f'DROP {kind} "{name}"')
    archive.db.execute(f"CREATE TEMP TABLE told_later({_TOLD})")
    return [sql for _, _, sql in found]


def _write(archive: Archive, batch: dict[str, list[Any]]) -> None:
    with archive.all_or_nothing():
        archive.db.execute("PRAGMA defer_foreign_keys = ON")
        for table in sorted(batch, key=lambda name: _ORDER.get(name, 9)):
            listed = batch[table]
            if table == "told":
                archive.db.conn.executemany(
                    f"INSERT INTO temp.told_later({_TOLD}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", listed
                )
                continue
            names = list(listed[0])
            sql = f"INSERT OR IGNORE INTO {table}({', '.join(names)}) VALUES ({', '.join(':' + n for n in names)})"
            archive.db.conn.executemany(sql, listed)
    batch.clear()


_ORDER = {"machine": 0, "job": 1, "sitting": 2, "remark": 3, "entry": 4}
