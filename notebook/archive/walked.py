"""Keeps what was said of the steps of a rebuild, and how jobs turned out.

In: ticks and outcomes. Out: the same, in the order made. Never alters one: a later one only follows.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import datetime

from notebook.archive import rows
from notebook.archive.database import archive_errors
from notebook.archive.store import Archive
from notebook.log.outcomes import Outcome
from notebook.log.rebuilding import Tick


def add_rebuild_sitting(archive: Archive, job_id: str, sitting_id: str) -> None:
    """Note that a sitting puts the machine together; the sitting must be there."""
    with archive.all_or_nothing():
        archive.db.execute(
            "INSERT INTO rebuild_sitting(sitting_id, job_id) VALUES (?, ?) ON CONFLICT DO NOTHING", [sitting_id, job_id]
        )


def rebuild_sittings(archive: Archive, job_id: str) -> frozenset[str]:
    """Give the sittings of a job in which it was put together."""
    with archive_errors(archive.path):
        found = archive.db.query("SELECT sitting_id FROM rebuild_sitting WHERE job_id = ?", [job_id])
        return frozenset(row["sitting_id"] for row in found)


def add_tick(archive: Archive, job_id: str, tick: Tick) -> None:
    """Store what was said of a step."""
    with archive.all_or_nothing():
        archive.db.execute(
            "INSERT INTO rebuild_tick(id, job_id, component, position, state, words, doubts, person, made, said_in)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
            [tick.id, job_id, tick.component, tick.position, tick.state, tick.words, json.dumps(tick.doubts, ensure_ascii=False),
             tick.person, rows.time_text(tick.made), tick.remark_id],
        )  # fmt: skip


def list_ticks(archive: Archive, job_id: str) -> tuple[Tick, ...]:
    """Give what was said of the steps of a job, in the order said."""
    with archive_errors(archive.path):
        found = archive.db.query("SELECT * FROM rebuild_tick WHERE job_id = ? ORDER BY made, rowid", [job_id])
        return tuple(
            Tick(
                id=r["id"], component=r["component"], position=r["position"], state=r["state"], words=r["words"],
                doubts=tuple(json.loads(r["doubts"])), person=r["person"], made=datetime.fromisoformat(r["made"]), remark_id=r["said_in"],
            )
            for r in found
        )  # fmt: skip


def steps_of_remarks(archive: Archive, job_id: str) -> dict[str, str]:
    """Give the part that each remark of a rebuild was said at, by remark."""
    with archive_errors(archive.path):
        found = archive.db.query(
            "SELECT said_in, component, position FROM rebuild_tick WHERE job_id = ? AND said_in IS NOT NULL ORDER BY made, rowid",
            [job_id],
        )
        return {r["said_in"]: named_step(r["component"], r["position"]) for r in found}


def named_step(component: str, position: str | None) -> str:
    """Name a part as it is said: "drive side bearing"."""
    return f"{position} {component}" if position else component


def add_outcome(archive: Archive, outcomes: Iterable[Outcome]) -> None:
    """Store how a job turned out, all or nothing."""
    with archive.all_or_nothing():
        for outcome in outcomes:
            archive.db.execute(
                "INSERT INTO outcome(id, job_id, how, component, position, condition, words, reading, person, made)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
                [outcome.id, outcome.job_id, outcome.how, outcome.component, outcome.position, outcome.condition, outcome.words,
                 outcome.reading, outcome.person, rows.time_text(outcome.made)],
            )  # fmt: skip


def list_outcomes(archive: Archive, job_id: str) -> tuple[Outcome, ...]:
    """Give how a job turned out, in the order told."""
    with archive_errors(archive.path):
        found = archive.db.query("SELECT * FROM outcome WHERE job_id = ? ORDER BY made, rowid", [job_id])
        return tuple(
            Outcome(**{**r, "made": datetime.fromisoformat(r["made"])})
            for r in found
        )  # fmt: skip
