"""The way back: what goes on again, in the reverse of the order it came off, an assembly at a time.

In: a log and the facts of its parts. Out: steps of the rebuild, what was never said to come off in which order, and
what was thrown away. An order that was not said is not invented.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from notebook.entries import Caution, Entry, Fastener, Mark, Measurement, Storage, Tip
from notebook.log.facts import PartFacts, Said, group_by_assembly, is_fastener_named, live_entries
from notebook.log.standing import Proposal, State, find_proposals
from notebook.nouns import Log
from notebook.reading.names import names_of
from notebook.reading.nouns_said import singular

_E = TypeVar("_E", bound=Entry)
BEFOREHAND = ("replace", "order", "scrap", "rework", "overhaul", "modify", "send out", "clean", "check", "hold")


@dataclass(frozen=True, slots=True, kw_only=True)
class Beforehand:
    """What has to be done before a part can go on."""

    action: str
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildStep:
    """One part going back on."""

    facts: PartFacts
    verb: str
    """`fit`, or `close` for what was opened."""
    beforehand: tuple[Beforehand, ...]
    fasteners: tuple[Said[Fastener], ...]
    fastener_places: tuple[tuple[str, ...], ...]
    """For each fastener, the places where it was put."""
    torques: tuple[Said[Measurement], ...]
    """Torques said to be set."""
    marks: tuple[Said[Mark], ...]
    tips: tuple[Said[Tip], ...]
    cautions: tuple[Said[Caution], ...]
    is_new: bool
    """The old one was thrown away; a new one goes in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildGroup:
    """Steps of one assembly, in the order to do them."""

    assembly: str
    steps: tuple[RebuildStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebuild:
    """The whole way back."""

    groups: tuple[RebuildGroup, ...]
    unordered: tuple[RebuildStep, ...]
    """Parts with something to do before or at the rebuild, whose place in the order was not said."""
    thrown_away: tuple[Proposal, ...]
    loose_tips: tuple[Said[Tip], ...]
    loose_cautions: tuple[Said[Caution], ...]
    loose_marks: tuple[Said[Mark], ...]
    loose_torques: tuple[Said[Measurement], ...]
    loose_fasteners: tuple[Said[Fastener], ...]


def plan_rebuild(log: Log, parts: Sequence[PartFacts]) -> Rebuild:
    """Turn the order of taking off round, an assembly at a time."""
    proposals = {p.facts.part.id: p for p in find_proposals(parts)}
    tips, cautions = tuple(live_entries(log, Tip)), tuple(live_entries(log, Caution))
    ordered = sorted((p for p in parts if p.is_off), key=lambda p: -(p.part.order or 0))
    others = [p for p in parts if not p.is_off]
    steps = {p.part.id: _step(p, log, proposals.get(p.part.id), tips, cautions, parts) for p in (*ordered, *others)}
    groups = tuple(
        RebuildGroup(assembly=a.name, steps=tuple(steps[p.part.id] for p in a.parts))
        for a in _runs(ordered, parts)
    )  # fmt: skip
    shown = [s for g in groups for s in g.steps]
    told = {id(x.entry) for s in shown for x in (*s.torques, *s.marks)}
    unordered = tuple(steps[p.part.id] for p in others if _has_work(steps[p.part.id], told))
    shown.extend(unordered)
    return Rebuild(
        groups=groups, unordered=unordered,
        thrown_away=tuple(p for p in proposals.values() if _is_thrown(p)),
        loose_tips=_not_in(tips, [t for s in shown for t in s.tips]),
        loose_cautions=_not_in(cautions, [c for s in shown for c in s.cautions]),
        loose_marks=_not_in(tuple(live_entries(log, Mark)), [m for s in shown for m in s.marks]),
        loose_torques=_not_in(tuple(t for t in live_entries(log, Measurement) if is_torque_to_set(t.entry)), [t for s in shown for t in s.torques]),
        loose_fasteners=_not_in(tuple(live_entries(log, Fastener)), [f for s in shown for f in s.fasteners]),
    )  # fmt: skip


def _runs(ordered: Sequence[PartFacts], parts: Sequence[PartFacts]) -> list[_Run]:
    """Cut the way back into runs of one assembly; an assembly that was left and come back to stands twice."""
    assembly = {p.part.id: a.name for a in group_by_assembly(parts) for p in a.parts}
    runs: list[_Run] = []
    for facts in ordered:
        name = assembly[facts.part.id]
        if runs and runs[-1].name == name:
            runs[-1].parts.append(facts)
        else:
            runs.append(_Run(name, [facts]))
    return runs


@dataclass(slots=True)
class _Run:
    name: str
    parts: list[PartFacts]


def _step(
    facts: PartFacts, log: Log, proposal: Proposal | None, tips: Sequence[Said[Tip]], cautions: Sequence[Said[Caution]],
    parts: Sequence[PartFacts],
) -> RebuildStep:  # fmt: skip
    contents = [(c, s.entry.place) for p in parts for s in p.stores for c in s.entry.contents]
    contents += [(c, s.entry.place) for s in _stores(log) for c in s.entry.contents]
    places = tuple(
        tuple(dict.fromkeys(place for content, place in contents if is_fastener_named(f.entry, content)))
        for f in facts.fasteners
    )
    opened = bool(facts.steps) and facts.steps[0].entry.action == "opened"
    actions = (proposal.action, *proposal.also) if proposal is not None else ()
    return RebuildStep(
        facts=facts, verb="close" if opened else "fit",
        beforehand=tuple(Beforehand(action=a, state=proposal.state) for a in BEFOREHAND if proposal is not None and a in actions and not (a == "scrap" and len(actions) > 1)),
        fasteners=facts.fasteners, fastener_places=places,
        torques=(*(m for m in facts.measurements if is_torque_to_set(m.entry)), *_torques_of_fasteners(facts, parts)),
        marks=(*facts.marks, *_marks_naming(facts, parts)), tips=tuple(t for t in tips if _is_about(t.entry, facts)), cautions=tuple(c for c in cautions if _is_about(c.entry, facts)),
        is_new=proposal is not None and _is_thrown(proposal),
    )  # fmt: skip


def _stores(log: Log) -> list[Said[Storage]]:
    return list(live_entries(log, Storage))


def is_torque_to_set(entry: Measurement) -> bool:
    """Tell a torque for the rebuild, said as such or as what the book gives."""
    return entry.quantity == "torque" and entry.role in ("required", "nominal")


def _is_about(entry: Tip | Caution, facts: PartFacts) -> bool:
    """Tell whether a tip or caution names this part: by its topic, else in its words."""
    component = facts.part.component.lower()
    topic = (entry.topic or "").lower()
    if topic and (topic == component or topic in names_of(component) or component in names_of(topic)):
        return True
    words = " ".join(singular(w) for w in re.findall(r"[a-z0-9'-]+", entry.text.lower()))
    return f" {component} " in f" {words} "


def _is_thrown(proposal: Proposal) -> bool:
    return proposal.action in ("scrap", "replace") and proposal.state != "declined"


def _torques_of_fasteners(facts: PartFacts, parts: Sequence[PartFacts]) -> list[Said[Measurement]]:
    """Give the torques said in one breath with what holds the part: "four cap screws hold the housing, book gives 45"."""
    remarks = {f.remark.id for f in facts.fasteners}
    forms = {singular((f.entry.form or "").lower().split()[-1]) for f in facts.fasteners if f.entry.form}
    return [
        m
        for other in parts
        if other is not facts and other.part.component.lower().split()[-1] in forms
        for m in other.measurements
        if is_torque_to_set(m.entry) and m.remark.id in remarks
    ]


def _marks_naming(facts: PartFacts, parts: Sequence[PartFacts]) -> list[Said[Mark]]:
    """Give the marks of what never came off by itself that name this part: "two shims behind the outboard bearing"."""
    return [
        m
        for other in parts
        if other is not facts and not other.is_off
        for m in other.marks
        if _names_part(m.entry.text, facts, parts)
    ]


def _names_part(text: str, facts: PartFacts, parts: Sequence[PartFacts]) -> bool:
    """Tell whether words name a part; where there are several of its name, only with which one."""
    words = f" {' '.join(singular(w) for w in re.findall(r'[a-z0-9-]+', text.lower()))} "
    component, position = facts.part.component.lower(), (facts.part.position or "").lower()
    if f" {component} " not in words:
        return False
    alike = [p for p in parts if p.part.component.lower() == component]
    return len(alike) == 1 or (bool(position) and f" {position} " in words)


def _has_work(step: RebuildStep, told: set[int]) -> bool:
    """Tell whether anything is to be done; what stands with another step, a torque or shims, is none."""
    fresh = [x for x in (*step.torques, *step.marks) if id(x.entry) not in told]
    is_told = bool(step.torques or step.marks) and not fresh
    return bool(step.beforehand or step.fasteners or fresh or (step.facts.stores and not is_told))


def _not_in(all_: tuple[Said[_E], ...], shown: Sequence[Said[_E]]) -> tuple[Said[_E], ...]:
    known = {id(s.entry) for s in shown}
    return tuple(s for s in all_ if id(s.entry) not in known)
