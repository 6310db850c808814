"""Finds remarks and findings in the archive.

In: what to look for, already understood. Out: hits, newest first. Never reads a question.
Words are quoted one by one, so that "3/8", quotes and hyphens are looked for and never run as a query.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from notebook.archive import rows
from notebook.archive.database import archive_errors
from notebook.archive.store import Archive
from notebook.entries import Entry
from notebook.errors import one_line


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One remark (and the entry in it) that answers a question."""

    job_number: str
    job_id: str
    machine: str
    opened: datetime
    remark_id: str
    order: int
    text: str
    entry: Entry | None
    photo: str | None
    second: float | None
    """Second of its recording; None when it was taken in as words."""


HIT = """
SELECT job.number, job.id AS job_id, machine.kind AS machine, job.opened, remark.id AS remark_id, remark.ord, remark.text,
       entry.body, entry.id AS entry_id, entry.struck, entry.mended,
       (SELECT photo.name FROM link JOIN photo ON photo.id = link.photo_id WHERE link.remark_id = remark.id ORDER BY photo.taken, photo.name LIMIT 1) AS photo,
       remark.first_sample * 1.0 / (SELECT rate_hz FROM recording WHERE recording.job_id = job.id AND recording.sha256 = remark.recording_sha256) AS second
"""

WORDS_HIT = HIT.replace(
    "entry.body, entry.id AS entry_id, entry.struck, entry.mended",
    "NULL AS body, NULL AS entry_id, 0 AS struck, 0 AS mended",
)


def find_findings(
    archive: Archive, *, names: Sequence[str], conditions: Sequence[str], presences: Sequence[str], most: int = 1000
) -> list[Hit]:
    """Give findings of a part (by any name it answers to) in a condition; struck ones do not count."""
    where = [f"name IN ({marks(names or [''])})", "told.kind = 'finding'", f"how IN ({marks(presences)})"]
    params: list[str] = [*(names or [""]), *presences]
    if conditions:
        where.append(f"what IN ({marks(conditions)})")
        params.extend(conditions)
    sql = (
        f"{HIT} FROM (SELECT DISTINCT opened, remark_n, ord FROM told WHERE {' AND '.join(where)} ORDER BY opened DESC LIMIT {int(most)}) AS found"
        " JOIN remark ON remark.n = found.remark_n JOIN entry ON entry.remark_id = remark.id AND entry.ord = found.ord"
        " JOIN job ON job.id = remark.job_id JOIN machine ON machine.id = job.machine_id ORDER BY job.opened DESC, remark.ord"
    )
    with archive_errors(archive.path):
        return [hit_of(row) for row in archive.db.query(sql, params)]


def find_words(archive: Archive, words: Sequence[str], most: int = 200) -> list[Hit]:
    """Give remarks that hold all of the words, newest job first."""
    query = " AND ".join(quote(word) for word in map(one_line, words) if has_letters(word))
    if not query:
        return []
    sql = (
        f"{WORDS_HIT}"
        " FROM remark_words JOIN remark ON remark.n = remark_words.rowid JOIN job ON job.id = remark.job_id"
        f" JOIN machine ON machine.id = job.machine_id WHERE remark_words MATCH ? ORDER BY job.opened DESC, remark.ord LIMIT {int(most)}"
    )
    with archive_errors(archive.path):
        return [hit_of(row) for row in archive.db.query(sql, [query])]


def count_following(archive: Archive, kind: str, without_job_id: str) -> dict[str, dict[str, int]]:
    """Count for each part, over earlier jobs of the same kind of machine, which parts were spoken of next."""
    sql = (
        "SELECT entry.job_id, lower(entry.component) AS part FROM entry JOIN remark ON remark.id = entry.remark_id"
        " JOIN job ON job.id = entry.job_id JOIN machine ON machine.id = job.machine_id"
        " WHERE lower(machine.kind) = lower(?) AND job.id <> ? AND entry.component IS NOT NULL AND entry.struck = 0"
        " ORDER BY entry.job_id, remark.ord, entry.ord LIMIT 20000"
    )
    following: dict[str, dict[str, int]] = {}
    before: tuple[str, str] | None = None
    with archive_errors(archive.path):
        for row in archive.db.query(sql, [kind, without_job_id]):
            if before is not None and before[0] == row["job_id"] and before[1] != row["part"]:
                counts = following.setdefault(before[1], {})
                counts[row["part"]] = counts.get(row["part"], 0) + 1
            before = row["job_id"], row["part"]
    return following


def count_jobs(archive: Archive) -> int:
    """Give how many jobs the archive holds."""
    with archive_errors(archive.path):
        return int(next(archive.db.query("SELECT count(*) AS n FROM job"))["n"])


def quote(word: str) -> str:
    """Quote a word, so that it is looked for and never run as a query."""
    return '"' + word.replace('"', '""') + '"'


def has_letters(word: str) -> bool:
    """Tell a word that the index can hold from signs and pictures alone, which would never be found."""
    return any(c.isalnum() for c in word)


def marks(values: Sequence[object]) -> str:
    """Give a question mark for each value."""
    return ", ".join("?" for _ in values)


def hit_of(row: dict[str, Any]) -> Hit:
    """Make a hit of a row of `HIT`."""
    opened = rows.time_of(row["opened"])
    assert opened is not None
    return Hit(
        job_number=row["number"], job_id=row["job_id"], machine=row["machine"], opened=opened, remark_id=row["remark_id"], order=row["ord"],
        text=row["text"], entry=rows.entry_of({**row, "id": row["entry_id"]}) if row["body"] else None, photo=row["photo"], second=row["second"],
    )  # fmt: skip
