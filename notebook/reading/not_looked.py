"""Parts that were not looked at.

In: a clause. Out: a finding `not inspected`, or None.

Examples: "couldn't get to the rear bearing", "not stripping that today", "the inner race I can't vouch for".
"""

from __future__ import annotations

from notebook.entries import Finding
from notebook.reading.bearers import resolve
from notebook.reading.clause import Clause
from notebook.reading.state import State


def find_not_looked(clause: Clause, state: State) -> Finding | None:
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind != "cue" or chunk.cue != "not_looked.said":
            continue
        for part in [*clause.chunks[at + 1 :], *reversed(clause.chunks[:at])]:
            if part.is_part and (bearer := resolve(part, state.focus)) and bearer.component:
                return Finding(
                    component=bearer.component, position=bearer.position, condition="not inspected", presence="present", count=bearer.count,
                    of=bearer.of, span=state.span(clause.start, clause.end), cue=chunk.low, rule="finding.not_inspected",
                )  # fmt: skip
        if state.focus.bearer is not None:
            return Finding(
                component=state.focus.bearer.component, position=state.focus.bearer.position, condition="not inspected",
                span=state.span(clause.start, clause.end), cue=chunk.low, rule="finding.not_inspected",
            )  # fmt: skip
    return None
