"""Reads remarks into entries: tidy, match, tag, chunk, cut into clauses, then one rule a kind of entry.

In: remarks as text, in order, as one job. Out: a `Reading` a remark: tidied text, changes, entries.
Never raises for any text; never opens a file but the vocabulary that comes with the package.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources

from notebook.entries import Correction, Disposition, Entry, Fastener, Finding, Measurement, Mileage
from notebook.nouns import Aside, Change
from notebook.reading.advice import set_speech_moods
from notebook.reading.bearers import note_group, note_list, subject_of
from notebook.reading.carry import carried_dispositions, carried_findings
from notebook.reading.cautions import read_cautions_and_tips
from notebook.reading.chunks import chunk_pieces
from notebook.reading.clause import FACT, Clause
from notebook.reading.clauses import cut_clauses
from notebook.reading.confidence import confidence_of
from notebook.reading.corrections import read_correction
from notebook.reading.deciding import read_decisions
from notebook.reading.deeds import read_dispositions, read_steps
from notebook.reading.emptying import settle_places
from notebook.reading.fastener_states import STATES
from notebook.reading.fasteners import read_fasteners
from notebook.reading.findings import read_findings
from notebook.reading.focus import Bearer, Focus
from notebook.reading.looking import look
from notebook.reading.marking import read_marks
from notebook.reading.matching import Matcher, standard_matcher
from notebook.reading.measurements import read_amounts
from notebook.reading.photo_cues import read_photo_cues
from notebook.reading.promises import read_promises
from notebook.reading.searched import find_none
from notebook.reading.settling import settle_findings
from notebook.reading.state import JobMemory, State
from notebook.reading.storage import read_storage
from notebook.reading.table_doubts import doubt_by_tables
from notebook.reading.tags import tag_pieces
from notebook.reading.tidy import Tidied, tidy_remark
from notebook.reading.tools import read_tools
from notebook.shop import NO_WORDS, ShopWords


@cache
def reader_version(words: ShopWords = NO_WORDS) -> str:
    """Give what tells one reader from another: a digest of its rules and words, so that a change of either is seen."""
    digest = hashlib.sha256(repr(words).encode() if words != NO_WORDS else b"")
    room = resources.files("notebook.reading")
    for folder in (room, room.joinpath("data")):
        for file in sorted(folder.iterdir(), key=lambda f: f.name):
            if file.name.endswith((".py", ".csv", ".toml")):
                digest.update(file.name.encode())
                digest.update(file.read_bytes())
    return digest.hexdigest()[:12]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What one remark was read into."""

    text: str
    tidied: str
    changes: tuple[Change, ...]
    entries: tuple[Entry, ...]
    asides: tuple[Aside, ...] = ()
    """What was said and is no fact of this job, with the words that decided so."""


class Reader:
    """Reads the remarks of one job in order; make a new one for the next job."""

    def __init__(self, *, machine: str | None = None, habit: str | None = None, matcher: Matcher | None = None) -> None:
        self.machine = machine
        self.habit = habit
        self._matcher = matcher or standard_matcher()
        self._memory = JobMemory(habit=habit)

    def read(self, text: str, *, line: str | None = None) -> Reading:
        """Read one remark; `line` is how later remarks refer to it (a line number or an id)."""
        tidied = tidy_remark(text, habit=self._memory.habit, named=self._memory.words, lexicon=self._matcher.lexicon)
        clauses = self._clauses(tidied)
        memory = self._memory
        bearer = replace(memory.bearer, from_=memory.line, is_named=False) if memory.bearer else None
        state = State(
            tidied=tidied, lexicon=self._matcher.lexicon, memory=memory,
            focus=Focus(bearer=bearer, group=memory.group, total=memory.total),
        )  # fmt: skip
        state.findings = [e for e in memory.entries if isinstance(e, Finding)]
        state.units = [
            (n, p.amount.unit, p.amount.dimension)
            for n, p in enumerate(tidied.pieces)
            if p.amount is not None and p.amount.unit is not None
        ]
        set_speech_moods(clauses, state)
        entries = _read_clauses(clauses, state)
        self._remember(state, entries, line)
        asides = tuple(
            Aside(span=state.span(c.start, c.end), mood=c.mood, cue=c.cue) for c in clauses if c.mood != FACT and c.cue
        )
        return Reading(
            text=text, tidied=tidied.text, changes=tidied.changes, entries=tuple(entries), asides=asides
        )  # fmt: skip

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
        memory.words |= {
            w for b in state.focus.named for w in (b.component or "").split() if w in self._matcher.lexicon.heads
        }
        if state.focus.named:
            memory.named = tuple({b.component: b for b in state.focus.named}.values())
        memory.dispositions = tuple(e for e in entries if isinstance(e, Disposition)) or memory.dispositions
        memory.measured = next((e for e in reversed(entries) if isinstance(e, Measurement)), memory.measured)
        memory.line = line
        for entry in entries:
            if isinstance(entry, Measurement) and memory.habit is None:
                memory.habit = {"thou": "inch", "in": "inch", "mm": "metric", "um": "metric"}.get(entry.unit or "")


