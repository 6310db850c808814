"""How far a rebuild is: what was said of each step, what differs from the sheet, and what is left in the bags.

In: the plan of the way back, what was said at each step, the log. Out: where each step stands, doubts, what is left.
Nothing is ticked that nobody said; what differs from the sheet is a doubt and stops nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Literal

from notebook.entries import Disposition, Entry, Fastener, Mark, Measurement
from notebook.log.facts import is_fastener_named, same_part
from notebook.log.parts import own_limits
from notebook.log.places import follow_places
from notebook.log.rebuild import Rebuild, RebuildStep
from notebook.log.verdicts import verdicts_of
from notebook.nouns import Log, Remark
from notebook.reading.names import names_of, table_name
from notebook.reading.nouns_said import singular
from notebook.tables.limits import Limit
from notebook.tables.units import convert, find_unit

TickState = Literal["done", "torque set", "skipped", "open", "said"]
TORQUE_NEAR = Decimal("0.10")
"""Nearer than this a torque is the sheet's: a hand torque tool in order is within 6 % (ISO 6789-1), and is read by eye."""
_AWAITED = frozenset({"replace", "order", "rework", "overhaul", "modify", "send out"})
_HERE = re.compile(r"\b(?:(?:has|have|'s|'ve) (?:come|arrived)|came (?:in|today|this)|arrived|(?:is|are|'s|'re) (?:here|back|in stock)|got the new|new .{1,40} (?:is |are )?(?:fitted|in|on)|fitted (?:a|the|two|three|four|all) new)\b", re.IGNORECASE)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """What was said of one step."""

    id: str
    component: str
    position: str | None = None
    state: TickState
    words: str = ""
    """As said, or why it was skipped."""
    doubts: tuple[str, ...] = ()
    person: str | None = None
    made: datetime
    remark_id: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepStanding:
    """Where one step stands."""

    step: RebuildStep
    is_ordered: bool
    """Whether its place in the order was said."""
    state: Literal["open", "done", "skipped"] = "open"
    torque_set: bool = False
    why: str = ""
    doubts: tuple[str, ...] = ()
    said: tuple[Tick, ...] = ()

    @property
    def name(self) -> str:
        """Name the part."""
        return self.step.facts.name


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftInPlace:
    """What is still in a bag or a tray."""

    place: str
    contents: tuple[str, ...]


def without_rebuild(log: Log, sitting_ids: frozenset[str]) -> Log:
    """Give the log of the taking apart: what was said while it went together is left out."""
    return replace(log, remarks=tuple(r for r in log.remarks if r.sitting_id not in sitting_ids))


def steps_in_order(plan: Rebuild) -> tuple[tuple[RebuildStep, bool], ...]:
    """Give every step in the order to do them, with whether that order was said."""
    ordered = [(step, True) for group in plan.groups for step in group.steps]
    return (*ordered, *((step, False) for step in plan.unordered))


def where_steps_stand(plan: Rebuild, ticks: Sequence[Tick]) -> tuple[StepStanding, ...]:
    """Lay what was said beside each step; the last word counts, and an opened step's torque is set anew."""
    out = []
    for step, is_ordered in steps_in_order(plan):
        own = tuple(t for t in ticks if is_of_step(t, step))
        state: Literal["open", "done", "skipped"] = "open"
        torque_set, why = False, ""
        doubts: tuple[str, ...] = ()
        for tick in own:
            if tick.state == "said":
                doubts = (*doubts, *tick.doubts)
                continue
            state = "done" if tick.state in ("done", "torque set") else "skipped" if tick.state == "skipped" else "open"
            torque_set = tick.state == "torque set" or (torque_set and tick.state == "done")
            why = tick.words if tick.state == "skipped" else ""
            doubts = (*doubts, *tick.doubts) if state != "open" else ()
        out.append(
            StepStanding(
                step=step, is_ordered=is_ordered, state=state, torque_set=torque_set, why=why, doubts=tuple(dict.fromkeys(doubts)), said=own
            )
        )  # fmt: skip
    return tuple(out)


def is_of_step(tick: Tick, step: RebuildStep) -> bool:
    """Tell whether a tick is of a step, by the part's name and which one."""
    part = step.facts.part
    return tick.component.lower() == part.component.lower() and (tick.position or "").lower() == (part.position or "").lower()  # fmt: skip


