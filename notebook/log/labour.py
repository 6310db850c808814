"""Hours by assembly, worked out from the clock of the remarks: an estimate, never a time sheet.

In: a log and its parts by assembly. Out: time by assembly, and the time that could not be given to any.
The time between two remarks belongs to the assembly of the later one. A wait longer than a break counts as a break.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from notebook.log.facts import Assembly
from notebook.nouns import Log

BREAK = timedelta(minutes=30)
"""Nobody says nothing for half an hour while taking things apart (common practice, no source): longer is a break."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """Time spent on one assembly."""

    assembly: str
    spent: timedelta
    steps: int
    """How many steps were said in it."""


def estimate_labour(log: Log, assemblies: Sequence[Assembly]) -> tuple[Labour, ...]:
    """Give the time by assembly, in the order they were begun; empty where no remark has a time."""
    assembly_of = {
        entry_id: a.name for a in assemblies for facts in a.parts for entry_id in facts.part.entry_ids
    }  # fmt: skip
    spent: dict[str, timedelta] = {}
    steps: dict[str, int] = {}
    current = GENERAL
    last_at = None
    last_sitting = None
    for remark in (r for r in log.remarks if r.at is not None):
        named = [assembly_of[e.id] for e in remark.entries if not e.struck and e.id in assembly_of]
        current = named[0] if named else current
        if remark.at is not None and last_at is not None and remark.sitting_id == last_sitting:
            wait = remark.at - last_at
            if timedelta(0) < wait <= BREAK:
                spent[current] = spent.get(current, timedelta(0)) + wait
        for entry in remark.entries:
            if entry.kind == "step" and not entry.struck:
                steps[current] = steps.get(current, 0) + 1
        last_at, last_sitting = remark.at, remark.sitting_id
    return tuple(Labour(assembly=name, spent=time, steps=steps.get(name, 0)) for name, time in spent.items())


GENERAL = "before the first part"
