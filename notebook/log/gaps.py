"""What has not been said about a job, while it can still be said.

In: a log with the facts of its parts, and the cautions that nobody has read. Out: gaps, in the order of the work.
Never judges whether a gap matters: that is for the person at the bench.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from notebook.entries import Disposition, Fastener, Finding, Mark, Measurement, Step, Storage
from notebook.log.counts import find_miscounts
from notebook.log.deciding import AS_ADVISED
from notebook.log.facts import PartFacts, has_no_thread, is_fastener_named, live_entries
from notebook.log.standing import find_proposals
from notebook.nouns import Log, Photo

GapKind = Literal[
    "condition",
    "decision",
    "differ",
    "shared",
    "picture",
    "count",
    "size",
    "place",
    "limit",
    "doubt",
    "photo",
    "caution",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """One thing that was not said."""

    kind: GapKind
    about: str
    words: str
    order: int | None = None
    """Number of the remark that it is about."""
    entry_id: str | None = None
    photo_id: str | None = None


def find_gaps(log: Log, parts: Sequence[PartFacts], unread_cautions: Sequence[str] = ()) -> tuple[Gap, ...]:
    """Give every gap of a job, by kind, in the order said."""
    return (
        *(g for facts in parts for g in _of_part(facts)),
        *(Gap(kind="count", about=m.component, words=m.words, order=m.order, entry_id=m.entry_id) for m in find_miscounts(parts)),
        *_fasteners(log),
        *_doubts(log),
        *_unattached(log, parts),
        *(Gap(kind="photo", about=p.name, words="belongs to no remark", photo_id=p.id) for p in loose_photos(log)),
        *(Gap(kind="caution", about="caution", words=f"not yet read: {words}") for words in unread_cautions),
    )  # fmt: skip


def loose_photos(log: Log) -> tuple[Photo, ...]:
    """Give the photos that show no remark."""
    linked = {link.photo_id for link in log.links}
    return tuple(p for p in log.photos if p.id not in linked)


def _of_part(facts: PartFacts) -> Iterator[Gap]:
    first_step = facts.steps[0] if facts.steps else None
    if (
        facts.is_off
        and first_step is not None
        and not facts.findings
        and not facts.verdicts
        and not _is_spoken_of(facts)
    ):
        yield Gap(
            kind="condition", about=facts.name, words=f"{first_step.entry.action}, and nothing said of its state",
            order=first_step.remark.order, entry_id=first_step.entry.id,
        )  # fmt: skip
    worst = facts.defects[0] if facts.defects else None
    if worst is not None and not facts.dispositions and not facts.decisions:
        yield Gap(
            kind="decision", about=facts.name, words=f"{worst.entry.condition}, and nothing said of what is to happen",
            order=worst.remark.order, entry_id=worst.entry.id,
        )  # fmt: skip
    yield from _of_decisions(facts)
    if worst is not None and not facts.photos:
        yield Gap(
            kind="picture", about=facts.name, words=f"{worst.entry.condition}, and no picture of it", order=worst.remark.order,
            entry_id=worst.entry.id,
        )  # fmt: skip
    judged = {id(v.measured) for v in facts.verdicts}
    told: set[str | None] = set()
    for said in facts.measurements:
        measured = said.entry
        is_open = measured.role == "measured" and id(measured) not in judged and measured.value is not None
        if is_open and measured.quantity not in told:
            told.add(measured.quantity)
            yield Gap(
                kind="limit", about=facts.name, words=f"{measured.quantity or 'size'} measured, and no limit known",
                order=said.remark.order, entry_id=measured.id,
            )  # fmt: skip


def _of_decisions(facts: PartFacts) -> Iterator[Gap]:
    """Give where people decided differently, and what was approved without a word of how."""
    (proposal,) = find_proposals([facts]) or (None,)
    if proposal is None:
        return
    if proposal.differ:
        words = " and ".join(f"{d.state} ({d.person or d.noted_by or 'not said by whom'})" for d in proposal.differ)
        yield Gap(kind="differ", about=facts.name, words=f"{words}: one of them has to stand")
    elif proposal.state == "approved" and proposal.action == AS_ADVISED:
        yield Gap(kind="decision", about=facts.name, words="approved, and nothing said of what is to be done with it")


def _is_spoken_of(facts: PartFacts) -> bool:
    """Tell whether a finding was said in the breath in which it came off: "pawl's off, tip of it is chipped"."""
    return any(isinstance(e, Finding) and not e.struck for s in facts.steps for e in s.remark.entries)


def _fasteners(log: Log) -> Iterator[Gap]:
    contents = [content for said in live_entries(log, Storage) for content in said.entry.contents]
    for said in live_entries(log, Fastener):
        fastener = said.entry
        form = fastener.form or "fastener"
        about = f"{form} of the {fastener.component}" if fastener.component else form
        if fastener.thread is None and not has_no_thread(fastener.form):
            yield Gap(kind="size", about=about, words="thread not said", order=said.remark.order, entry_id=fastener.id)
        if not any(is_fastener_named(fastener, content) for content in contents):
            words = "where it was put not said" if fastener.count == 1 else "where they were put not said"
            yield Gap(kind="place", about=about, words=words, order=said.remark.order, entry_id=fastener.id)


def _unattached(log: Log, parts: Sequence[PartFacts]) -> Iterator[Gap]:
    """Give the decisions about no part that has work on it: they must not be lost."""
    known = {d.id for facts in parts for d in facts.decisions}
    orders = {r.id: r.order for r in log.remarks}
    for decision in log.decisions:
        if decision.id not in known and decision.component is not None:
            words = f"{decision.state}, and nothing was found or advised on such a part"
            yield Gap(kind="differ", about=decision.component, words=words, order=orders.get(decision.remark_id or ""))


def _doubts(log: Log) -> Iterator[Gap]:
    for remark in log.remarks:
        if remark.doubt:
            yield Gap(kind="doubt", about=f"remark {remark.order}", words=remark.doubt, order=remark.order)
        for entry in remark.entries:
            if entry.doubt and not entry.struck:
                yield Gap(kind="doubt", about=entry.kind, words=entry.doubt, order=remark.order, entry_id=entry.id)
            elif not entry.struck and _needs_a_part(entry):
                yield Gap(
                    kind="doubt", about=entry.kind, words="which part is not plain", order=remark.order, entry_id=entry.id
                )  # fmt: skip
    orders = {r.id: r.order for r in log.remarks}
    for mend in log.mends:
        if mend.conflict:
            yield Gap(kind="doubt", about="mend", words=mend.conflict, order=orders.get(mend.remark_id))


def _needs_a_part(entry: object) -> bool:
    return (
        isinstance(entry, (Disposition, Fastener, Finding, Mark, Measurement, Step)) and entry.component is None
    )  # fmt: skip
