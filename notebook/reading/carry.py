"""Carrying on: "same on the other side", "outer one's the same", "right side, same deal".

In: a clause and the findings of the remark before. Out: those findings again, in the new place.
Gives nothing where it is not plain what is meant.
"""

from __future__ import annotations

import re
from dataclasses import replace

from notebook.entries import Disposition, Finding
from notebook.reading.bearers import resolve
from notebook.reading.clause import FACT, Clause
from notebook.reading.marking import is_mark
from notebook.reading.state import State

_SAME = re.compile(
    r"\b(same (?:story|deal|again|thing|here|there|for|with|on|goes|state|craic|way|issue|problem|as|o'er|at|down|fault|condition|wear|too|idea|tale|carry on|job|boat)|ditto|likewise|the same|identical|just the same|same's true|no different|same)\b"
)


def carried_findings(clause: Clause, state: State) -> list[Finding]:
    """Give the findings of the remark before for the part or side named here; empty when nothing is carried."""
    text = clause.low
    if clause.mood != FACT or not _SAME.search(text) or any(c.kind in ("condition", "amount") for c in clause.chunks):
        return []
    if any(
        w in text
        for w in (
            "same way",
            "the same day",
            "same time",
            "same size",
            "same each side",
            "same treatment",
            "same as before i",
        )
    ):
        return []
    if is_mark(clause):
        return []
    if state.own_findings and clause.chunks[0].is_known and len(clause.chunks) <= 3:
        return []
    earlier = state.own_findings or [e for e in state.memory.entries if isinstance(e, Finding)]
    if not earlier:
        return []
    component, position = None, None
    for chunk in [*clause.chunks, *state.last_chunks]:
        if not chunk.is_part or chunk.pronoun in ("it", "that", "this", "i"):
            continue
        if chunk.pronoun in ("place", "one", "other", "number") or chunk.position:
            position = position or chunk.position or chunk.low.removeprefix("the ")
        elif chunk.name and not chunk.is_unspecific and component is None:
            bearer = resolve(chunk, state.focus)
            component = bearer.component if bearer else None
    if component is None and position is None:
        return []
    out = []
    for finding in earlier:
        name, where = finding.component, position or finding.position
        if component and finding.component and component not in finding.component:
            where = component
            words = finding.component.split()
            name = f"{component} {words[-1]}" if len(words) > 1 else finding.component
        out.append(
            replace(
                finding, component=name, position=where, from_=state.memory.line, span=state.span(clause.start, clause.end), cue="same",
                rule="finding.carried", confidence=finding.confidence,
            )
        )  # fmt: skip
    return out


_SAME_TREATMENT = re.compile(
    r"\b(same treatment|same for that|same with that|likewise for|do the same|same again for|gets? the same|get the same|having the same|ditto)\b"
)


def carried_dispositions(clause: Clause, state: State) -> list[Disposition]:
    """ "Same treatment": what was said to happen to the part before happens to this one too."""
    if clause.mood != FACT or not _SAME_TREATMENT.search(clause.low) or state.focus.bearer is None:
        return []
    bearer = state.focus.bearer
    return [
        replace(
            e,
            component=bearer.component,
            position=bearer.position,
            count=None,
            from_=state.memory.line,
            span=state.span(clause.start, clause.end),
            cue="same",
        )
        for e in state.memory.dispositions
        if isinstance(e, Disposition)
    ]
