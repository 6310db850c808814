"""Answers questions over all jobs: "which jobs had broken springs".

In: a question in plain words and the archive. Out: how it was understood, an answer in one sentence, the hits.
A question is read by the reader's matching of parts, conditions and negations, never as a remark.
What is not understood is looked for as words, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from notebook.archive.search import Hit, count_jobs, find_findings, find_words
from notebook.archive.store import Archive
from notebook.errors import one_line
from notebook.reading.lexicon import Condition
from notebook.reading.matching import Match, Matcher, standard_matcher
from notebook.reading.names import names_of
from notebook.reading.nouns_said import singular
from notebook.reading.tidy import Piece, tidy_remark

_ASKING = frozenset(
    (
        "which what who when where how many much often did do does was were is are have has had been the a an "
        "of on in any all jobs job ones one machines machine we i you us me show find list give that those "
        "with where there any's had got for and or be ever ? . , ! which's what's us our my did didn't"
    ).split()
)
LONGEST_QUESTION = 2000
_NOT = ("no", "not", "weren't", "wasn't", "without", "never", "didn't", "isn't", "aren't", "hadn't", "haven't")
_MAYBE = ("might", "maybe", "possibly", "perhaps", "suspected", "could")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question as understood."""

    text: str
    component: str | None = None
    closer: str | None = None
    """The component with the words before it that no list holds: "pedal spring"."""
    conditions: tuple[str, ...] = ()
    presences: tuple[str, ...] = ("present",)
    words: tuple[str, ...] = ()
    """Looked for as words, because no part or condition was understood."""

    def in_words(self) -> str:
        """Say how the question was understood."""
        if not self.component and not self.conditions:
            return f"remarks with the words: {' '.join(self.words)}" if self.words else "nothing to look for"
        part = self.component or "any part"
        if not self.conditions:
            return f"{part}, any finding"
        state = {"absent": "said not to be ", "possible": "perhaps "}.get(self.presences[0], "")
        return f"{part}, {state}{' or '.join(self.conditions)}"


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


def read_question(text: str, matcher: Matcher | None = None) -> Question:
    """Read a question into part, condition and whether it is said to be so."""
    matcher = matcher or standard_matcher()
    text = one_line(text[:LONGEST_QUESTION])
    pieces = tidy_remark(text).pieces
    found = matcher.find(pieces)
    taken: set[int] = set()
    conditions: list[Condition] = []
    component: str | None = None
    closer: str | None = None
    for at in range(len(pieces)):
        for match in found.get(at, ()):
            if at in taken:
                break
            if match.label in ("component", "fastener") and component is None:
                component = " ".join(p.low for p in pieces[match.start : match.end])
                closer = _closer_name(pieces, match, taken)
                taken.update(range(match.start, match.end))
            elif match.label == "condition":
                conditions.append(match.meaning[0])
                taken.update(range(match.start, match.end))
                component = component or _part_inside(match, found, pieces)
    if component is None:
        component = _unlisted_part(pieces, taken)
    component = _one(component) if component else None
    closer = _one(closer) if closer else None
    words = tuple(p.low for p in pieces if p.low not in _ASKING and p.kind != "sign")
    if component is None and not conditions:
        return Question(text=text, words=words)
    presences = _presences(pieces)
    terms = tuple(dict.fromkeys(c.term for c in conditions))
    return Question(text=text, component=component, closer=closer, conditions=terms, presences=presences, words=words)


def _closer_name(pieces: Sequence[Piece], part: Match, taken: set[int]) -> str | None:
    """Give a part with the plain words before it ("pedal springs"); None where there are none."""
    start = part.start
    while start > 0 and start - 1 not in taken and pieces[start - 1].kind == "word":
        if pieces[start - 1].low in {*_ASKING, *_NOT, *_MAYBE}:
            break
        start -= 1
    return " ".join(p.low for p in pieces[start : part.end]) if start < part.start else None


def _part_inside(condition: Match, found: Mapping[int, Sequence[Match]], pieces: Sequence[Piece]) -> str | None:
    """Give the part that ends a condition of several words: "a broken spring", but no line of "a crack line"."""
    for state in found.get(condition.start, ()):
        if state.label == "condition" and state.end < condition.end and state.meaning[0].form == "adjective":
            for part in found.get(state.end, ()):
                if part.label == "component" and part.end == condition.end:
                    return " ".join(p.low for p in pieces[part.start : part.end])
    return None


def _unlisted_part(pieces: Sequence[Piece], taken: set[int]) -> str | None:
    """Take the plain words beside a condition for the part, when no list holds it."""
    if not taken:
        return None
    rest = [
        p.low
        for n, p in enumerate(pieces)
        if n not in taken and p.kind == "word" and p.low not in _ASKING and p.low not in _NOT
    ]
    return " ".join(rest) if 0 < len(rest) <= 3 else None


def _one(component: str) -> str:
    words = component.split()
    return " ".join([*words[:-1], singular(words[-1])])


def _presences(pieces: Sequence[Piece]) -> tuple[str, ...]:
    lows = [p.low for p in pieces]
    if any(w in lows for w in _NOT):
        return ("absent",)
    if any(w in lows for w in _MAYBE):
        return ("possible",)
    return ("present",)


def answer_question(archive: Archive, text: str, matcher: Matcher | None = None) -> Answer:
    """Answer a question from the archive."""
    question = read_question(text, matcher)
    total = count_jobs(archive)
    if question.component or question.conditions:
        names = [question.component] if question.component else []
        listed = names_of(question.component)[:1] if question.component else ()
        if question.closer:
            hits = find_findings(
                archive, names=[question.closer], conditions=question.conditions, presences=question.presences
            )
            if hits:
                return _answer(replace(question, component=question.closer), hits, total, ())
        hits = find_findings(
            archive, names=[*names, *listed], conditions=question.conditions, presences=question.presences
        )
        if hits:
            note = f"Nothing is on record of a {question.closer}; looked for any {question.component}."
            return _answer(question, hits, total, (note,) if question.closer else ())
        if question.conditions:
            return Answer(
                question=question, sentence=f"No job has that on record ({question.in_words()}).", count=0, of=total
            )
    hits = find_words(archive, question.words)
    plain = Question(text=question.text, words=question.words)
    if not hits:
        return Answer(question=plain, sentence=f"Nothing found ({plain.in_words()}).", count=0, of=total)
    why = (
        f"no finding of a {question.component} is on record"
        if question.component
        else "no part or condition was understood"
    )
    return _answer(plain, hits, total, (f"Looked for as words; {why}.",))


def _answer(question: Question, hits: Sequence[Hit], total: int, notes: tuple[str, ...]) -> Answer:
    jobs = tuple(dict.fromkeys(h.job_number for h in hits))
    jobs_word = "job" if len(jobs) == 1 else "jobs"
    sentence = f"{len(jobs)} of {total} {jobs_word}: {', '.join(jobs[:12])}{' ...' if len(jobs) > 12 else ''}."
    return Answer(
        question=question, sentence=sentence, hits=tuple(hits), jobs=jobs, count=len(jobs), of=total, notes=notes
    )


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
