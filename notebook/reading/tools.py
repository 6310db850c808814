"""Tools that were used or are needed.

In: clauses of a remark. Out: tool entries. Never reads a tool inside a tip or a caution.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import Tool
from notebook.reading.bearers import subject_of
from notebook.reading.clause import FACT, Clause
from notebook.reading.drivers import driver_at
from notebook.reading.focus import Bearer
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_USING = frozenset(
    (
        "took take takes needed needs need used using use with wants wanted required requires need-the had "
        "borrow borrowed get got put via"
    ).split()
)


def read_tools(clauses: Sequence[Clause], state: State) -> list[Tool]:
    """Give tools that were used or are needed; a tool inside a tip or a caution stays there."""
    found: list[Tool] = []
    for clause in clauses:
        if clause.mood != FACT:
            continue
        used = False
        for at, chunk in enumerate(clause.chunks):
            if chunk.low in _USING or set(chunk.low.split()) & {"took", "needed", "used", "needs"}:
                used = True
            name = _tool_name(clause.chunks, at) if used else None
            if name:
                subject, _ = subject_of(clause, state.focus)
                found.append(
                    Tool(
                        name=name,
                        for_=_tool_for(subject, state),
                        span=state.span(max(clause.start, chunk.start - 1), chunk.end),
                        rule="tool",
                    )
                )
    return found


def _tool_name(chunks: Sequence[Chunk], at: int) -> str | None:
    chunk = chunks[at]
    driver = driver_at(chunks, at)
    if driver is not None and at + 1 < len(chunks):
        following = chunks[at + 1]
        if following.low.split()[-1] in ("head", "heads"):
            return None
        return driver
    if chunk.is_part and chunk.tool and chunk.fastener is None:
        if at and driver_at(chunks, at - 1) is not None:
            return None
        words = [w for w in chunk.low.split() if w not in ("the", "a", "an", "my", "our", "some")]
        if at and chunks[at - 1].kind in ("amount", "number"):
            words = [chunks[at - 1].low, *words]
        return " ".join(words) or None
    if (
        chunk.is_part
        and chunk.name
        and at
        and chunks[at - 1].kind in ("amount",)
        and chunk.name.split()[-1] in ("tube", "bar", "pipe", "impact", "puller", "extension")
    ):
        return f"{chunks[at - 1].low} {chunk.name}"
    return None


def _tool_for(subject: Bearer | None, state: State) -> str | None:
    if subject is not None and subject.component:
        return subject.component
    return state.focus.bearer.component if state.focus.bearer else None