# --- what is waited for -----------------------------------------------------------------------------------


def awaited(step: RebuildStep, said: Iterable[Remark]) -> str | None:
    """Say what a step waits for: a new part, or one that was sent away, of which nobody said that it is here."""
    waits = [b for b in step.beforehand if b.action in _AWAITED and b.state not in ("done", "declined")]
    if not waits or any(_says_here(r, step) for r in said):
        return None
    first = waits[0]
    what = "new one" if first.action in ("replace", "order") else "work on it" if first.action != "send out" else "one that was sent out"  # fmt: skip
    return f"{step.facts.name}: nobody said that the {what} is {'done' if what == 'work on it' else 'here'} ({first.state})"


def _says_here(remark: Remark, step: RebuildStep) -> bool:
    component = step.facts.part.component
    if any(isinstance(e, Disposition) and e.done and e.component and _is_part(e.component, component) for e in remark.entries):  # fmt: skip
        return True
    words = f" {' '.join(singular(w) for w in re.findall(r'[a-z0-9-]+', remark.tidied.lower()))} "
    return bool(_HERE.search(remark.tidied)) and any(f" {name} " in words for name in {component.lower(), component.lower().split()[-1]})  # fmt: skip


def _is_part(said: str, component: str) -> bool:
    return same_part(said, component) or said.lower() in names_of(component)


# --- what was said against the sheet ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What was said, laid beside sheet and limits."""

    fine: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


def check_said(step: RebuildStep, plan: Rebuild, entries: Iterable[Entry], limits: Sequence[Limit] = ()) -> Checked:
    """Lay what was said at a step beside the sheet and the limits: torques, sizes, fasteners."""
    fine: list[str] = []
    doubts: list[str] = []
    for entry in entries:
        if entry.struck:
            continue
        if isinstance(entry, Measurement) and entry.quantity == "torque":
            _check_torque(entry, _step_for(entry.component, step, plan), fine, doubts)
        elif isinstance(entry, Measurement) and entry.role == "measured":
            _check_size(entry, _step_for(entry.component, step, plan), limits, fine, doubts)
        elif isinstance(entry, Fastener):
            _check_fastener(entry, _step_for(entry.component, step, plan), fine, doubts)
    return Checked(fine=tuple(dict.fromkeys(fine)), doubts=tuple(dict.fromkeys(doubts)))


def _step_for(component: str | None, step: RebuildStep, plan: Rebuild) -> RebuildStep:
    """Give the step of the part that was named ("drum bolts" are of the drum); the present one where none fits."""
    if component is None or _is_part(component, step.facts.part.component):
        return step
    steps = [s for s, _ in steps_in_order(plan)]
    exact = [s for s in steps if same_part(component, s.facts.part.component)]
    held = [s for s in (step, *steps) if component.lower().startswith(f"{s.facts.part.component.lower()} ")]
    return (exact or held or [step])[0]


def _check_torque(said: Measurement, step: RebuildStep, fine: list[str], doubts: list[str]) -> None:
    wanted = [t.entry for t in step.torques]
    if said.value is None or said.unit is None or not wanted:
        return
    words = _amount(said)
    near = []
    for sheet in wanted:
        low, high = (sheet.value, sheet.value) if sheet.value is not None else (sheet.low, sheet.high)
        if low is None or high is None or sheet.unit is None or not _same_kind(said.unit, sheet.unit):
            continue
        own = convert(said.value, said.unit, sheet.unit)
        off = (own - high) / high if own > high else (own - low) / low if own < low and low else Decimal(0)
        near.append((abs(off), off, sheet))
    if not near:
        return
    _, off, sheet = min(near, key=lambda n: n[0])
    if abs(off) <= TORQUE_NEAR:
        fine.append(f"{words}, as the sheet says ({_amount(sheet)})")
    else:
        doubts.append(f"{words} was said, the sheet has {_amount(sheet)}: {abs(off) * 100:.0f} % {'over' if off > 0 else 'under'}")  # fmt: skip


