"""How far each proposal of a job is: what is to happen to a part, why, how pressing it is, and what the owner said.

In: the facts of each part. Out: proposals. A proposal comes only from a disposition that was said; a fault that
nobody decided on is listed apart, never given a remedy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from notebook.entries import Disposition
from notebook.log.deciding import AS_ADVISED, find_standing
from notebook.log.facts import PartFacts, Said
from notebook.nouns import Decision

Pressing = Literal["must", "should", "may"]
State = Literal["found", "advised", "approved", "declined", "asked", "differ", "done"]

FAILED = frozenset(
    (
        "broken", "cracked", "missing", "seized", "sheared", "stripped", "leaking", "burst", "perished", "split", "snapped", "torn",
        "through", "down to the rivets", "down to metal", "holed", "detached", "collapsed", "welded", "burnt", "parted",
    )
)  # fmt: skip
"""Conditions in which a part no longer does its work."""
CHANGES_A_PART = frozenset({"replace", "scrap", "order"})
_WORK = frozenset({"replace", "scrap", "order", "rework", "overhaul", "modify", "send out", "clean", "check", "hold"})
_WEIGHT = {
    "scrap": 0,
    "replace": 1,
    "order": 2,
    "overhaul": 3,
    "rework": 4,
    "send out": 5,
    "modify": 6,
    "clean": 7,
    "check": 8,
    "hold": 9,
}
"""Where several things were said of one part, the first of these names the proposal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What is to happen to one part."""

    facts: PartFacts
    action: str
    """The action said that goes furthest."""
    also: tuple[str, ...]
    """The other actions said of it, in the order said."""
    count: int | None
    said: tuple[Said[Disposition], ...]
    pressing: Pressing
    state: State
    decision: Decision | None
    """The decision that counts; None where nobody decided, or people differ."""
    differ: tuple[Decision, ...] = ()
    """The last word of each, where people decided differently."""

    @property
    def advised_by(self) -> tuple[str, ...]:
        """Name who said what is to be done, as far as that is known."""
        return tuple(dict.fromkeys(s.remark.person for s in self.said if s.remark.person))

    @property
    def matters_for_safety(self) -> bool:
        """Tell whether leaving it undone can hurt somebody: past a limit, failed, or at fault where lives hang on it."""
        return self.pressing == "must"


def find_proposals(parts: Sequence[PartFacts]) -> tuple[Proposal, ...]:
    """Give one proposal for each part that something was said to be done with, most pressing first."""
    found = [p for p in (_proposal(facts) for facts in parts) if p is not None]
    return tuple(sorted(found, key=lambda p: ("must", "should", "may").index(p.pressing)))


def undecided(parts: Sequence[PartFacts]) -> tuple[PartFacts, ...]:
    """Give the parts with a fault or past a limit of which nobody said what is to happen."""
    return tuple(p for p in parts if (p.defects or p.past_limit) and not p.dispositions and not p.decisions)


def reused(parts: Sequence[PartFacts]) -> tuple[PartFacts, ...]:
    """Give the parts that were said to go again and nothing else."""
    return tuple(p for p in parts if p.dispositions and all(s.entry.action == "reuse" for s in p.dispositions))


def _proposal(facts: PartFacts) -> Proposal | None:
    said = tuple(s for s in facts.dispositions if s.entry.action in _WORK)
    standing = find_standing(facts.decisions)
    latest = standing.decision
    actions = list(dict.fromkeys(s.entry.action for s in said))
    if latest is not None and latest.action in _WORK and latest.action not in actions:
        actions.append(latest.action)
    if not actions and facts.decisions and (facts.defects or facts.past_limit):
        actions.append(AS_ADVISED)
    if not actions:
        return None
    action = min(actions, key=lambda a: _WEIGHT.get(a, 99))
    counts = [s.entry.count for s in said if s.entry.count is not None]
    return Proposal(
        facts=facts, action=action, also=tuple(a for a in actions if a != action), count=max(counts, default=None), said=said,
        pressing=how_pressing(facts), state="differ" if standing.differ else _state(said, latest),
        decision=latest, differ=standing.differ,
    )  # fmt: skip


def _state(said: Sequence[Said[Disposition]], latest: Decision | None) -> State:
    if latest is not None:
        return latest.state
    if said and all(s.entry.done for s in said):
        return "done"
    return "advised"


def how_pressing(facts: PartFacts) -> Pressing:
    """Tell how pressing: past a limit, failed, or a fault where lives hang on it, must; another fault should; else may."""
    certain = [s.entry for s in facts.defects if s.entry.presence == "present"]
    if facts.past_limit or any(f.condition in FAILED or f.degree == "severe" for f in certain):
        return "must"
    if facts.is_safety_critical and facts.defects:
        return "must"
    if facts.defects and not all(f.degree == "slight" for f in certain):
        return "should"
    return "may"
