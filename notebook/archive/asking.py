"""Finds what was told of parts over all jobs: findings, dispositions, sizes, fasteners, places.

In: what is wanted, already understood. Out: the jobs, how many, and the newest hits. Never reads a question.
Every answer comes from one stretch of the key of `told`; the words, photos and sounds are looked up for the hits that
are shown, and for no others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from notebook.archive import rows
from notebook.archive.database import archive_errors
from notebook.archive.search import HIT, Hit, hit_of, marks
from notebook.archive.store import Archive

MOST_HITS = 200
MOST_JOBS = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class JobsWanted:
    """Which jobs a question is about; None or nothing where it does not say."""

    machines: tuple[str, ...] | None = None
    """Kinds of machine as the archive holds them."""
    plate: str | None = None
    number: str | None = None
    owner_ref: str | None = None
    person: str | None = None
    since: datetime | None = None
    until: datetime | None = None
    """The first moment after."""
    clock_from: float | None = None
    clock_to: float | None = None
    clock_above: float | None = None
    clock_below: float | None = None

    @property
    def is_any(self) -> bool:
        """Tell whether every job is meant."""
        return self == JobsWanted()

    def where(self) -> tuple[list[str], list[Any]]:
        """Give conditions on `job` and their values."""
        said: list[tuple[str, Any]] = [
            ("job.number = ?", self.number),
            ("job.owner_ref = ? COLLATE NOCASE", self.owner_ref),
            ("job.machine_id IN (SELECT id FROM machine WHERE plate = ? COLLATE NOCASE)", self.plate),
            ("job.id IN (SELECT job_id FROM sitting WHERE person = ?)", self.person),
            ("job.opened >= ?", rows.time_text(self.since)),
            ("job.opened < ?", rows.time_text(self.until)),
            ("job.clock >= ?", self.clock_from),
            ("job.clock <= ?", self.clock_to),
            ("job.clock > ?", self.clock_above),
            ("job.clock < ?", self.clock_below),
        ]
        where = [sql for sql, value in said if value is not None]
        values = [value for _, value in said if value is not None]
        if self.machines is not None:
            where.append(f"job.machine_id IN (SELECT id FROM machine WHERE kind IN ({marks(self.machines)}))")
            values.extend(self.machines)
        return where, values


ANY_JOB = JobsWanted()


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is wanted of the entries of those jobs."""

    kind: str
    names: tuple[str, ...] = ()
    """Names of the part, any of which will do; none for any part."""
    whats: tuple[str, ...] = ()
    hows: tuple[str, ...] = ()
    position: str | None = None
    state: str | None = None
    """State of a fastener."""
    above: float | None = None
    below: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    """Bounds of an amount in its SI unit."""
    jobs: JobsWanted = field(default=ANY_JOB)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found."""

    numbers: tuple[str, ...] = ()
    """Job numbers, newest first, at most `MOST_JOBS`."""
    job_count: int = 0
    entry_count: int = 0
    hits: tuple[Hit, ...] = ()


def find_told(archive: Archive, wanted: Wanted, most: int = MOST_HITS) -> Found:
    """Give the jobs in which that was told, newest first, and the newest hits."""
    where, values = _where(wanted)
    count = "count(*)" if len(wanted.names) < 2 else "count(DISTINCT remark_n * 4096 + ord)"
    with _asking(archive):
        jobs = archive.db.execute(
            f"SELECT opened, job_n, {count} FROM told WHERE {where} GROUP BY opened, job_n ORDER BY opened DESC, job_n DESC",
            values,
        ).fetchall()
        if not jobs:
            return Found()
        shown, enough = 0, len(jobs)
        for n, (_, _, told) in enumerate(jobs, 1):
            shown += told
            if shown >= most:
                enough = n
                break
        found = archive.db.execute(
            f"SELECT DISTINCT opened, job_n, remark_n, ord FROM told WHERE {where} AND opened >= ? ORDER BY opened DESC, job_n DESC, remark_n, ord LIMIT ?",
            [*values, jobs[enough - 1][0], most],
        ).fetchall()
        return Found(
            numbers=tuple(_numbers(archive, [n for _, n, _ in jobs[:MOST_JOBS]])),
            job_count=len(jobs),
            entry_count=sum(count for _, _, count in jobs),
            hits=tuple(_hits(archive, [(n, o) for _, _, n, o in found])),
        )


def find_jobs_where(archive: Archive, jobs: JobsWanted) -> Found:
    """Give the jobs themselves, newest first, each with its first remark."""
    where, values = jobs.where()
    condition = " AND ".join(where) or "1"
    with _asking(archive):
        found = archive.db.execute(
            f"SELECT job.n FROM job WHERE {condition} ORDER BY job.opened DESC, job.n DESC", values
        ).fetchall()
        numbers = [n for (n,) in found]
        return Found(
            numbers=tuple(_numbers(archive, numbers[:MOST_JOBS])),
            job_count=len(numbers),
            hits=tuple(_first_words(archive, numbers[:MOST_HITS])),
        )


def count_jobs_where(archive: Archive, jobs: JobsWanted) -> int:
    """Give how many jobs there are of that description."""
    where, values = jobs.where()
    with _asking(archive):
        return int(
            archive.db.execute(f"SELECT count(*) FROM job WHERE {' AND '.join(where) or '1'}", values).fetchone()[0]
        )


def knows_name(archive: Archive, name: str) -> bool:
    """Tell whether anything was ever told of a part of that name."""
    with _asking(archive):
        return archive.db.execute("SELECT 1 FROM told WHERE name = ? LIMIT 1", [name]).fetchone() is not None


def list_machine_kinds(archive: Archive) -> list[str]:
    """Give every kind of machine that was ever here."""
    return _distinct(archive, "machine", "kind")


def list_persons(archive: Archive) -> list[str]:
    """Give everybody who ever spoke."""
    return _distinct(archive, "sitting", "person")


def find_code(archive: Archive, said: str) -> tuple[str, str] | None:
    """Give what a word is the label of (`plate` or `owner_ref`), and the label; None when it is neither."""
    with _asking(archive):
        for table, column in (("machine", "plate"), ("job", "owner_ref")):
            row = archive.db.execute(
                f"SELECT {column} FROM {table} WHERE {column} = ? COLLATE NOCASE LIMIT 1", [said]
            ).fetchone()
            if row:
                return column, row[0]
    return None


@contextmanager
def _asking(archive: Archive) -> Iterator[None]:
    with archive_errors(archive.path):
        yield


def _distinct(archive: Archive, table: str, column: str) -> list[str]:
    """Give the different values of an indexed column by stepping from one to the next."""
    sql = (
        f"WITH RECURSIVE one(v) AS (SELECT min({column}) FROM {table} UNION ALL"
        f" SELECT (SELECT min({column}) FROM {table} WHERE {column} > one.v) FROM one WHERE one.v IS NOT NULL)"
        " SELECT v FROM one WHERE v IS NOT NULL"
    )
    with _asking(archive):
        return [v for (v,) in archive.db.execute(sql).fetchall()]


def _where(wanted: Wanted) -> tuple[str, list[Any]]:
    names = wanted.names or ("",)
    where, values = [f"name IN ({marks(names)})", "kind = ?"], [*names, wanted.kind]
    for column, listed in (("what", wanted.whats), ("how", wanted.hows)):
        if listed:
            where.append(f"{column} IN ({marks(listed)})")
            values.extend(listed)
    said: list[tuple[str, Any]] = [
        ("position LIKE ?", f"%{wanted.position}%" if wanted.position else None),
        ("more LIKE ?", f'%"{wanted.state}"%' if wanted.state else None),
        ("low > ?", wanted.above),
        ("high < ?", wanted.below),
        ("low >= ?", wanted.at_least),
        ("high <= ?", wanted.at_most),
    ]
    jobs = wanted.jobs
    said += [
        ("opened >= ?", int(jobs.since.timestamp()) if jobs.since else None),
        ("opened < ?", int(jobs.until.timestamp()) if jobs.until else None),
    ]
    where += [sql for sql, value in said if value is not None]
    values += [value for _, value in said if value is not None]
    of_job, job_values = jobs.where()
    others = [sql for sql in of_job if not sql.startswith("job.opened")]
    if others:
        where.append(f"job_n IN (SELECT job.n FROM job WHERE {' AND '.join(of_job)})")
        values.extend(job_values)
    return " AND ".join(where), values


def _numbers(archive: Archive, numbers: Sequence[int]) -> list[str]:
    found: dict[int, str] = {}
    for start in range(0, len(numbers), 500):
        some = numbers[start : start + 500]
        found.update(archive.db.execute(f"SELECT n, number FROM job WHERE n IN ({marks(some)})", some).fetchall())
    return [found[n] for n in numbers]


def _hits(archive: Archive, places: Sequence[tuple[int, int]]) -> list[Hit]:
    sql = (
        f"{HIT} FROM remark JOIN entry ON entry.remark_id = remark.id AND entry.ord = ? JOIN job ON job.id = remark.job_id"
        " JOIN machine ON machine.id = job.machine_id WHERE remark.n = ?"
    )
    return [hit_of(row) for remark_n, order in places for row in archive.db.query(sql, [order, remark_n])]


def _first_words(archive: Archive, numbers: Sequence[int]) -> list[Hit]:
    sql = (
        f"{HIT} FROM job JOIN machine ON machine.id = job.machine_id JOIN remark ON remark.job_id = job.id LEFT JOIN entry ON entry.id IS NULL"
        " WHERE job.n = ? ORDER BY remark.ord LIMIT 1"
    )
    return [hit_of(row) for n in numbers for row in archive.db.query(sql, [n])]
