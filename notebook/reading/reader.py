"""Reads remarks into entries: tidy, match, tag, chunk, cut into clauses, then one rule a kind of entry.

In: remarks as text, in order, as one job. Out: a `Reading` a remark: tidied text, changes, entries.
Never raises for any text; never opens a file but the vocabulary that comes with the package.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from notebook.entries import Correction, Entry, Fastener, Finding, Measurement, Mileage
from notebook.nouns import Change
from notebook.reading.bearers import Bearer, Focus, resolve, subject_of
from notebook.reading.carry import carried_findings
from notebook.reading.chunks import chunk_pieces
from notebook.reading.clauses import FACT, Clause, cut_clauses
from notebook.reading.deeds import read_dispositions, read_steps
from notebook.reading.fasteners import STATES, read_fasteners
from notebook.reading.findings import read_findings
from notebook.reading.matching import Matcher, standard_matcher
from notebook.reading.measurements import read_amounts
from notebook.reading.sayings import (
    read_cautions_and_tips,
    read_correction,
    read_marks,
    read_photo_cues,
    read_storage,
    read_tools,
    set_speech_moods,
)
from notebook.reading.state import JobMemory, State
from notebook.reading.tags import tag_pieces
from notebook.reading.tidy import Tidied, tidy_remark
from notebook.tables.checks import doubt_driver, doubt_thread

READER_VERSION = "1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What one remark was read into."""

    text: str
    tidied: str
    changes: tuple[Change, ...]
    entries: tuple[Entry, ...]


class Reader:
    """Reads the remarks of one job in order; make a new one for the next job."""

    def __init__(self, *, machine: str | None = None, habit: str | None = None, matcher: Matcher | None = None) -> None:
        self.machine = machine
        self.habit = habit
        self._matcher = matcher or standard_matcher()
        self._memory = JobMemory(habit=habit)

    def read(self, text: str, *, line: str | None = None) -> Reading:
        """Read one remark; `line` is how later remarks refer to it (a line number or an id)."""
        tidied = tidy_remark(text, habit=self._memory.habit)
        clauses = self._clauses(tidied)
        memory = self._memory
        bearer = replace(memory.bearer, from_=memory.line, is_named=False) if memory.bearer else None
        state = State(
            tidied=tidied, lexicon=self._matcher.lexicon, memory=memory,
            focus=Focus(bearer=bearer, group=memory.group, total=memory.total), unit=None,
        )  # fmt: skip
        set_speech_moods(clauses, state)
        entries = _read_clauses(clauses, state)
        self._remember(state, entries, line)
        return Reading(text=text, tidied=tidied.text, changes=tidied.changes, entries=tuple(entries))

    def _clauses(self, tidied: Tidied) -> list[Clause]:
        matches = self._matcher.find(tidied.pieces)
        tags = tag_pieces(tidied.pieces, matches, self._matcher.lexicon)
        chunks = chunk_pieces(tidied.pieces, tags, matches, self._matcher.lexicon)
        return cut_clauses(chunks, tidied.pieces, matches)

    def _remember(self, state: State, entries: list[Entry], line: str | None) -> None:
        memory = self._memory
        if state.focus.bearer is not None:
            memory.bearer = state.focus.bearer
            memory.group, memory.total = state.focus.group, state.focus.total
        if entries:
            memory.entries = tuple(entries)
        memory.line = line
        for entry in entries:
            if isinstance(entry, Measurement) and memory.habit is None:
                memory.habit = {"thou": "inch", "in": "inch", "mm": "metric", "um": "metric"}.get(entry.unit or "")


def _read_clauses(clauses: list[Clause], state: State) -> list[Entry]:
    entries: list[Entry] = []
    correction = read_correction(clauses, state)
    if correction is not None:
        entries.append(correction)
        clauses = [c for c in clauses if state.span(c.start, c.end)[1] > correction.span[1] or c.sentence > 0]
        clauses = [c for c in clauses if not _is_inside(c, correction, state)]
    subjects: list[Bearer | None] = []
    kept: list[Clause] = []
    for clause in clauses:
        subject, at = subject_of(clause, state.focus, state.lexicon)
        subjects.append(subject)
        entries.extend(_facts(clause, state))
        _look(clause, at, subject, state)
        kept.append(clause)
    entries.extend(read_fasteners(kept, subjects, state))
    entries.extend(read_cautions_and_tips(kept, state))
    entries.extend(read_marks(kept, state))
    entries.extend(read_storage(kept, state))
    entries.extend(read_tools(kept, state))
    entries.extend(read_photo_cues(kept, state))
    return _finish(entries, state)


