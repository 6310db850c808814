"""Precedent: the same finding before, how often, what was done about it, and how it turned out.

In: a part, its condition, the archive. Out: a `Precedent`, newest job first. Never stores anything.
How it turned out is what the next job of the same machine says of the same part: the same fault again, found good,
not spoken of; or that the machine was not back since.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from notebook.archive.asking import JobsWanted, Wanted, count_jobs_where, find_told, list_entries, next_job_of_machine
from notebook.archive.search import Hit
from notebook.archive.store import Archive
from notebook.entries import Disposition, Finding
from notebook.history.asked_words import FAMILIES
from notebook.history.question import DONE_WORDS
from notebook.nouns import Job
from notebook.reading.names import names_of, same_names

FOLLOWED = 20
"""Newest jobs that are followed up; the count is over all."""
Turned = Literal["same again", "found good", "not spoken of", "not back since"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """One earlier job that had it."""

    hit: Hit
    done: tuple[str, ...]
    """Dispositions said of the part in that job, in order: replace, order."""
    turned: Turned
    next_job: Job | None = None
    """The machine's next job, which tells how it turned out."""


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
            f"{turned[t]} {t}" for t in ("same again", "found good", "not spoken of", "not back since") if turned[t]
        ]
        lines.append("since: " + ", ".join(words))
        return lines


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
    done = tuple(
        dict.fromkeys(
            e.action
            for e in list_entries(archive, hit.job_id, "disposition")
            if isinstance(e, Disposition) and _is_named(e.component, names)
        )
    )
    following = next_job_of_machine(archive, hit.job_id)
    if following is None:
        return Before(hit=hit, done=done, turned="not back since")
    later = [
        e
        for e in list_entries(archive, following.id, "finding")
        if isinstance(e, Finding) and _is_named(e.component, names) and e.condition != "not inspected"
    ]
    turned: Turned = "not spoken of"
    if any(e.condition in conditions and e.presence == "present" for e in later):
        turned = "same again"
    elif any(e.presence == "absent" or e.condition == "sound" for e in later):
        turned = "found good"
    return Before(hit=hit, done=done, turned=turned, next_job=following)


def _is_named(component: str | None, names: Sequence[str]) -> bool:
    return component is not None and not set(names).isdisjoint(names_of(component))
