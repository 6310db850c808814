"""Decisions of a job in one line, and which of them counts.

In: decisions that were written down, remarks. Out: decisions in the order made; what stands of those about one part.
Never alters one: an earlier decision is only followed by a later one. Where two people differ, neither is chosen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from notebook.entries import EVERYTHING, Decided
from notebook.nouns import Decision, Part, Remark, Sitting

AS_ADVISED = "as advised"
FINAL = frozenset({"approved", "declined", "asked"})
"""States that somebody answered for; found and advised only wait for one of these."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What stands of the decisions about one part."""

    decision: Decision | None = None
    """The one that counts; None where nobody decided, or people differ."""
    differ: tuple[Decision, ...] = ()
    """The last word of each, where they differ."""


def list_decisions(
    written: Iterable[Decision], remarks: Sequence[Remark], sittings: Sequence[Sitting]
) -> tuple[Decision, ...]:
    """Give every decision of a job, written down or said, in the order made; one said that was struck out is left out."""
    by_id = {s.id: s for s in sittings}
    said = [
        _said(entry, remark, by_id[remark.sitting_id])
        for remark in remarks
        for entry in remark.entries
        if isinstance(entry, Decided) and not entry.struck and remark.sitting_id in by_id
    ]
    return tuple(sorted([*said, *written], key=lambda d: d.made))


def _said(entry: Decided, remark: Remark, sitting: Sitting) -> Decision:
    speaker = remark.person or sitting.person
    return Decision(
        id=entry.id or "", entry_id=entry.id, component=entry.component, position=entry.position, action=entry.action or AS_ADVISED,
        state=entry.state, person=entry.by or speaker, made=remark.at or sitting.started, note=remark.tidied or remark.text,  # type: ignore[arg-type]
        noted_by=speaker, settles=bool(entry.settles), remark_id=remark.id,
    )  # fmt: skip


def is_about(decision: Decision, part: Part, entry_ids: frozenset[str | None], *, has_work: bool) -> bool:
    """Tell whether a decision is about a part: by its name and which one; a wider name is about every such part with work on it.

    "The bearings" are all bearings that something is to be done with; "the outer bearing" is that one.
    """
    if decision.entry_id is not None and decision.entry_id in entry_ids and decision.remark_id is None:
        return True
    if decision.component is None:
        return False
    if decision.component == EVERYTHING:
        return has_work
    wanted, own = decision.component.lower(), part.component.lower()
    if decision.position:
        return wanted == own and decision.position.lower() == (part.position or "").lower()
    if wanted == own and (part.position is None or has_work):
        return True
    return has_work and own.endswith(f" {wanted}")  # a pinion is a gear too, but "the gear" is not it


def find_standing(decisions: Sequence[Decision]) -> Standing:
    """Give what stands: the last word of whoever decided; where one approved and another declined, that they differ.

    One that settles puts an end to all before it. Advice never takes back what somebody answered for, but his own.
    """
    listed = sorted(decisions, key=lambda d: d.made)
    last = next((n for n in range(len(listed) - 1, -1, -1) if listed[n].settles), 0)
    by_person: dict[tuple[str, str], Decision] = {}
    for decision in listed[last:]:
        key = ((decision.person or "").lower(), (decision.noted_by or "").lower())
        by_person.pop(key, None)
        by_person[key] = decision
    words = list(by_person.values())
    if {"approved", "declined"} <= {d.state for d in words}:
        return Standing(differ=tuple(words))
    final = [d for d in words if d.state in FINAL]
    return Standing(decision=(final or words)[-1] if words else None)
