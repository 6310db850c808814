"""What is to be ordered: the parts, and the consumables that taking things apart implies.

In: proposals, the facts of each part, the fasteners said. Out: lines to order, with quantity, size, reason and state.
A consumable is only listed where the part, or the fastener it goes with, was named on the job.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from notebook.entries import Fastener
from notebook.log.facts import PartFacts, live_entries
from notebook.log.standing import CHANGES_A_PART, Proposal, State
from notebook.nouns import Decision, Log
from notebook.reading.names import names_of

ONE_USE = frozenset(
    (
        "circlip", "split pin", "tab washer", "lock washer", "lock wire", "self-locking nut", "nyloc nut", "stretch bolt", "copper washer", "crush washer",
        "roll pin", "spring pin", "rivet",
    )
)  # fmt: skip
"""Fasteners that go in new (common practice, no source)."""
RENEWED_WHEN_DISTURBED = frozenset({"seal", "gasket", "o-ring", "oil seal", "copper washer", "tab washer", "split pin", "circlip", "lock washer"})  # fmt: skip
"""Parts that are renewed when they were taken out (common practice, no source)."""
_SPOILT = frozenset({"rounded", "stripped", "missing", "sheared", "broken", "bent", "stretched", "cross-threaded"})


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One line to order."""

    sort: Literal["part", "consumable"]
    component: str
    position: str | None
    quantity: int | None
    """None where nobody said how many."""
    size: str | None
    reason: str
    state: State | Literal["implied"]
    job_number: str
    orders: tuple[int, ...]
    """Numbers of the remarks it rests on."""
    decision: Decision | None = None
    """Who decided; None where nobody did, or two people differ."""


def list_orders(log: Log, parts: Sequence[PartFacts], proposals: Sequence[Proposal]) -> tuple[OrderLine, ...]:
    """Give every line, parts first; what the owner declined is among them with its state."""
    listed = [_part_line(p, log.job.number) for p in proposals if CHANGES_A_PART & {p.action, *p.also}]
    taken = {line.component.lower() for line in listed}
    return (*listed, *_disturbed(parts, taken, log.job.number), *_fastener_lines(log))


def is_wanted(line: OrderLine) -> bool:
    """Tell what is ordered without asking further: approved by the owner, or implied by the work."""
    return line.state in ("approved", "implied")


def _part_line(proposal: Proposal, number: str) -> OrderLine:
    facts = proposal.facts
    said = [s.entry.condition for s in facts.defects]
    reasons = [*dict.fromkeys(said), *(v.words for v in facts.past_limit)]
    return OrderLine(
        sort="part", component=facts.part.component, position=facts.part.position, quantity=proposal.count or _counted(facts),
        size=size_words(facts), reason=", ".join(reasons) or "said to be replaced", state=proposal.state, job_number=number,
        orders=tuple(dict.fromkeys(s.remark.order for s in (*proposal.said, *facts.defects))), decision=proposal.decision,
    )  # fmt: skip


def _counted(facts: PartFacts) -> int | None:
    """Give how many were found at fault, where that was said; one where one place was named."""
    counts = [s.entry.count for s in facts.defects if s.entry.count is not None]
    return max(counts, default=1 if facts.part.position else None)


def size_words(facts: PartFacts) -> str | None:
    """Give the nominal sizes said of a part, else its thread."""
    sizes = [
        f"{m.entry.quantity + ' ' if m.entry.quantity else ''}{m.entry.value.normalize():f} {m.entry.unit or ''}".strip()
        for m in facts.measurements
        if m.entry.role == "nominal" and m.entry.value is not None
    ]
    return ", ".join(sizes) or None


def _disturbed(parts: Sequence[PartFacts], taken: set[str], number: str) -> Iterator[OrderLine]:
    for facts in parts:
        component = facts.part.component.lower()
        is_out = facts.is_off or any(s.entry.action in ("removed", "opened") for s in facts.steps)
        kinds = set(names_of(component))
        if component in taken or not is_out or not kinds & RENEWED_WHEN_DISTURBED:
            continue
        yield OrderLine(
            sort="consumable", component=facts.part.component, position=facts.part.position, quantity=1, size=size_words(facts),
            reason="taken out, so renewed", state="implied", job_number=number, orders=(facts.steps[0].remark.order,),
        )  # fmt: skip


def _fastener_lines(log: Log) -> Iterator[OrderLine]:
    locked: list[int] = []
    for said in live_entries(log, Fastener):
        fastener = said.entry
        if "threadlocked" in fastener.state:
            locked.append(said.remark.order)
        form = (fastener.form or "").lower()
        spoilt = [s for s in fastener.state if s in _SPOILT]
        if not spoilt and not any(name in form for name in ONE_USE):
            continue
        of = f"of the {fastener.component}" if fastener.component else ""
        reason = ", ".join(spoilt) if spoilt else "goes in new"
        yield OrderLine(
            sort="consumable", component=fastener.form or "fastener", position=of or None, quantity=fastener.count, size=fastener_size(fastener),
            reason=reason, state="implied", job_number=log.job.number, orders=(said.remark.order,),
        )  # fmt: skip
    if locked:
        yield OrderLine(
            sort="consumable", component="threadlocker", position=None, quantity=None, size=None, reason="threads were found locked",
            state="implied", job_number=log.job.number, orders=tuple(dict.fromkeys(locked)),
        )  # fmt: skip


def fastener_size(fastener: Fastener) -> str | None:
    """Write thread and length: "M8 x 25 mm"; None where neither was said."""
    length = f"{fastener.length.normalize():f} mm" if fastener.length is not None else None
    if fastener.thread and length:
        return f"{fastener.thread} x {length}"
    return fastener.thread or length
