"""Findings: which part is in what condition, said to be so, not to be so, or perhaps so.

In: a clause, and what was spoken of before. Out: findings. Only clauses that state a fact of this job count:
what usually happens, other jobs, questions, warnings and what would happen give none.

Examples: "two of the six shoes are cracked", "no scoring on the drum", "might be a crack by the keyway",
"nothing wrong with the pump", "couldn't get to the rear bearing".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Finding
from notebook.reading.alike import alike_in
from notebook.reading.bearers import part_after, resolve, subject_of, subjects_of
from notebook.reading.clause import ELSEWHERE, EXPECTED, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.condition_bearers import bearer_of, subject_near
from notebook.reading.condition_places import is_electric
from notebook.reading.echoes import cleft_in, compared_in, echoed_in, instead_in
from notebook.reading.faultless import find_faultless, find_no_play
from notebook.reading.focus import Bearer
from notebook.reading.idle_words import is_idle
from notebook.reading.lacking import find_gone, find_none_left
from notebook.reading.noises import fluid_past, noise_from
from notebook.reading.not_looked import find_not_looked
from notebook.reading.polarity import degree_of, polarity_of
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_NOT_FACTS = frozenset({QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, WARNING, INSTRUCTION})


def read_findings(clause: Clause, state: State) -> list[Finding]:
    """Give the findings a clause states."""
    if clause.mood in _NOT_FACTS:
        if clause.mood in (USUAL, ELSEWHERE) or (
            clause.mood == HYPOTHETICAL and clause.chunks[0].low in ("had", "were")
        ):
            state.shadow = _shadow(clause, state)
        return []
    if clause.mood == EXPECTED:
        state.shadow = _shadow(clause, state)
    elif echoed := echoed_in(clause, state):
        return echoed
    if heard := noise_from(clause, state) or fluid_past(clause, state):
        state.remember_findings(heard)
        return heard
    if alike := alike_in(clause, state):
        state.remember_findings(alike)
        return alike
    if (denied := cleft_in(clause, state)) or (denied := instead_in(clause, state)):
        state.remember_findings(denied)
        return denied
    found: list[Finding] = []
    if not_looked := find_not_looked(clause, state):
        return [not_looked]
    subject, subject_at = subject_of(clause, state.focus)
    found.extend(_attributes(clause, state))
    if wrong := find_faultless(clause, state, subject):
        return [*found, wrong]
    if still := find_no_play(clause, state, subject):
        return [*found, still]
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind != "condition":
            continue
        finding = _finding(clause, at, chunk, state, subject, subject_at)
        if finding is not None:
            found.append(finding)
            found.extend(_for_others(finding, clause, subject, subject_at, state))
    if not found and (gone := find_gone(clause, state, subject, subject_at)):
        found.append(gone)
    if not found and (empty := find_none_left(clause, state, subject, subject_at)):
        found.append(empty)
    found.extend(compared_in(clause, state, subject, subject_at))
    found = _tidy_up(found)
    state.remember_findings(found)
    return found


def _for_others(
    finding: Finding, clause: Clause, subject: Bearer | None, subject_at: int, state: State
) -> list[Finding]:
    """Say the same of every part in "A and B are worn" or in a list just named."""
    bearers = subjects_of(clause, subject, subject_at, state.focus)
    if (
        subject is None
        or len(bearers) < 2
        or (finding.component != subject.component and finding.component not in [b.component for b in bearers])
    ):
        return []
    return [
        replace(finding, component=b.component, position=b.position, count=b.count, of=b.of)
        for b in bearers
        if (b.component, b.position) != (finding.component, finding.position)
    ]


def _finding(
    clause: Clause,
    at: int,
    chunk: Chunk,
    state: State,
    subject: Bearer | None,
    subject_at: int,
    *,
    as_told: bool = False,
) -> Finding | None:
    condition = chunk.conditions[0]
    presence, cue, degree = polarity_of(clause, at, state)
    if presence is None:
        return None
    if chunk.is_negative:
        presence, cue = "absent", chunk.determiner
    if is_idle(clause, at, chunk, state):
        return None
    if (near := subject_near(clause, at, subject_at)) is not None and (
        nearer := resolve(clause.chunks[near], state.focus)
    ):
        subject, subject_at = nearer, near
    bearer, position = bearer_of(clause, at, chunk, state, subject, subject_at)
    if bearer is None:
        bearer = Bearer(doubt="which part is not said")
    if bearer.is_negative:
        presence, cue = ("present" if presence == "absent" else "absent"), cue or "none"
    if clause.mood == EXPECTED and clause.cue not in _OWNER_SAYS and not as_told:
        return None
    term = condition.term
    if presence == "absent" and condition.polarity == "good" and term == "sound":
        term, presence = "bad", "present"
    if term == "no oil" and (
        after := part_after(
            clause.chunks, at, frozenset({"round", "around", "on", "past", "at", "under", "about", "behind"})
        )
    ):
        leaky = resolve(after[1], state.focus)
        if leaky is not None and leaky.component:
            bearer, term, presence, position = leaky, "leaking", "absent", None
    if term == "short circuit" and chunk.low in ("short", "shorter") and not is_electric(bearer.component):
        term = "short"
    if term == "dry" and presence == "present" and _is_seal(bearer.component):
        term, presence = "leaking", "absent"
    return Finding(
        component=bearer.component, position=_place(bearer.position, position), condition=term, presence=presence,
        degree=degree or degree_of(chunk), count=bearer.count, of=bearer.of if bearer.count is not None else None,
        span=state.span(clause.chunks[min(at, max(subject_at, 0))].start if subject_at >= 0 else chunk.start, clause.end),
        doubt=bearer.doubt, cue=cue or chunk.low, rule=f"finding.{chunk.tag}", from_=bearer.from_,
    )  # fmt: skip


def _place(own: str | None, said_after: str | None) -> str | None:
    """ "Right arm's seized on its pin": which one it is counts before where on it."""
    return own if own and said_after and said_after.startswith(("on the ", "in the ")) else said_after or own


def _is_seal(component: str | None) -> bool:
    words = (component or "").split()
    return (
        bool(words)
        and words[-1] in ("seal", "gasket", "o-ring", "gland", "union", "hose", "washer", "damper", "ring")
        and words[-1] != "ring"
    )


_OWNER_SAYS = frozenset(
    {
        "owner says",
        "owner reckons",
        "customer says",
        "he says",
        "she says",
        "they say",
        "owner said",
        "he said",
        "she said",
        "they said",
        "told me",
        "reckoned",
    }
)


def _attributes(clause: Clause, state: State) -> list[Finding]:
    """Read conditions said before the noun: "there's a cracked tooth", "two bent spokes"."""
    found = []
    for at, chunk in enumerate(clause.chunks):
        if (
            not chunk.is_part
            or not chunk.attributes
            or chunk.determiner in ("the", "that", "this", "those", "these", "any", "no", "every", "my", "your")
        ):
            continue
        if (
            at
            and clause.chunks[at - 1].kind == "preposition"
            and (not chunk.is_known or not (chunk.determiner or chunk.count))
        ):
            continue
        if any(c.low in ("wants", "need", "needs", "order", "want") for c in clause.chunks[:at]):
            continue
        bearer = resolve(chunk, state.focus)
        if bearer is None or bearer.component is None:
            continue
        presence, cue, degree = polarity_of(clause, at, state)
        for condition, text in chunk.attributes:
            found.append(
                Finding(
                    component=bearer.component, position=bearer.position, condition=condition.term, presence=presence or "present",
                    degree=degree, count=bearer.count, of=bearer.of, span=state.span(chunk.start, chunk.end), cue=cue or text,
                    rule="finding.attribute",
                )
            )  # fmt: skip
    return found


def _shadow(clause: Clause, state: State) -> list[Finding]:
    """What a clause about other machines would have found, for "... but nothing on this one"."""
    subject, subject_at = subject_of(clause, state.focus)
    found = []
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind == "condition":
            finding = _finding(clause, at, chunk, state, subject, subject_at, as_told=True)
            if finding is not None:
                found.append(finding)
    return found or state.shadow


def _tidy_up(found: Sequence[Finding]) -> list[Finding]:
    """Drop a second mention of the same condition on the same part in one clause."""
    out: list[Finding] = []
    for finding in found:
        if all(
            (f.component, f.position, f.condition, f.presence)
            != (finding.component, finding.position, finding.condition, finding.presence)
            for f in out
        ):
            out.append(finding)
    return out
