"""The sixty questions and their right answers, worked out without the code that answers them.

In: `questions.jsonl`, written before the code was; the demonstration's remarks; the maker of believable jobs. Out: for
each question the right jobs and, where it asks how many, the right counts. Answers over the demonstration were worked
out by hand from its words; those over made jobs are found here in what the maker knows of each remark. They are not
edited to suit the code.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from tests.speed.made_jobs import MadeJob, make_jobs

QUESTIONS = Path(__file__).with_name("questions.jsonl")
SEED = 20_260_105
MADE_COUNT = 1200
TODAY = {"demonstration": datetime(2026, 3, 10, 12, tzinfo=UTC), "made": datetime(2026, 1, 5, 12, tzinfo=UTC)}
IN_THOU = {"thou": Decimal("25.4") / 1000, "mm": Decimal(1)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question with its right answer."""

    n: int
    over: str
    question: str
    asked_by: str
    jobs: frozenset[str]
    optional: frozenset[str] = frozenset()
    count: int | None = None
    of: int | None = None


@cache
def made_jobs() -> tuple[MadeJob, ...]:
    """Give the jobs that half the questions are asked over."""
    return tuple(make_jobs(SEED, MADE_COUNT))


def asked_questions(over: str) -> list[Asked]:
    """Give the questions over `demonstration` or `made` with their right answers."""
    rows = [json.loads(line) for line in QUESTIONS.read_text("utf-8").splitlines()]
    return [_by_hand(r) if over == "demonstration" else _from_maker(r) for r in rows if r["over"] == over]


def _by_hand(row: dict[str, Any]) -> Asked:
    return Asked(
        n=row["n"], over=row["over"], question=row["question"], asked_by=row["asked_by"], jobs=frozenset(row["jobs"]),
        optional=frozenset(row.get("optional", ())), count=row.get("count"), of=row.get("of"),
    )  # fmt: skip


def _from_maker(row: dict[str, Any]) -> Asked:
    right = right_jobs(made_jobs(), row["where"])
    if row.get("last_only"):
        right = right[-1:]
    return Asked(
        n=row["n"], over=row["over"], question=row["question"], asked_by=row["asked_by"],
        jobs=frozenset(job.number for job in right), count=len(right) if row.get("counts") else None,
        of=len(right_jobs(made_jobs(), row["of"])) if "of" in row else None,
    )  # fmt: skip


def right_jobs(jobs: Iterable[MadeJob], where: dict[str, Any]) -> list[MadeJob]:
    """Give the jobs, oldest first, of which every word of `where` is true, in one and the same entry."""
    return [job for job in jobs if _is_of_job(job, where) and ("kind" not in where or _is_said(job, where))]


def _is_of_job(job: MadeJob, where: dict[str, Any]) -> bool:
    day = f"{job.opened:%Y-%m-%d}"
    return (
        ("machine" not in where or _ends_in(job.machine, where["machine"]))
        and where.get("person", job.person) == job.person
        and where.get("plate", job.plate) == job.plate
        and where.get("from", day) <= day <= where.get("to", day)
        and where.get("reading_from", job.reading_h) <= job.reading_h <= where.get("reading_to", job.reading_h)
    )


def _is_said(job: MadeJob, where: dict[str, Any]) -> bool:
    return any(_is_meant(entry, where) for remark in job.remarks for entry in remark.entries)


def _is_meant(entry: dict[str, Any], where: dict[str, Any]) -> bool:
    if entry["kind"] != where["kind"] or entry.get("struck"):
        return False
    if "part" in where and not _ends_in(entry["component"], where["part"]):
        return False
    if entry["kind"] == "finding":
        return (
            entry["condition"] in where["condition"]
            and entry["presence"] == where.get("presence", "present")
            and where.get("position") in (None, entry.get("position"))
        )
    if entry["kind"] == "disposition":
        return entry["action"] in where["action"]
    if entry["kind"] == "storage":
        return bool(entry["place"] == where["place"])
    if entry["kind"] == "fastener":
        return (
            entry["thread"] == where["thread"]
            and where.get("form") in (None, entry["form"])
            and where.get("state") in (None, *entry["state"])
        )
    return _is_measured(entry, where)


def _is_measured(entry: dict[str, Any], where: dict[str, Any]) -> bool:
    if entry["role"] != "measured" or entry["quantity"] != where["quantity"]:
        return False
    size = Decimal(entry["value"]) * IN_THOU[entry["unit"]]
    bound = {k: Decimal(str(where[k])) * IN_THOU[where["unit"]] for k in ("above", "below", "at_least") if k in where}
    return (
        size > bound.get("above", size - 1)
        and size < bound.get("below", size + 1)
        and size >= bound.get("at_least", size)
    )


def _ends_in(name: str, heads: Sequence[str]) -> bool:
    return any(name == head or name.endswith(f" {head}") for head in heads)
