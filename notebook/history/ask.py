"""Answers questions over all jobs: "which jobs had broken springs".

In: a question in plain words and the archive. Out: how it was understood, an answer in one sentence, the hits.
A question is read by the reader's matching of parts, conditions and negations, never as a remark.
What is not understood is looked for as words, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, tzinfo
from typing import Any

from notebook.archive.asking import (
    ANY_JOB,
    MOST_SAID,
    Found,
    JobsWanted,
    Wanted,
    count_jobs_where,
    find_code,
    find_jobs_where,
    find_said,
    find_told,
    is_job,
    knows_name,
    list_machine_kinds,
    list_persons,
    people_of,
    quote_words,
)
from notebook.archive.search import Hit
from notebook.archive.store import Archive
from notebook.entries import Storage
from notebook.history.asked_words import FAMILIES
from notebook.history.question import Bound, Question
from notebook.history.understand import LONGEST_QUESTION
from notebook.history.understand import read_question as understand_question
from notebook.reading.matching import Matcher, standard_matcher
from notebook.reading.names import same_names

__all__ = ["LONGEST_QUESTION", "Answer", "answer_json", "answer_question", "read_question"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the archive says to a question."""

    question: Question
    sentence: str
    hits: tuple[Hit, ...] = ()
    jobs: tuple[str, ...] = ()
    count: int | None = None
    of: int | None = None
    notes: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class _Known:
    """What an archive knows, for telling a name from a word."""

    archive: Archive

    def machine_kinds(self) -> Sequence[str]:
        return list_machine_kinds(self.archive)

    def persons(self) -> Sequence[str]:
        return list_persons(self.archive)

    def label(self, said: str) -> tuple[str, str] | None:
        return find_code(self.archive, said)

    def is_job(self, number: str) -> bool:
        return is_job(self.archive, number)

    def has_part(self, name: str) -> bool:
        return knows_name(self.archive, name)


def read_question(
    archive: Archive, text: str, matcher: Matcher | None = None, *, now: datetime | None = None, zone: tzinfo = UTC
) -> Question:
    """Read a question with what the archive knows of machines, people and parts."""
    return understand_question(text, matcher or standard_matcher(), _Known(archive), now or datetime.now(UTC), zone)


def answer_question(
    archive: Archive, text: str, matcher: Matcher | None = None, *, now: datetime | None = None, zone: tzinfo = UTC
) -> Answer:
    """Answer a question from the archive; `now` is what "last year" is counted from."""
    answer = _find_answer(archive, read_question(archive, text, matcher, now=now, zone=zone))
    return _name_people(archive, answer) if answer.question.asks == "who" else answer


def _find_answer(archive: Archive, question: Question) -> Answer:
    if question.period is not None and question.period.wrong:
        return Answer(question=question, sentence=f"No answer: {question.period.wrong}. Give another date.", count=0)
    jobs = _jobs_wanted(question)
    if question.kind == "jobs":
        return _answer_jobs(archive, question, jobs)
    of = count_jobs_where(archive, _described(jobs))
    for tried, wanted, notes in _attempts(question, jobs):
        found = find_told(archive, wanted)
        if not found.job_count:
            continue
        if question.left:
            closer = find_told(archive, replace(wanted, words=quote_words(question.left) or None))
            if closer.job_count:
                said = f'Only remarks that also say "{" ".join(question.left)}".'
                return _answer(tried, closer, of, (*notes, said))
            notes = (*notes, f"Left aside, not understood: {' '.join(question.left)}.")
        return _answer(tried, found, of, notes)
    if _is_understood(question):
        return Answer(question=question, sentence=f"No job has that on record ({question.in_words()}).", count=0, of=of)
    return _answer_words(archive, question, jobs, of)


def _elsewhere(archive: Archive, question: Question, jobs: JobsWanted) -> tuple[str, ...]:
    """Say how many jobs have it in another place, where none has it in the place that was asked for."""
    if not question.position:
        return ()
    without = replace(question, position=None)
    for tried, wanted, _ in _attempts(without, jobs):
        found = find_told(archive, wanted, 1)
        if found.job_count:
            return (f"Wherever it sits: {found.job_count} ({tried.in_words()}).",)
    return ()


def _is_understood(question: Question) -> bool:
    """Tell whether finding nothing is an answer, and words need not be tried."""
    if question.kind == "finding":
        return bool(question.conditions)
    return question.kind in ("measurement", "disposition", "mileage") or bool(
        question.place or question.thread or question.state
    )


