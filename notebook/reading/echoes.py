"""Findings that say again, of another part or not so, what was just said.

In: a clause and the state. Out: findings.

Examples: "... but nothing on this one", "the guide's worse", "it's not the bearing that's noisy, it's the gear".
"""

from __future__ import annotations

import re
from dataclasses import replace

from notebook.entries import Finding
from notebook.reading.bearers import resolve
from notebook.reading.clause import Clause
from notebook.reading.focus import Bearer
from notebook.reading.state import State


def cleft_in(clause: Clause, state: State) -> list[Finding]:
    """ "It's not the bearing | that's noisy", "it's neither the pump nor the valve | that's weeping"."""
    before = state.last_chunks
    first = clause.chunks[0]
    if first.pronoun not in ("that", "which", "who") or clause.joiner not in ("", "that") or len(before) < 3:
        return []
    if before[0].pronoun not in ("it", "that", "this") or before[1].kind != "aux":
        return []
    negation = next((c for c in before[1:4] if c.cue == "negation.before" or c.low.endswith("n't")), None)
    if negation is None or any(c.kind == "condition" for c in before):
        return []
    parts = [b for c in before if c.is_part and c.name and (b := resolve(c, state.focus)) is not None]
    said = next((c for c in clause.chunks[1:] if c.kind == "condition"), None)
    if said is None:
        return []
    state.denied = [
        Finding(
            component=part.component, position=part.position, condition=said.conditions[0].term, presence="absent",
            span=state.span(before[0].start, clause.end), cue=negation.low, rule="finding.cleft",
        )
        for part in parts
    ]  # fmt: skip
    return state.denied


def instead_in(clause: Clause, state: State) -> list[Finding]:
    """ "... it's the gear": what was denied of one part is so of another."""
    chunks = clause.chunks
    if not state.denied or any(c.kind in ("condition", "amount") for c in chunks):
        return []
    if len(chunks) < 3 or chunks[0].pronoun not in ("it", "that") or chunks[1].kind != "aux" or not chunks[2].is_part:
        return []
    part = resolve(chunks[2], state.focus) if chunks[2].name else None
    denied, state.denied = state.denied, []
    if part is None or not part.component:
        return []
    return [
        replace(
            denied[0], component=part.component, position=part.position, presence="present",
            span=state.span(clause.start, clause.end), cue=chunks[2].low, rule="finding.cleft",
        )
    ]  # fmt: skip


_LIKE_BEFORE = (
    "worse",
    "no better",
    "as bad",
    "just as bad",
    "every bit as bad",
    "much the same",
    "the same",
    "same again",
    "not much better",
    "no different",
    "equally bad",
    "likewise",
    "nearly as bad",
    "similar",
    "identical",
    "a bit better",
    "not as bad",
    "same way",
    "gone the same way",
    "even worse",
    "ditto",
    "as well",
    "the same again",
)


_SAID_BARE = frozenset(
    {
        "worse",
        "no better",
        "as bad",
        "just as bad",
        "every bit as bad",
        "not much better",
        "equally bad",
        "nearly as bad",
        "a bit better",
        "even worse",
    }
)
""" "Carrier face not much better": said with no verb at all."""


def compared_in(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> list[Finding]:
    """ "The guide's worse": the condition spoken of before, on this part too."""
    if (
        any(c.kind in ("condition", "amount") for c in clause.chunks)
        or subject is None
        or subject_at < 0
        or not state.findings
    ):
        return []
    text = f" {clause.low} "
    said = next((w for w in _LIKE_BEFORE if f" {w} " in text), None)
    is_bare = (
        said in _SAID_BARE and len(clause.low.split()) <= len(said.split()) + len(clause.chunks[0].low.split()) + 1
    )
    if said is None or (
        not is_bare and not any(c.kind == "aux" or c.low in ("looks", "feels", "gone", "does") for c in clause.chunks)
    ):
        return []
    last = state.findings[-1]
    if said == "as well" and any(c.kind in ("verb", "particle") for c in clause.chunks):
        return []
    if said == "as well" and not clause.chunks[0].is_part:
        return []
    where = subject.position
    component = subject.component or last.component
    return [
        replace(last, component=component, position=where, count=subject.count, of=subject.of if subject.count else None, degree=None, span=state.span(clause.start, clause.end), cue=said, rule="finding.compared")
    ]  # fmt: skip


_NOTHING_THERE = re.compile(
    r"^(?:and |but )*(?:nothing|none|not a thing|no such thing) (?:whatever |whatsoever |at all )?(?:at|on|in|down|up|round|along|under|near) "
)

_DENIES = re.compile(
    r"^(?:and |but |so |there's |i see |i found |found )*(?:nothing|none|no sign|not a thing|not so|no trouble|no such)\b[\w ]*\b(?:this|here|these|it|them)\b|"
    r"\b(?:neither|none)\b[\w ]* (?:does|do|is|are|has|have|did|was|were)$|\b(?:this|these)(?: ones?| un| two| pair)? (?:doesn't|don't|isn't|aren't|hasn't|haven't|wasn't|weren't|didn't)$|\b(?:it|they|he|she) (?:wasn't|weren't|isn't|aren't|didn't|hasn't|haven't)$|\b(?:it|they|that|he|she)(?:'s|'re| is| are| was| were) not$|^there(?:'s| is| was| are| were) (?:none|nothing)$|\bnot (?:on )?(?:this|these)(?: one| ones| time)?$"
)


def echoed_in(clause: Clause, state: State) -> list[Finding]:
    """ "Last one had a hairline in the web ... and nothing on this one": the condition just told, and not here."""
    if any(c.kind == "condition" for c in clause.chunks):
        return []
    if state.own_findings and _NOTHING_THERE.search(clause.low):
        last = state.own_findings[-1]
        place = re.sub(r"^.*?(?:nothing|none|not a thing|no such thing) ", "", clause.low)
        return [
            replace(
                last,
                presence="absent",
                degree=None,
                position=place,
                span=state.span(clause.start, clause.end),
                cue="nothing",
                rule="finding.echo",
            )
        ]
    if not state.shadow:
        return []
    said = _DENIES.search(clause.low.replace(" '", "'"))
    if said is None:
        return []
    count = 2 if clause.has("neither") else None
    return [
        replace(
            f,
            presence="absent",
            degree=None,
            count=count,
            of=count,
            span=state.span(clause.start, clause.end),
            cue=said.group(),
            rule="finding.echo",
        )
        for f in state.shadow
        if f.presence != "absent"
    ]
