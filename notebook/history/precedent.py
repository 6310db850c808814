"""Precedent: the same finding before, how often, what was done about it, and how it turned out.

In: a part, its condition, the archive. Out: a `Precedent`, newest job first. Never stores anything.
How it turned out is what somebody told of the job afterwards (`teardown outcome`), and what the next job of the same
machine says of the same part: the same fault again, found good, not spoken of; or that the machine was not back since.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Literal

from notebook.archive.asking import JobsWanted, Wanted, count_jobs_where, find_told, list_entries, next_job_of_machine
from notebook.archive.search import Hit
from notebook.archive.store import Archive
from notebook.archive.walked import list_outcomes
from notebook.entries import Disposition, Finding, Mileage
from notebook.history.asked_words import FAMILIES
from notebook.history.question import DONE_WORDS
from notebook.log.fittings import read_clock
from notebook.log.outcomes import ran_since, running_words
from notebook.nouns import Job
from notebook.reading.names import names_of, same_names

FOLLOWED = 20
"""Newest jobs that are followed up; the count is over all."""
Turned = Literal["same again", "came back", "found good", "not spoken of", "not back since"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """One earlier job that had it."""

    hit: Hit
    done: tuple[str, ...]
    """Dispositions said of the part in that job, in order: replace, order."""
    turned: Turned
    next_job: Job | None = None
    """The machine's next job, which tells how it turned out."""
    words: tuple[str, ...] = ()
    """What was done, in a past word each: relined, replaced."""
    came_back: tuple[tuple[Decimal, str] | None, ...] = ()
    """For each time this part came back: the running until then; None where it is not known."""
    ran: tuple[tuple[Decimal, str] | None, ...] = ()
    """For each time it was told to have run well: the running until then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Precedent:
    """What is on record of one finding."""

    component: str
    """The name it was found by; wider than asked where nothing was on record of the closer one."""
    asked: str
    condition: str
    job_count: int
    of: int
    """All other jobs."""
    before: tuple[Before, ...]
    """The newest `FOLLOWED`, newest first."""

    @property
    def is_wider(self) -> bool:
        """Tell whether another, wider name had to do."""
        return self.component != self.asked

    def how_often(self) -> str:
        """Say how often, in a few words."""
        times = "once before" if self.job_count == 1 else f"in {self.job_count} jobs before"
        return f"{self.component} {self.condition}: {times}"

    def lines(self) -> list[str]:
        """Say it in lines: how often, the last one and its words, what was done, how it turned out."""
        last = self.before[0]
        hit = last.hit
        lines = [
            f"{self.how_often()} (of {self.of})",
            f"last: job {hit.job_number}, {hit.machine}, {hit.opened:%Y-%m-%d}",
            f'"{hit.text}"',
        ]
        done = Counter(action for b in self.before for action in dict.fromkeys(b.done))
        if done:
            lines.append("then: " + ", ".join(f"{DONE_WORDS.get(a, a)} {n}" for a, n in done.most_common(4)))
        turned = Counter(b.turned for b in self.before)
        words = [
            f"{turned[t]} {t}"
            for t in ("same again", "came back", "found good", "not spoken of", "not back since")
            if turned[t]
        ]
        lines.append("since: " + ", ".join(words))
        lines.extend(self.outcome_lines())
        return lines

    def outcome_lines(self) -> list[str]:
        """Say how each thing that was done turned out: "shoe relined 4 times: one came back at 300 h, 2 ran, 1 not told"."""
        lines = []
        for word in dict.fromkeys(w for b in self.before for w in b.words):
            listed = [b for b in self.before if word in b.words]
            back = [b for b in listed if b.came_back]
            ran = [b for b in listed if b.ran and not b.came_back]
            if not back and not ran:
                continue
            silent = len(listed) - len(back) - len(ran)
            said = [
                _told("came back", "at", [b.came_back[0] for b in back]),
                _told("ran", "to", [b.ran[-1] for b in ran]),
                f"{silent} not told" if silent else "",
            ]
            times = "once" if len(listed) == 1 else f"{len(listed)} times"
            lines.append(f"{self.component} {word} {times}: {', '.join(s for s in said if s)}")
        return lines


def _told(what: str, until: str, listed: Sequence[tuple[Decimal, str] | None]) -> str:
    """Say how many: "one came back at 300 h", "2 ran (to 400 h, 900 h)"."""
    known = [running_words(ran) for ran in listed if ran is not None]
    if not listed:
        return ""
    if len(listed) == 1:
        return f"one {what}{f' {until} {known[0]}' if known else ''}"
    runnings = f" ({until} {', '.join(known)})" if known else ""
    return f"{len(listed)} {what}{runnings}"


def find_precedent(
    archive: Archive, component: str, condition: str, *, without_job: str | None = None, before: datetime | None = None
) -> Precedent | None:
    """Give what is on record of a part in a condition in other jobs; None where it never was.

    `without_job` is the id of the job at hand; `before` leaves out jobs opened from then on.
    A part that was never so is looked for by wider names: "return spring", then "spring".
    """
    conditions = FAMILIES.get(condition, (condition,))
    for names in _ever_wider(component):
        wanted = Wanted(kind="finding", names=names, whats=conditions, hows=("present",), jobs=JobsWanted(until=before))
        found = find_told(archive, wanted, 2 * FOLLOWED)
        hits = [h for h in found.hits if h.job_id != without_job]
        count = found.job_count - (len(hits) != len(found.hits))
        if count <= 0 or not hits:
            continue
        newest = list({h.job_id: h for h in reversed(hits)}.values())[::-1][:FOLLOWED]
        every = count_jobs_where(archive, JobsWanted(until=before)) - (1 if without_job else 0)
        return Precedent(
            component=names[0], asked=component, condition=condition, job_count=count, of=every,
            before=tuple(_follow(archive, hit, names, conditions) for hit in newest),
        )  # fmt: skip
    return None


def _ever_wider(component: str) -> list[tuple[str, ...]]:
    words = component.lower().split()
    closest = same_names(component)
    return [
        closest,
        *[(" ".join(words[cut:]),) for cut in range(1, len(words)) if " ".join(words[cut:]) not in closest],
    ]


def _follow(archive: Archive, hit: Hit, names: Sequence[str], conditions: Sequence[str]) -> Before:
    short = _short_name(archive, hit.job_id, names)
    about = [
        e
        for e in list_entries(archive, hit.job_id, "disposition")
        if isinstance(e, Disposition) and (_is_named(e.component, names) or e.component == short)
    ]
    done = tuple(dict.fromkeys(e.action for e in about))
    words = tuple(dict.fromkeys(w for e in about if (w := _past_word(e)) is not None))
    turned: Turned
    following = next_job_of_machine(archive, hit.job_id)
    came_back, ran = _told_since(archive, hit.job_id, names)
    if following is None:
        turned = "came back" if came_back else "not back since"
        return Before(hit=hit, done=done, turned=turned, words=words, came_back=came_back, ran=ran)
    later = [
        e
        for e in list_entries(archive, following.id, "finding")
        if isinstance(e, Finding) and _is_named(e.component, names) and e.condition != "not inspected"
    ]
    turned = "not spoken of"
    if any(e.condition in conditions and e.presence == "present" for e in later):
        turned = "same again"
    elif any(e.presence == "absent" or e.condition == "sound" for e in later):
        turned = "found good"
    if turned == "same again" and not came_back:
        came_back = (_running_between(archive, hit.job_id, following),)
    return Before(
        hit=hit, done=done, turned=turned, next_job=following, words=words, came_back=came_back, ran=ran
    )  # fmt: skip


Runnings = tuple[tuple[Decimal, str] | None, ...]
_REWORKED = {"reline": "relined", "skim": "skimmed", "regrind": "reground", "hone": "honed", "lap": "lapped", "weld": "welded", "rebore": "rebored", "sleeve": "sleeved"}  # fmt: skip
_CHANGED = {"rework": "reworked", "overhaul": "overhauled", "replace": "replaced", "modify": "modified", "send out": "sent out", "clean": "cleaned", "reuse": "put back"}  # fmt: skip


def _short_name(archive: Archive, job_id: str, names: Sequence[str]) -> str | None:
    """Give what a part is called for short on a job, "shoe" for "brake shoe"; None where it may be another part of that name."""
    short = names[0].split()[-1]
    spoken = {e.component for e in list_entries(archive, job_id, "finding") if isinstance(e, Finding) and e.component}
    others = [c for c in spoken if c.split()[-1] == short and c != short and not _is_named(c, names)]
    return None if others else short


def _past_word(entry: Disposition) -> str | None:
    """Give what was done in one past word, the trade's own where the words hold one; None where nothing was changed by it."""
    said = (entry.cue or "").lower()
    if entry.action == "rework" and (own := next((w for stem, w in _REWORKED.items() if stem in said), None)):
        return own
    return _CHANGED.get(entry.action)