def _jobs_wanted(question: Question) -> JobsWanted:
    period, clock = question.period, question.clock
    return JobsWanted(
        machines=question.machines, plate=question.plate, number=question.number, owner_ref=question.owner_ref,
        person=question.person, since=period.since if period else None, until=period.until if period else None,
        clock_from=clock.value if clock and (clock.how == "at least" or clock.to is not None or clock.how == "about") else None,
        clock_to=(clock.to if clock.to is not None else clock.value) if clock and clock.how in ("at most", "about") else None,
        clock_above=clock.value if clock and clock.how == "above" else None,
        clock_below=clock.value if clock and clock.how == "below" else None,
    )  # fmt: skip


def _described(jobs: JobsWanted) -> JobsWanted:
    """Give the jobs that an answer is counted among ("4 of 11 winch jobs")."""
    return replace(jobs, clock_from=None, clock_to=None, clock_above=None, clock_below=None)


# --- what is tried, closest first --------------------------------------------------------------------------


def _attempts(question: Question, jobs: JobsWanted) -> Iterator[tuple[Question, Wanted, tuple[str, ...]]]:
    """Give what is looked for, the closest reading first, each with what has to be said about it."""
    if question.kind is None:
        return
    for tried, names, note in _names(question):
        wanted = _wanted(tried, names, jobs)
        yield tried, wanted, note
        if tried.kind == "measurement" and tried.quantity and tried.bound and names:
            yield (
                replace(tried, quantity=None),
                replace(wanted, whats=("",)),
                (*note, f"Sizes that were not said to be {tried.quantity}."),
            )
        if tried.kind == "measurement" and not tried.bound and tried.quantity:
            yield tried, replace(wanted, hows=()), note
        if tried.kind == "fastener" and tried.form:
            other = replace(tried, form=None)
            yield other, replace(wanted, names=()), (*note, f"Nothing is on record of a {tried.form} so; any fastener.")
    if question.machine and not question.component and question.kind == "finding" and question.machines:
        yield question, _wanted(question, (), jobs), ()


def _names(question: Question) -> Iterator[tuple[Question, tuple[str, ...], tuple[str, ...]]]:
    """Give the names that the part is looked for by: with the words before it, as said, as the vocabulary calls it."""
    if question.kind in ("caution", "tip"):
        yield question, (), ()
        return
    if question.kind == "fastener" and question.form:
        yield question, same_names(question.form), ()
        return
    if not question.component:
        yield question, (), ()
        return
    whole = question.closer
    while whole and whole != question.component:
        yield replace(question, component=whole), (whole,), ()
        whole = whole.split(" ", 1)[1] if " " in whole else None
    note = (
        (f"Nothing is on record of a {question.closer}; looked for any {question.component}.",)
        if question.closer
        else ()
    )
    yield question, same_names(question.component), note
    for other in question.others:
        yield replace(question, component=other), same_names(other), ()
    if len(question.component.split()) > 1 and question.kind in ("measurement", "storage"):
        head = question.component.split()[-1]
        yield (
            replace(question, component=head),
            (head,),
            (f"Nothing is on record of a {question.component}; any {head}.",),
        )
    if question.kind == "measurement" and question.quantity and question.bound:
        yield (
            replace(question, component=None),
            (),
            (f"Nothing of that size is on record of a {question.component}; any part.",),
        )


def _wanted(question: Question, names: tuple[str, ...], jobs: JobsWanted) -> Wanted:
    whats: tuple[str, ...] = ()
    hows: tuple[str, ...] = ()
    is_sound = question.conditions == ("sound",)
    if question.kind == "finding":
        whats = tuple(dict.fromkeys(t for c in question.conditions for t in FAMILIES.get(c, (c,))))
        hows = question.presences
    elif question.kind == "disposition":
        whats = question.actions
    elif question.kind == "measurement":
        whats = (question.quantity,) if question.quantity else ()
        hows = ("measured",)
    elif question.kind == "fastener":
        whats = (question.thread,) if question.thread else ()
    elif question.kind == "storage":
        whats = (question.place.lower(),) if question.place else ()
    return Wanted(
        kind=question.kind or "finding", names=names, whats=whats, hows=hows, position=question.position, state=question.state,
        or_cleared=is_sound and question.presences == ("present",), jobs=jobs,
        words=quote_words([question.component]) if question.kind in ("caution", "tip") and question.component else None, **_bounds(question.bound),
    )  # fmt: skip


def _bounds(bound: Bound | None) -> dict[str, Any]:
    if bound is None:
        return {}
    slack = abs(bound.value) * 1e-9
    if bound.how == "above":
        return {"above": bound.value + slack}
    if bound.how == "below":
        return {"below": bound.value - slack}
    if bound.how == "at least":
        return {"at_least": bound.value - slack}
    if bound.how == "at most":
        return {"at_most": bound.value + slack}
    return {"at_least": bound.value - slack, "at_most": (bound.to if bound.to is not None else bound.value) + slack}