def _read_clauses(clauses: list[Clause], state: State) -> list[Entry]:
    entries: list[Entry] = []
    correction = read_correction(clauses, state)
    if correction is not None:
        entries.append(correction)
        state.is_correcting = True
        clauses = [c for c in clauses if state.span(c.start, c.end)[1] > correction.span[1] or c.sentence > 0]
        clauses = [c for c in clauses if not _is_inside(c, correction, state)]
    subjects: list[Bearer | None] = []
    kept: list[Clause] = []
    entries.extend(read_cautions_and_tips(clauses, state))
    for clause in clauses:
        if _withdraws(clause, kept):
            entries = [e for e in entries if not isinstance(e, Finding)]
        state.focus.is_about_machine = _is_of_machine(clause)
        note_group(clause, state.focus)
        subject, at = subject_of(clause, state.focus)
        subjects.append(subject)
        facts = _facts(clause, state)
        entries.extend(facts)
        look(clause, at, subject, state)
        entries.extend(find_none(clause, kept[-1] if kept else None, state, state.focus.bearer))
        for finding in facts:
            if isinstance(finding, Finding):
                state.focus.count_off(Bearer(component=finding.component, count=finding.count, of=finding.of))
        _note_totals(clause, state)
        note_list(clause, state.focus)
        kept.append(clause)
    entries.extend(read_fasteners(kept, subjects, state))
    entries = settle_findings(entries, kept, state)
    entries.extend(read_marks(kept, state))
    entries = settle_places([*entries, *read_storage(kept, state)], state.tidied.text)
    decided, entries = read_decisions(kept, entries, state)
    entries.extend(decided)
    entries.extend(read_promises(state.tidied.text))
    entries.extend(read_tools(kept, state))
    entries.extend(read_photo_cues(kept, state))
    return _finish(entries, state)


_PEOPLE_DO = frozenset(
    "says said reckons reckoned wants wanted told rang phoned asked thinks thought knows brought dropped".split()
)


def _is_of_machine(clause: Clause) -> bool:
    """ "She'll go again", "he's bent": the machine or its part, not a person."""
    words = set(clause.low.split())
    return bool(words & {"she", "he", "her", "him"}) and not words & _PEOPLE_DO


def _note_totals(clause: Clause, state: State) -> None:
    """ "Push rods, eight of them": how many there are; "backlash before I touched it": what is measured next."""
    chunks = clause.chunks
    if (
        len(chunks) == 1
        and chunks[0].kind == "number"
        and chunks[0].value is not None
        and chunks[0].value > 1
        and state.focus.bearer
        and not state.amounts
    ):
        state.focus.total, state.focus.counted = int(chunks[0].value), 0
        state.focus.group = state.focus.bearer.component
    named = next((c for c in chunks if c.is_part and c.quantity), None)
    if named is not None:
        state.quantity = named.quantity


_TAKES_BACK = frozenset(
    {
        "no",
        "no no",
        "nah",
        "no sorry",
        "sorry no",
        "sorry",
        "hang on",
        "wait",
        "hold on",
        "no wait",
        "actually",
        "oh no",
        "wait a minute",
        "hang on a minute",
        "scratch that",
    }
)


def _withdraws(clause: Clause, earlier: list[Clause]) -> bool:
    """ "Flange is cracked ... no, hang on, that's just grease": what was found in this breath is taken back."""
    if clause.chunks[0].pronoun not in ("it", "that", "this") or not clause.has("just", "only", "not"):
        return False
    return any(c.sentence == clause.sentence and c.low in _TAKES_BACK for c in earlier[-3:])


def _is_inside(clause: Clause, correction: Correction, state: State) -> bool:
    return state.span(clause.start, clause.end)[1] <= correction.span[1]


def _facts(clause: Clause, state: State) -> list[Entry]:
    entries: list[Entry] = []
    amounts = read_amounts(clause, state)
    carried = carried_findings(clause, state)
    findings = carried or read_findings(clause, state)
    entries.extend(findings)
    entries.extend(amounts)
    entries.extend(carried_dispositions(clause, state) or read_dispositions(clause, state))
    entries.extend(read_steps(clause, state))
    negative = next((f for f in reversed(findings) if f.presence == "absent"), None)
    state.last_negation = negative.cue if negative is not None else None
    state.last_chunks = clause.chunks
    return entries


def _finish(entries: list[Entry], state: State) -> list[Entry]:
    fasteners = [e for e in entries if isinstance(e, Fastener)]
    out: list[Entry] = []
    seen: set[Entry] = set()
    for entry in entries:
        if isinstance(entry, Finding) and _is_state_of(entry, fasteners):
            continue
        if entry not in seen:
            seen.add(entry)
            out.append(replace(entry, confidence=confidence_of(entry)))
    out = doubt_by_tables(out, state.tidied.text)
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


__all__ = ["Mileage", "Reader", "Reading", "read_job", "reader_version"]
