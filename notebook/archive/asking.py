"""Finds what was told of parts over all jobs: findings, dispositions, sizes, fasteners, places.

In: what is wanted, already understood. Out: the jobs, how many, and the newest hits. Never reads a question.
Every answer comes from one stretch of the key of `told`; the words, photos and sounds are looked up for the hits that
are shown, and for no others.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from notebook.archive import rows
from notebook.archive.database import archive_errors
from notebook.archive.search import HIT, WORDS_HIT, Hit, has_letters, hit_of, marks, quote
from notebook.archive.store import Archive
from notebook.entries import Entry
from notebook.errors import one_line
from notebook.nouns import Job

MOST_HITS = 100
MOST_JOBS = 2000
MOST_SAID = 10_000
"""Newest remarks with common words that are looked through."""


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


_WITHOUT_HOW = ("disposition", "fastener", "storage", "step", "tool")
"""Kinds whose `how` is always empty."""


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
    or_cleared: bool = False
    """Also what was looked at and found free of a fault."""
    stretches: tuple[tuple[str, str], ...] = ()
    """What and how of each stretch of the key that holds some of it, once they have been looked up."""
    words: str | None = None
    """Words that the remark must hold too, quoted for the full-text index."""

    @property
    def is_one_stretch(self) -> bool:
        """Tell whether one stretch of the key of `told` holds all of it, newest last."""
        is_known = len(self.whats) == 1 and (len(self.hows) == 1 or self.kind in _WITHOUT_HOW)
        return len(self.names) < 2 and is_known and not self.or_cleared

    @property
    def has_few_jobs(self) -> bool:
        """Tell whether only some jobs are meant, so that there is little to sort."""
        return self.words is not None or replace(self.jobs, since=None, until=None) != ANY_JOB

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
    wanted = _as_there(archive, wanted)
    with _asking(archive):
        job_count, entry_count, jobs = _count_told(archive, wanted)
        if not jobs:
            return Found()
        newest: list[int] = []
        shown, oldest = 0, 0
        for at, job_n, count in jobs:
            newest.append(job_n)
            oldest = at
            shown += count
            if shown >= most:
                break
        told, values = _told(
            replace(wanted, jobs=ANY_JOB),
            "opened >= ? AND job_n IN (SELECT value FROM json_each(?))",
            [oldest, json.dumps(newest)],
        )
        found = archive.db.execute(
            f"SELECT DISTINCT opened, job_n, remark_n, ord FROM {told} ORDER BY opened DESC, job_n DESC, remark_n, ord LIMIT ?",
            [*values, most],
        ).fetchall()
        return Found(
            numbers=tuple(_numbers(archive, [n for _, n, _ in jobs[:MOST_JOBS]])),
            job_count=job_count,
            entry_count=entry_count,
            hits=tuple(_hits(archive, [(n, o) for _, _, n, o in found])),
        )


def _count_told(archive: Archive, wanted: Wanted) -> tuple[int, int, list[tuple[int, int, int]]]:
    """Count jobs and entries, and give the newest jobs with the entries in each.

    Where one stretch of the key holds all of it, newest jobs come off its end and nothing is sorted. Where many do, all
    is counted, and only what is new enough is sorted.
    """
    told, values = _told(wanted)
    count = "count(*)" if len(wanted.names) < 2 else "count(DISTINCT remark_n * 4096 + ord)"
    grouped = f"FROM {told} GROUP BY opened, job_n"
    newest = "ORDER BY opened DESC, job_n DESC"
    if wanted.has_few_jobs:
        jobs = archive.db.execute(f"SELECT opened, job_n, {count} {grouped} {newest}", values).fetchall()
        return len(jobs), sum(n for _, _, n in jobs), jobs
    if wanted.is_one_stretch:
        counted = f"SELECT count(*), coalesce(sum(n), 0) FROM (SELECT {count} AS n {grouped})"
        job_count, entry_count = archive.db.execute(counted, values).fetchone()
        jobs = archive.db.execute(
            f"SELECT opened, job_n, {count} {grouped} {newest} LIMIT {MOST_JOBS}", values
        ).fetchall()
        return job_count, entry_count, jobs
    counted = f"SELECT count(DISTINCT job_n), {count}, min(opened), max(opened) FROM {told}"
    job_count, entry_count, first, last = archive.db.execute(counted, values).fetchone()
    since = last - 2 * (last - first) * MOST_JOBS // job_count if job_count > 2 * MOST_JOBS else first or 0
    for least in (since, first):
        told, values = _told(wanted, "opened >= ?", [least])
        jobs = archive.db.execute(
            f"SELECT opened, job_n, {count} FROM {told} GROUP BY opened, job_n {newest}", values
        ).fetchall()
        if len(jobs) >= min(job_count, MOST_JOBS):
            break
    return job_count, entry_count, jobs


def _told(wanted: Wanted, also: str = "1", also_values: Sequence[Any] = ()) -> tuple[str, list[Any]]:
    """Give what is wanted as a table, read from each stretch of the key by itself, and its values."""
    parts, every = [], []
    for one in [replace(wanted, stretches=(s,)) for s in wanted.stretches] or [wanted]:
        where, values = _where(one)
        parts.append(f"SELECT opened, job_n, remark_n, ord FROM told WHERE {where} AND {also}")
        every += [*values, *also_values]
    return f"({' UNION ALL '.join(parts)})", every


def _as_there(archive: Archive, wanted: Wanted) -> Wanted:
    """Leave out names and conditions that nothing is told of, and name every stretch of the key that holds some of it."""
    if wanted.is_one_stretch:
        return wanted
    names = [n for n in wanted.names if knows_name(archive, n)] or list(wanted.names[:1])
    wanted = replace(wanted, names=tuple(names))
    if len(names) > 1:
        return wanted
    name = names[0] if names else ""
    there = _stretches(archive, name, wanted)
    if not 0 < len(there) <= _MOST_STRETCHES:
        return wanted
    if len(there) == 1:
        ((what, how),) = there
        return replace(wanted, whats=(what,), hows=(how,) if how else (), or_cleared=False)
    return replace(wanted, stretches=tuple(there))


_MOST_STRETCHES = 200


def _stretches(archive: Archive, name: str, wanted: Wanted) -> list[tuple[str, str]]:
    """Give every what and how that was told of a name and is wanted, by stepping along the key."""
    next_what = "SELECT what FROM told WHERE name = ? AND kind = ? AND what > ? ORDER BY what LIMIT 1"
    is_told = "SELECT 1 FROM told WHERE name = ? AND kind = ? AND what = ? AND how = ? LIMIT 1"
    whats = list(wanted.whats) if wanted.whats and not wanted.or_cleared else [""]
    with _asking(archive):
        while whats == [""] or (len(whats) <= _MOST_STRETCHES and not (wanted.whats and not wanted.or_cleared)):
            row = archive.db.execute(next_what, [name, wanted.kind, whats[-1]]).fetchone()
            if row is None:
                break
            whats.append(row[0])
        return [
            (what, how)
            for what in whats
            for how in _HOWS.get(wanted.kind, ("",))
            if _holds(wanted, what, how) and archive.db.execute(is_told, [name, wanted.kind, what, how]).fetchone()
        ]


_HOWS = {"finding": ("present", "absent", "possible"), "measurement": ("measured", "limit", "nominal", "required")}


def _holds(wanted: Wanted, what: str, how: str) -> bool:
    if wanted.or_cleared and how == "absent":
        return True
    return (not wanted.whats or what in wanted.whats) and (not wanted.hows or how in wanted.hows)


def find_jobs_where(archive: Archive, jobs: JobsWanted) -> Found:
    """Give the jobs themselves, newest first, each with its first remark."""
    where, values = jobs.where()
    condition = " AND ".join(where) or "1"
    count = count_jobs_where(archive, jobs)
    # Few jobs are looked up and then sorted; of many the newest are met by walking back from today.
    order, walk = ("+job.opened", "") if count <= MOST_JOBS else ("job.opened", " INDEXED BY job_newest")
    with _asking(archive):
        found = archive.db.execute(
            f"SELECT job.n FROM job{walk} WHERE {condition} ORDER BY {order} DESC, job.id DESC LIMIT {MOST_JOBS}",
            values,
        ).fetchall()
        numbers = [n for (n,) in found]
        return Found(
            numbers=tuple(_numbers(archive, numbers)),
            job_count=count,
            hits=tuple(_first_words(archive, numbers[:MOST_HITS])),
        )


def count_jobs_where(archive: Archive, jobs: JobsWanted) -> int:
    """Give how many jobs there are of that description."""
    where, values = jobs.where()
    with _asking(archive):
        return int(
            archive.db.execute(f"SELECT count(*) FROM job WHERE {' AND '.join(where) or '1'}", values).fetchone()[0]
        )


def is_job(archive: Archive, number: str) -> bool:
    """Tell whether there is a job of that number."""
    with _asking(archive):
        return archive.db.execute("SELECT 1 FROM job WHERE number = ? LIMIT 1", [number]).fetchone() is not None


def find_said(archive: Archive, words: Sequence[str], jobs: JobsWanted = ANY_JOB) -> tuple[Found, bool]:
    """Give the remarks that hold all of the words, those that hold them side by side first, then the newest.

    Looks through the newest `MOST_SAID` that match; tells whether there were more.
    """
    query = quote_words(words)
    if not query:
        return Found(), False
    of_job, values = jobs.where()
    only = f" WHERE spoken_in.job_n IN (SELECT job.n FROM job WHERE {' AND '.join(of_job)})" if of_job else ""
    newest = f"SELECT rowid AS n FROM remark_words WHERE remark_words MATCH ? ORDER BY rowid DESC LIMIT {MOST_SAID + 1}"
    together = '"' + query.replace('"', "").replace(" AND ", " ") + '"'
    with _asking(archive):
        said = archive.db.execute(
            f"SELECT newest.n, spoken_in.job_n FROM ({newest}) AS newest CROSS JOIN spoken_in ON spoken_in.remark_n = newest.n{only}",
            [query, *values],
        ).fetchall()
        is_cut = len(said) > MOST_SAID
        said = said[:MOST_SAID]
        at_once: set[int] = set()
        if len(words) > 1 and len(said) > 1:
            at_once = {n for (n,) in archive.db.execute(newest, [together]).fetchall()}
        jobs_found = dict.fromkeys(job for _, job in said)
        best = sorted(said, key=lambda row: row[0] not in at_once)[:MOST_HITS] if at_once else said[:MOST_HITS]
        hits = _said_hits(archive, [n for n, _ in best])
        first = list(dict.fromkeys([job for _, job in best] + list(jobs_found)))[:MOST_JOBS]
        return Found(
            numbers=tuple(_numbers(archive, first)), job_count=len(jobs_found), entry_count=len(said), hits=tuple(hits)
        ), is_cut


def quote_words(words: Sequence[str]) -> str:
    """Write words as a full-text query that looks for each as it is; empty where none can be looked for."""
    return " AND ".join(quote(word) for word in map(one_line, words) if has_letters(word))


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


def people_of(archive: Archive, job_ids: Sequence[str]) -> dict[str, list[str]]:
    """Give who spoke in each of some jobs."""
    sql = "SELECT DISTINCT job_id, person FROM sitting WHERE person IS NOT NULL AND job_id IN (SELECT value FROM json_each(?)) ORDER BY started"
    people: dict[str, list[str]] = {}
    with _asking(archive):
        for job_id, person in archive.db.execute(sql, [json.dumps(list(job_ids))]).fetchall():
            people.setdefault(job_id, []).append(person)
    return people


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
    listed = [(c, v) for c, v in (("what", wanted.whats), ("how", wanted.hows)) if v]
    if wanted.stretches:
        where.append("what = ? AND how = ?")
        values.extend(wanted.stretches[0])
    elif listed:
        said_so = " AND ".join(f"{column} IN ({marks(v)})" for column, v in listed)
        where.append(f"({said_so} OR how = 'absent')" if wanted.or_cleared else said_so)
        values.extend(value for _, v in listed for value in v)
    if wanted.kind in _WITHOUT_HOW:
        where.append("how = ''")
    if wanted.words:
        where.append("remark_n IN (SELECT rowid FROM remark_words WHERE remark_words MATCH ?)")
        values.append(wanted.words)
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
    sql = "SELECT job.number FROM json_each(?) AS asked CROSS JOIN job INDEXED BY job_by_n ON job.n = asked.value ORDER BY asked.key"
    return [number for (number,) in archive.db.execute(sql, [json.dumps(list(numbers))]).fetchall()]


def _hits(archive: Archive, places: Sequence[tuple[int, int]]) -> list[Hit]:
    """Look up the entries at (remark, place in it), in one statement."""
    sql = (
        f"{HIT} FROM json_each(?) AS asked CROSS JOIN remark ON remark.n = asked.value ->> 0"
        " CROSS JOIN entry ON entry.remark_id = remark.id AND entry.ord = asked.value ->> 1"
        " CROSS JOIN job ON job.id = remark.job_id CROSS JOIN machine ON machine.id = job.machine_id ORDER BY asked.key"
    )
    return [hit_of(row) for row in archive.db.query(sql, [json.dumps(list(places))])]


def _said_hits(archive: Archive, remarks: Sequence[int]) -> list[Hit]:
    """Look up remarks by number, in one statement."""
    sql = (
        f"{WORDS_HIT} FROM json_each(?) AS asked CROSS JOIN remark ON remark.n = asked.value"
        " CROSS JOIN job ON job.id = remark.job_id CROSS JOIN machine ON machine.id = job.machine_id ORDER BY asked.key"
    )
    return [hit_of(row) for row in archive.db.query(sql, [json.dumps(list(remarks))])]


def _first_words(archive: Archive, numbers: Sequence[int]) -> list[Hit]:
    sql = (
        "SELECT (SELECT remark.n FROM remark WHERE remark.job_id = job.id ORDER BY remark.ord LIMIT 1) FROM json_each(?) AS asked"
        " CROSS JOIN job ON job.n = asked.value ORDER BY asked.key"
    )
    first = archive.db.execute(sql, [json.dumps(list(numbers))]).fetchall()
    return _said_hits(archive, [n for (n,) in first if n is not None])


def list_entries(archive: Archive, job_id: str, kind: str) -> list[Entry]:
    """Give the entries of one kind of a job that count, in the order said."""
    sql = (
        "SELECT entry.* FROM entry JOIN remark ON remark.id = entry.remark_id WHERE entry.job_id = ? AND entry.kind = ? AND entry.struck = 0"
        " ORDER BY remark.ord, entry.ord"
    )
    with _asking(archive):
        return [rows.entry_of(row) for row in archive.db.query(sql, [job_id, kind])]


def next_job_of_machine(archive: Archive, job_id: str) -> Job | None:
    """Give the job that the same machine came for next; None when it was not back."""
    sql = (
        "SELECT job.*, machine.kind, machine.plate FROM job AS this JOIN job ON job.machine_id = this.machine_id AND job.opened > this.opened"
        " JOIN machine ON machine.id = job.machine_id WHERE this.id = ? ORDER BY job.opened LIMIT 1"
    )
    with _asking(archive):
        row = next(archive.db.query(sql, [job_id]), None)
    return rows.job_of(row) if row else None