# --- answers -----------------------------------------------------------------------------------------------


def _answer_jobs(archive: Archive, question: Question, jobs: JobsWanted) -> Answer:
    of = count_jobs_where(archive, ANY_JOB)
    notes: tuple[str, ...] = ()
    if question.left:
        said, _ = find_said(archive, question.left, jobs)
        if said.job_count:
            return _answer(question, said, of, (f'Looked for the words "{" ".join(question.left)}" in them.',))
        notes = (f"Left aside, not understood: {' '.join(question.left)}.",)
    found = find_jobs_where(archive, jobs)
    if not found.job_count:
        return Answer(
            question=question, sentence=f"There is no such job ({question.in_words()}).", count=0, of=of, notes=notes
        )
    return _answer(question, found, of, notes)


def _answer_words(archive: Archive, question: Question, jobs: JobsWanted, of: int) -> Answer:
    found, is_cut = find_said(archive, question.words, jobs)
    plain = question.as_words()
    if not found.job_count:
        return Answer(question=plain, sentence=f"Nothing found ({plain.in_words()}).", count=0, of=of)
    why = (
        f"no finding of a {question.component} is on record"
        if question.component
        else "no part or condition was understood"
    )
    notes = [f"Looked for as words; {why}."]
    if is_cut:
        notes.append(
            f"So many remarks say that that only the newest {MOST_SAID:,} were looked through; those with the words side by side come first."
        )
    return _answer(plain, found, of, tuple(notes))


def _name_people(archive: Archive, answer: Answer) -> Answer:
    """Say who did the newest jobs of an answer to "who"."""
    jobs = dict.fromkeys((h.job_id, h.job_number) for h in answer.hits)
    people = people_of(archive, [job_id for job_id, _ in jobs])
    said = [f"{', '.join(people[job_id])} (job {number})" for job_id, number in list(jobs)[:5] if people.get(job_id)]
    return replace(answer, sentence=f"{'; '.join(said)}. {answer.sentence}") if said else answer


def _answer(question: Question, found: Found, of: int, notes: tuple[str, ...]) -> Answer:
    numbers, hits = found.numbers, found.hits
    if question.asks in ("when last", "when first") and hits:
        last = hits[0] if question.asks == "when last" else hits[-1]
        if question.asks == "when last" or found.job_count <= len(dict.fromkeys(h.job_id for h in hits)):
            hits = tuple(h for h in hits if h.job_id == last.job_id)
            numbers = (last.job_number,)
            word = "Last" if question.asks == "when last" else "First"
            sentence = f"{word} on {last.opened:%Y-%m-%d}, job {last.job_number} ({last.machine}); {_count(found.job_count, of, question)} in all."
            return Answer(
                question=question, sentence=sentence, hits=hits, jobs=numbers, count=found.job_count, of=of, notes=notes
            )
    listed = f": {', '.join(numbers[:12])}{' ...' if found.job_count > 12 else ''}"
    sentence = f"{_count(found.job_count, of, question)}{listed}."
    entry = hits[0].entry if hits else None
    if question.asks == "where" and isinstance(entry, Storage):
        sentence = f"{entry.place} (job {hits[0].job_number}, {hits[0].opened:%Y-%m-%d}). {sentence}"
    if question.asks == "how often":
        share = f" ({found.job_count * 100 / of:.0f} %)" if of else ""
        times = "once" if found.entry_count == 1 else f"{found.entry_count} times"
        sentence = f"{_count(found.job_count, of, question)}{share}, said {times}{listed}."
    if found.job_count > len(numbers):
        notes = (*notes, f"The newest {len(numbers)} jobs are listed.")
    return Answer(
        question=question, sentence=sentence, hits=hits, jobs=numbers, count=found.job_count, of=of, notes=notes
    )


def _count(count: int, of: int, question: Question) -> str:
    machine = f"{question.machine} " if question.machine and question.kind != "jobs" else ""
    return f"{count} of {of} {machine}{'job' if of == 1 else 'jobs'}"


def answer_json(answer: Answer) -> dict[str, Any]:
    """Give an answer as JSON values."""
    return {
        "asked": answer.question.in_words(),
        "answer": answer.sentence,
        "count": answer.count,
        "of": answer.of,
        "hits": [
            {
                "job": h.job_number, "machine": h.machine, "date": h.opened.date().isoformat(), "remark": h.remark_id, "text": h.text,
                "entry": h.entry.to_json() if h.entry else None, "photo": h.photo, "second": round(h.second, 2) if h.second is not None else None,
            }
            for h in answer.hits
        ],
        "jobs": list(answer.jobs),
        "notes": list(answer.notes),
    }  # fmt: skip
