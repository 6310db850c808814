"""Answers what is asked at the bench: where something is, what is left to say, what was seen before.

In: a question's subject, the log of the job, the archive. Out: a short answer for large letters and the voice, and
lines beneath it. Never stores anything.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from notebook.archive.search import find_words
from notebook.archive.store import Archive
from notebook.documents.words import entry_words, is_defect
from notebook.entries import Finding, Storage
from notebook.history.ask import answer_question
from notebook.history.precedent import find_precedent
from notebook.jobs.placing import shop_places
from notebook.log.facts import gather_facts
from notebook.log.gaps import find_gaps
from notebook.log.places import find_place
from notebook.nouns import Log, Remark
from notebook.reading.matching import matcher_with, standard_matcher
from notebook.reading.nouns_said import singular
from notebook.reading.tidy import tidy_remark
from notebook.shop import Shop

MOST_LINES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchAnswer:
    """An answer: short, and what stands beneath it."""

    says: str
    more: tuple[str, ...] = ()


def answer_where(archive: Archive, log: Log, about: str) -> BenchAnswer:
    """Say where something was put: the latest place in this job, else in the other open jobs."""
    wanted = _heads(about)
    for job_log, label in _logs(archive, log):
        found = [
            (e, r)
            for r in job_log.remarks
            for e in r.entries
            if isinstance(e, Storage) and not e.struck and any(wanted <= _heads(c) for c in e.contents)
        ]
        if found:
            entry = found[-1][0]
            more = tuple(f'"{r.text}"' for _, r in reversed(found))[:MOST_LINES]
            return BenchAnswer(says=f"{entry.place}{label}", more=more)
    return BenchAnswer(says=f"Nobody said where the {about} went.")


def answer_inside(archive: Archive, about: str) -> BenchAnswer:
    """Say what is in a place now, over all open jobs."""
    place = find_place(
        shop_places(archive), tidy_remark(about, habit=None, named=set(), lexicon=standard_matcher().lexicon).text
    )
    if place is None:
        return BenchAnswer(says=f"Nothing is in {about}, as far as was said.")
    more = tuple(f"{k.thing} (job {k.job_number}, remark {k.remark.order})" for k in place.things)
    return BenchAnswer(
        says=", ".join(k.thing for k in place.things),
        more=(*([place.doubt] if place.doubt else []), *more)[:MOST_LINES],
    )


def _logs(archive: Archive, log: Log) -> list[tuple[Log, str]]:
    out = [(log, "")]
    for job in archive.all_jobs()[:20]:
        if job.closed is None and job.id != log.job.id:
            out.append((archive.load_log(job), f" (job {job.number})"))
    return out


def _heads(words: str) -> set[str]:
    return {singular(word) for word in words.lower().split() if word not in ("the", "of", "and", "all", "a")}


def list_unsaid(log: Log) -> tuple[str, ...]:
    """Say what has not been said yet, the latest last; `teardown gaps` says the same, and what limits the sheets hold."""
    gaps = [g for g in find_gaps(log, gather_facts(log)) if g.kind != "limit"]
    return tuple(f"{g.about}: {g.words}" for g in sorted(gaps, key=lambda g: g.order or 0))


def answer_left(log: Log) -> BenchAnswer:
    """Say what has not been said yet."""
    unsaid = list_unsaid(log)
    if not unsaid:
        return BenchAnswer(says="Nothing left to say.")
    return BenchAnswer(says=f"{len(unsaid)} left" if len(unsaid) > 1 else unsaid[0], more=unsaid[:MOST_LINES])


def answer_read_back(log: Log) -> BenchAnswer:
    """Read the last remark back."""
    if not log.remarks:
        return BenchAnswer(says="Nothing said yet.")
    last = log.remarks[-1]
    return BenchAnswer(says=last.tidied or last.text, more=tuple(entry_words(e) for e in last.entries)[:MOST_LINES])


def seen_before(archive: Archive, log: Log, finding: Finding) -> BenchAnswer | None:
    """Say how often a finding came up in earlier jobs, the last one and what was done; None where it never did."""
    if finding.component is None:
        return None
    found = find_precedent(archive, finding.component, finding.condition, without_job=log.job.id)
    return BenchAnswer(says=found.how_often(), more=tuple(found.lines()[1:])) if found is not None else None


def seen_for_remark(archive: Archive, log: Log | None, remark: Remark) -> BenchAnswer | None:
    """Say of the first fault in a remark that earlier jobs had too, how often and what was done."""
    if log is None:
        return None
    for entry in remark.entries:
        if isinstance(entry, Finding) and is_defect(entry):
            found = seen_before(archive, log, entry)
            if found is not None:
                return found
    return None


def answer_seen(archive: Archive, log: Log, about: str) -> BenchAnswer:
    """Say in which earlier jobs words came up."""
    hits = [h for h in find_words(archive, about.split()) if h.job_id != log.job.id]
    if not hits:
        return BenchAnswer(says=f"No earlier job speaks of {about}.")
    jobs = list(dict.fromkeys(h.job_number for h in hits))
    return BenchAnswer(
        says=f"{len(jobs)} earlier job{'s' if len(jobs) > 1 else ''}: {', '.join(jobs[:5])}",
        more=tuple(f'{h.job_number} {h.machine}: "{h.text}"' for h in hits[:MOST_LINES]),
    )


def answer_asked(archive: Archive, shop: Shop, question: str, now: datetime) -> BenchAnswer:
    """Answer a question over all jobs as `teardown find` does, in large letters: the answer, how it was understood, the words."""
    answer = answer_question(archive, question, matcher_with(shop.words), now=now, zone=ZoneInfo(shop.settings.zone))
    words = dict.fromkeys(f'{h.job_number} {h.machine}: "{h.text}"' for h in answer.hits)
    return BenchAnswer(
        says=answer.sentence, more=(f"asked: {answer.question.in_words()}", *answer.notes, *list(words)[:MOST_LINES])
    )
