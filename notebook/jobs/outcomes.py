"""Takes down how a job turned out: it ran, or it came back, with what, at what reading.

In: words ("came back at 2160 hours, brake lining glazed again"), or what was given apart. Out: outcomes in the archive.
A part is only named where the words name one; nothing is guessed.
"""

from __future__ import annotations

import re
from datetime import datetime
from typing import Literal

from notebook.archive.store import Archive, new_id
from notebook.archive.walked import add_outcome, list_outcomes
from notebook.documents.machine_text import outcome_words
from notebook.entries import Entry, Finding
from notebook.errors import WRONG_USE, NotebookError, one_line
from notebook.jobs.derive import follow_machine, reader_for
from notebook.log.facts import is_fault
from notebook.log.fittings import read_clock, reading_of
from notebook.log.outcomes import Outcome, ran_since
from notebook.nouns import Job
from notebook.shop import Shop

How = Literal["ran", "came back"]
_CAME_BACK = re.compile(r"\b(?:came|come|comes|is|it's|was|brought) back\b|\breturned\b", re.IGNORECASE)
_RAN = re.compile(r"\b(?:ran|runs|running|has run|been running|still (?:going|good|runs)|no trouble|going well)\b", re.IGNORECASE)  # fmt: skip
_AMOUNT = re.compile(r"\b\d[\d,]*(?:\.\d+)?\s*(?:h|hours?|hrs?|mi|miles?|km|kilometres?)\b", re.IGNORECASE)
_LONGEST = 1000


def note_outcome(
    archive: Archive, shop: Shop, job: Job, words: str, *, how: How | None = None, reading: str | None = None, person: str | None, now: datetime,
) -> tuple[Outcome, ...]:  # fmt: skip
    """Store how a job turned out; raises NotebookError where it is not said whether it ran or came back, or the reading is none.

    One outcome for each part that the words say was wrong; one for the machine where they name none.
    """
    words = one_line(words).strip()[:_LONGEST]
    how = how or _how_said(words)
    if how is None:
        raise NotebookError(
            "Did it run, or did it come back? Nothing was noted.",
            'Say which: teardown outcome NUMBER "came back at 2160 hours, lining glazed", or --ran, or --came-back.', WRONG_USE,
        )  # fmt: skip
    heard = reader_for(shop, job.machine.kind).read(words)
    entries = heard.entries
    reading = reading if reading is not None else _reading_said(heard.tidied)
    if reading is not None and read_clock(reading) is None:
        raise NotebookError(
            f"{one_line(reading)!r} is no reading; nothing was noted.", 'Write it as "2160 h", "41,200 miles" or "800 km".', WRONG_USE
        )  # fmt: skip
    known = list_outcomes(archive, job.id)
    made = [
        Outcome(
            id=new_id(), job_id=job.id, how=how, component=part, position=position, condition=condition, words=words, reading=reading,
            person=person, made=now,
        )
        for part, position, condition in (_wrong(entries) if how == "came back" else []) or [(None, None, None)]
    ]  # fmt: skip
    fresh = [o for o in made if not any(_is_same(o, k) for k in known)]
    add_outcome(archive, fresh)
    if fresh:
        follow_machine(archive, job.machine.id)
    return tuple(fresh)


def _is_same(one: Outcome, other: Outcome) -> bool:
    """Tell the same thing told twice."""
    return (one.how, one.component, one.position, one.words, one.reading) == (
        other.how, other.component, other.position, other.words, other.reading,
    )  # fmt: skip


def _how_said(words: str) -> How | None:
    if _CAME_BACK.search(words):
        return "came back"
    return "ran" if _RAN.search(words) else None


def _reading_said(tidied: str) -> str | None:
    """Give the running hours or distance in the words; None where there is none, or several."""
    found = {match.group() for match in _AMOUNT.finditer(tidied)}
    return found.pop() if len(found) == 1 else None


def _wrong(entries: tuple[Entry, ...]) -> list[tuple[str | None, str | None, str | None]]:
    found = [e for e in entries if isinstance(e, Finding) and e.component and e.presence == "present" and is_fault(e)]
    return [(e.component, e.position, e.condition) for e in found]


def tell_outcomes(archive: Archive, job: Job) -> tuple[list[str], list[dict[str, str | float | None]]]:
    """Say how a job turned out, in lines and as JSON values."""
    before = reading_of(archive.load_log(job))
    lines, values = [], []
    for outcome in list_outcomes(archive, job.id):
        ran = ran_since(outcome.reading, before)
        who = f"  [{outcome.person}]" if outcome.person else ""
        lines.append(one_line(f"{outcome.made:%Y-%m-%d}  {outcome_words(outcome, before)}{who}"))
        values.append(
            {
                "how": outcome.how, "component": outcome.component, "position": outcome.position, "condition": outcome.condition,
                "words": outcome.words, "reading": outcome.reading, "ran": float(ran[0]) if ran else None, "unit": ran[1] if ran else None,
                "person": outcome.person, "made": outcome.made.isoformat(),
            }
        )  # fmt: skip
    return lines, values