def _told_since(archive: Archive, job_id: str, names: Sequence[str]) -> tuple[Runnings, Runnings]:
    """Give the runnings until this part came back, and those until which the machine was told to run well."""
    outcomes = list_outcomes(archive, job_id)
    if not outcomes:
        return (), ()
    before = _clock_of(archive, job_id)
    back = tuple(
        ran_since(o.reading, before) for o in outcomes if o.how == "came back" and _is_named(o.component, names)
    )
    ran = tuple(ran_since(o.reading, before) for o in outcomes if o.how == "ran")
    return back, ran


def _running_between(archive: Archive, job_id: str, following: Job) -> tuple[Decimal, str] | None:
    then = _clock_of(archive, following.id)
    return ran_since(running_words(then), _clock_of(archive, job_id)) if then is not None else None


def _clock_of(archive: Archive, job_id: str) -> tuple[Decimal, str] | None:
    """Give what the machine's clock showed on a job."""
    for entry in list_entries(archive, job_id, "mileage"):
        if isinstance(entry, Mileage) and entry.role == "reading" and entry.component is None and entry.value is not None and entry.unit:  # fmt: skip
            return entry.value, entry.unit
    found = archive.find_jobs(job_id)
    return read_clock(found[0].reading) if found else None


def _is_named(component: str | None, names: Sequence[str]) -> bool:
    return component is not None and not set(names).isdisjoint(names_of(component))
