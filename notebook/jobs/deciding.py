"""Decisions written down at the desk: which part is meant, and the record of it.

In: the name of a part in words, a state. Out: a decision, stored; or why nothing was decided. Never alters an earlier one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime

from notebook.archive.store import Archive, new_id
from notebook.entries import EVERYTHING
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError, one_line
from notebook.jobs.paperwork import job_facts
from notebook.log.deciding import AS_ADVISED
from notebook.log.facts import PartFacts
from notebook.log.standing import find_proposals
from notebook.nouns import Decision, Job, Log
from notebook.reading.deciding import OWNER
from notebook.shop import Shop

ACTIONS = ("replace", "rework", "overhaul", "modify", "send out", "clean", "check", "order", "scrap")
STATES = ("advised", "approved", "declined", "asked")


def decide(
    archive: Archive, shop: Shop, job: Job, part: str, state: str, *, action: str | None = None, by: str | None = None,
    noted_by: str | None = None, note: str | None = None, settles: bool = False, now: datetime,
) -> tuple[Log, tuple[Decision, ...]]:  # fmt: skip
    """Write a decision about a part, or about `everything` that was advised; raises NotebookError where the part is not plain."""
    if state not in STATES:
        raise NotebookError(f"{one_line(state)} is no decision.", f"Say one of: {', '.join(STATES)}.", WRONG_USE)
    log = archive.load_log(job)
    facts = job_facts(shop, log)
    if part.strip().lower() == EVERYTHING:
        found = tuple(p.facts for p in find_proposals(facts) if p.state in ("found", "advised", "asked"))
        if not found:
            raise NotebookError(f"Nothing of job {job.number} waits for a decision.", "See teardown decide NUMBER.", NOTHING_FOUND)  # fmt: skip
    else:
        found = (find_part(log, facts, part),)
    if action is None and state != "declined":
        _refuse_without_work(found, job)
    person = by or (OWNER if state != "advised" else noted_by)
    made = tuple(
        Decision(
            id=new_id(), entry_id=None, component=p.part.component, position=p.part.position, action=action or AS_ADVISED, state=state,  # type: ignore[arg-type]
            person=OWNER if person in ("the owner", "customer", "client") else person, made=now, note=note, noted_by=noted_by, settles=settles,
        )
        for p in found
    )  # fmt: skip
    with archive.all_or_nothing():
        for decision in made:
            archive.add_decision(job.id, decision)
    return archive.load_log(job), made


def _refuse_without_work(found: Sequence[PartFacts], job: Job) -> None:
    for part in found:
        if not part.defects and not part.past_limit and all(s.entry.action == "reuse" for s in part.dispositions):
            raise NotebookError(
                f"Nothing was found or advised on the {part.name} in job {job.number}; nothing was decided.",
                "Say what is to be done with it: --action replace.", WRONG_USE,
            )  # fmt: skip


def find_part(log: Log, parts: Sequence[PartFacts], said: str) -> PartFacts:
    """Give the one part that is meant by its name, its name with which one, or the start of the id of one of its entries."""
    wanted = _words(said)
    exact = [p for p in parts if _words(p.name) == wanted and (p.part.position or "(" not in said)]
    if len(exact) != 1:
        exact = [p for p in parts if wanted and set(wanted) == set(_words(p.name))]
    found = exact or [p for p in parts if wanted and set(wanted) <= set(_words(p.name))]
    if not found and re.fullmatch(r"[0-9a-f]{4,}[0-9a-f-]*", said):
        found = [p for p in parts if any(i.startswith(said) for i in p.part.entry_ids)]
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(one_line(p.name) for p in found[:8])
        raise NotebookError(f"{one_line(said)} may be {len(found)} parts; nothing was decided.", f"Say which: {names}.", WRONG_USE)  # fmt: skip
    struck = [
        r.order for r in log.remarks for e in r.entries
        if e.struck and wanted and set(wanted) <= set(_words(f"{getattr(e, 'component', '') or ''} {getattr(e, 'position', '') or ''}"))
    ]  # fmt: skip
    if struck:
        raise NotebookError(
            f"What was said of the {one_line(said)} was struck out (remark {struck[-1]}); nothing was decided.",
            "Say it again, or mend the remark, and then decide.", NOTHING_FOUND,
        )  # fmt: skip
    named = [p.name for p in parts if p.defects or p.dispositions or p.past_limit]
    near = ", ".join(one_line(n) for n in named[:10])
    raise NotebookError(
        f"There is no {one_line(said)} in job {log.job.number}; nothing was decided.",
        f"There are: {near}." if near else "Nothing that needs a decision was said yet.", NOTHING_FOUND,
    )  # fmt: skip


def _words(name: str) -> list[str]:
    return [w for w in re.findall(r"[\w/.-]+", name.lower()) if w not in ("the", "a", "an", "of")]