def _is_inside(clause: Clause, correction: Correction, state: State) -> bool:
    return state.span(clause.start, clause.end)[1] <= correction.span[1]


def _facts(clause: Clause, state: State) -> list[Entry]:
    entries: list[Entry] = []
    amounts = read_amounts(clause, state)
    carried = carried_findings(clause, state)
    findings = carried or read_findings(clause, state)
    entries.extend(findings)
    entries.extend(amounts)
    entries.extend(read_dispositions(clause, state))
    entries.extend(read_steps(clause, state))
    state.last_amounts = bool(amounts) or (state.last_amounts and not findings and len(clause.chunks) < 4)
    if amounts and isinstance(amounts[-1], Measurement):
        state.last_role = amounts[-1].role
    negative = next((f for f in reversed(findings) if f.presence == "absent"), None)
    state.last_negation = negative.cue if negative is not None else None
    state.last_chunks = clause.chunks
    for finding in findings:
        state.focus.count_off(Bearer(component=finding.component, count=finding.count, of=finding.of))
    return entries


def _look(clause: Clause, at: int, subject: Bearer | None, state: State) -> None:
    """Move the focus: the subject when it is named, else the last part named in the clause."""
    if clause.mood not in (FACT, "expected", "warning", "instruction"):
        return
    if subject is not None and at >= 0 and subject.component and not _is_clock(clause.chunks[at].name):
        state.focus.look_at(subject)
        if subject.is_named:
            return
    for chunk in clause.chunks:
        if (
            chunk.is_part
            and chunk.name
            and not chunk.is_unspecific
            and not chunk.tool
            and not chunk.container
            and not chunk.quantity
        ):
            bearer = resolve(chunk, state.focus, state.lexicon)
            if bearer is not None and bearer.is_named and not _is_clock(chunk.name):
                if subject is None or at < 0 or not subject.component:
                    state.focus.look_at(bearer)
                    return


def _is_clock(name: str | None) -> bool:
    return bool(name) and any(
        w in ("clock", "book", "speedo", "meter", "limit", "spec", "manual", "minimum", "maximum", "photo", "picture")
        for w in (name or "").split()
    )


def _finish(entries: list[Entry], state: State) -> list[Entry]:
    fasteners = [e for e in entries if isinstance(e, Fastener)]
    out: list[Entry] = []
    for entry in entries:
        if isinstance(entry, Finding) and _is_state_of(entry, fasteners):
            continue
        if isinstance(entry, Fastener):
            doubt = doubt_thread(entry.thread) if entry.thread else None
            doubt = doubt or doubt_driver(entry.thread, entry.form, entry.driver)
            entry = replace(entry, doubt=doubt) if doubt else entry
        if entry not in out:
            out.append(entry)
    order = {e: n for n, e in enumerate(out)}
    return sorted(out, key=lambda e: (e.span[0], order[e]))


def _is_state_of(finding: Finding, fasteners: list[Fastener]) -> bool:
    """A state of a fastener is no finding too."""
    if finding.condition not in STATES and finding.condition not in ("sound", "rusted solid"):
        return False
    state = STATES.get(finding.condition, "seized" if finding.condition == "rusted solid" else "free")
    return any(state in f.state and f.span[0] <= finding.span[1] and finding.span[0] <= f.span[1] for f in fasteners)


def read_job(
    remarks: Iterable[str], *, machine: str | None = None, habit: str | None = None, matcher: Matcher | None = None
) -> Iterator[Reading]:
    """Read the remarks of one job in order."""
    reader = Reader(machine=machine, habit=habit, matcher=matcher)
    for number, text in enumerate(remarks, 1):
        yield reader.read(text, line=str(number))


__all__ = ["READER_VERSION", "Mileage", "Reader", "Reading", "read_job"]