def _check_size(
    said: Measurement, step: RebuildStep, limits: Sequence[Limit], fine: list[str], doubts: list[str]
) -> None:
    """Lay a size beside the limits that were said when it came apart, and those of the machine's sheet."""
    part = step.facts.part
    known = [m.entry for m in step.facts.measurements if m.entry.role in ("limit", "nominal")]
    if step.is_new:  # what was measured is the new part; what was said of the old one's size is past
        known = [m for m in known if m.role == "limit"]
    for verdict in verdicts_of([*known, said], own_limits(limits, part.component, part.position, table_name)):
        past = verdict.left is not None and verdict.left < 0
        (doubts if past else fine).append(f"{step.facts.name}: {verdict.words}")


def _check_fastener(said: Fastener, step: RebuildStep, fine: list[str], doubts: list[str]) -> None:
    for came in (f.entry for f in step.fasteners):
        if said.thread and came.thread and said.thread.lower() != came.thread.lower():
            doubts.append(f"{said.thread} was said, {came.thread} came off the {step.facts.name}")
        elif said.count is not None and came.count is not None and said.count != came.count:
            doubts.append(f"{said.count} {came.form or 'fastener'}{'s' if said.count != 1 else ''} was said, {came.count} came off the {step.facts.name}")  # fmt: skip
        else:
            return
    if step.fasteners and not doubts:
        fine.append(f"{step.facts.name}: as it came off")


def _same_kind(one: str, other: str) -> bool:
    first, second = find_unit(one), find_unit(other)
    return first is not None and second is not None and first.quantity == second.quantity


def _amount(entry: Measurement) -> str:
    figure = f"{entry.value:f}" if entry.value is not None else f"{entry.low:f} to {entry.high:f}"
    return f"{figure} {entry.unit}"


def check_tick(standing: StepStanding, state: TickState, said: Iterable[Remark]) -> tuple[str, ...]:
    """Give what is doubtful in ticking a step now: a torque nobody spoke of, a part nobody said had come."""
    step, doubts = standing.step, []
    if state not in ("done", "torque set"):
        return ()
    if (waits := awaited(step, said)) is not None:
        doubts.append(waits)
    spoken = standing.torque_set or any(t.state == "torque set" or "as the sheet says" in t.words or "the sheet has" in " ".join(t.doubts) for t in standing.said)  # fmt: skip
    if state == "done" and step.torques and not spoken:
        figures = ", ".join(dict.fromkeys(_amount(t.entry) for t in step.torques))
        doubts.append(f"{step.facts.name}: nobody said that the torque is set ({figures})")
    if state == "torque set" and not step.torques:
        doubts.append(f"{step.facts.name}: the sheet has no torque for it")
    return tuple(doubts)


# --- what is left -------------------------------------------------------------------------------------------


def left_in_places(log: Log, standings: Sequence[StepStanding]) -> tuple[LeftInPlace, ...]:
    """Give what is still in bags and trays: put there and neither fitted by a step that is done nor taken out since.

    `log` is the whole log, so that a bag emptied during the rebuild is empty.
    """
    done = [s for s in standings if s.state == "done"]
    out = []
    for place in follow_places([log]):
        left = [k.thing.lower() for k in place.things if not any(_takes(s.step, k.thing.lower()) for s in done)]
        named = [f"{c} (old: a new one goes in)" if any(s.step.is_new and _names(s.step, c) for s in standings) else c for c in left]  # fmt: skip
        if named:
            out.append(LeftInPlace(place=place.name, contents=tuple(dict.fromkeys(named))))
    return tuple(out)


def is_own(mark: Mark, step: RebuildStep) -> bool:
    """Tell a mark of the step's own part from one of what goes with it: shims behind a bearing."""
    return mark.component is None or same_part(mark.component, step.facts.part.component)


def _takes(step: RebuildStep, content: str) -> bool:
    """Tell whether a step uses what was put away: its part, unless a new one goes in, or its fasteners."""
    if any(is_fastener_named(f.entry, content) for f in step.fasteners):
        return True
    named = names_of(content)
    if named and any(m.entry.component and same_part(named[0], m.entry.component) for m in step.marks if not is_own(m.entry, step)):  # fmt: skip
        return True
    return not step.is_new and not content.startswith("old ") and _names(step, content)


def _names(step: RebuildStep, content: str) -> bool:
    """Tell whether what was put away is the part of a step: "bearing" may be any, "outboard bearing" only one."""
    part = step.facts.part
    named = names_of(content)
    if not named:
        return False
    if part.position and part.position.lower() in content:
        return part.component.lower() in content or named[0].endswith(part.component.lower())
    return same_part(named[0], part.component)
