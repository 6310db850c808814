"""Nothing wrong: a part said to be sound by what it has none of.

In: a clause and its subject. Out: a finding, or None.

Examples: "nothing wrong with the pump", "can't fault the gears", "big end I can feel nothing".
"""

from __future__ import annotations

import re

from notebook.entries import Finding
from notebook.reading.bearers import resolve
from notebook.reading.clause import Clause
from notebook.reading.focus import Bearer
from notebook.reading.state import State

_FAULTLESS = (
    "nothing wrong with", "nothing the matter with", "nowt wrong with", "nothing amiss with", "no complaints about", "no complaints with",
    "nothing up with", "no issues with", "no fault in", "no faults in", "no problem with", "no problems with", "can't fault", "nothing wrong",
    "not a thing wrong with", "no faults on", "nothing bad to say about", "no worries with", "no fault with", "happy with", "nothing to report on",
    "no trouble with", "no issue with", "couldn't fault", "nothing actually wrong with", "not a thing wrong",
)  # fmt: skip


_FEELS_NOTHING = re.compile(
    r"\b(?:feel|get) (?:nothing|nowt|nae|no movement)\b|\b(?:can't|cannot|couldn't) feel (?:anything|owt|a thing)\b"
)


def find_no_play(clause: Clause, state: State, subject: Bearer | None) -> Finding | None:
    """ "Big end I can feel nothing up and down": no play."""
    said = _FEELS_NOTHING.search(clause.low.replace(" '", "'"))
    if said is None or subject is None or not subject.component or any(c.kind == "condition" for c in clause.chunks):
        return None
    return Finding(
        component=subject.component, position=subject.position, condition="play", presence="absent", count=subject.count,
        of=subject.of if subject.count else None, span=state.span(clause.start, clause.end), cue=said.group(),
        rule="finding.feels_nothing", from_=subject.from_,
    )  # fmt: skip


def find_faultless(clause: Clause, state: State, subject: Bearer | None) -> Finding | None:
    text = clause.low
    said = next((p for p in _FAULTLESS if p in text), None)
    if said is None or any(f"not {said}" in text or f"{n} {said}" in text for n in ("not", "isn't", "aren't", "ain't")):
        return None
    end = text.index(said) + len(said)
    length = 0
    bearer = subject
    for chunk in clause.chunks:
        length += len(chunk.low) + 1
        if length > end and chunk.is_part and (named := resolve(chunk, state.focus)):
            if not (
                chunk.pronoun in ("it", "they", "that", "this", "these") and subject is not None and subject.is_named
            ):
                bearer = named
            break
    if bearer is None:
        bearer = Bearer(doubt="which part is not said")
    return Finding(
        component=bearer.component, position=bearer.position, condition="sound", presence="present", count=bearer.count, of=bearer.of,
        span=state.span(clause.start, clause.end), cue=said, rule="finding.faultless", doubt=bearer.doubt,
    )  # fmt: skip
