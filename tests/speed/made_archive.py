"""Put made jobs into an archive quickly, each remark with the entries it truly has.

In: jobs of `made_jobs`. Out: an archive as the notebook would have written it, but in large writes; the rows are made by
the archive's own functions. Nothing is read from the words: what is measured on it is asking, not reading.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path
from typing import Any

from notebook.archive import rows
from notebook.archive.store import Archive
from notebook.archive.telling import lay_out_told
from notebook.entries import entry_from_json
from notebook.jobs.opening import lasting_id
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
        batch: dict[str, list[Any]] = {}
        for n, job in enumerate(jobs, 1):
            remarks += _lay_out(job, n, remarks, batch)
            if n % _AT_ONCE == 0:
                _write(archive, batch)
        _write(archive, batch)
        archive.db.execute("ANALYZE")
        archive.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return remarks


def _lay_out(job: MadeJob, job_n: int, before: int, batch: dict[str, list[Any]]) -> int:
    job_id, sitting_id, machine_id = (lasting_id(kind, job.number) for kind in ("job", "sitting", "machine"))
    machine_id = lasting_id("machine", job.plate)
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
        remark_id = lasting_id(job.number, str(order))
        entries = tuple(entry_from_json({**e, "id": lasting_id(remark_id, str(n))}) for n, e in enumerate(said.entries))
        remark = Remark(
            id=remark_id, sitting_id=sitting_id, order=order, at=job.opened + timedelta(minutes=2 * order), seconds=4.0, person=job.person,
            heard=said.text, text=said.text, tidied=said.text, entries=entries,
        )  # fmt: skip
        row = rows.remark_row(remark, job_id, remark_id, None)
        _add(batch, "remark", {"n": before + order, **row, "reader_version": "made"})
        for at, entry in enumerate(entries):
            common, table, own = rows.entry_rows(entry, remark, job_id, at, None)
            _add(batch, "entry", common)
            _add(batch, table, own)
            for told in lay_out_told(entry, names_of):
                place = (int(job.opened.timestamp()), job_n, before + order, at)
                batch.setdefault("told", []).append((*told, *place))
    return len(job.remarks)


def _add(batch: dict[str, list[Any]], table: str, row: dict[str, Any]) -> None:
    batch.setdefault(table, []).append(row)


def _write(archive: Archive, batch: dict[str, list[Any]]) -> None:
    with archive.all_or_nothing():
        archive.db.execute("PRAGMA defer_foreign_keys = ON")
        for table in sorted(batch, key=lambda name: _ORDER.get(name, 9)):
            listed = batch[table]
            if table == "told":
                archive.db.conn.executemany(
                    "INSERT OR IGNORE INTO told(name, kind, what, how, position, low, high, more, opened, job_n, remark_n, ord)"
                    " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                    sorted(listed, key=_told_order),
                )
                continue
            names = list(listed[0])
            sql = f"INSERT OR IGNORE INTO {table}({', '.join(names)}) VALUES ({', '.join(':' + n for n in names)})"
            archive.db.conn.executemany(sql, listed)
    batch.clear()


def _told_order(row: Any) -> tuple[Any, ...]:
    return (*row[:4], *row[8:])


_ORDER = {"machine": 0, "job": 1, "sitting": 2, "remark": 3, "entry": 4}
