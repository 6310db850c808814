"""Counts that do not add up: four springs, three accounted for.

In: the facts of each part. Out: one line for each sum that does not come out. Never corrects a count.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from notebook.entries import Disposition, Finding
from notebook.log.facts import GOOD, PartFacts, Said
from notebook.reading.names import table_name


@dataclass(frozen=True, slots=True, kw_only=True)
class Miscount:
    """A sum that does not come out."""

    component: str
    words: str
    order: int
    """Number of the remark that last spoke of it."""
    entry_id: str | None


def find_miscounts(parts: Sequence[PartFacts]) -> tuple[Miscount, ...]:
    """Give each component of which more or fewer are accounted for than there are."""
    groups: dict[str, list[PartFacts]] = {}
    for facts in parts:
        groups.setdefault((table_name(facts.part.component) or facts.part.component).lower(), []).append(facts)
    found = (_miscount(group) for group in groups.values())
    return tuple(m for m in found if m is not None)


def _miscount(group: Sequence[PartFacts]) -> Miscount | None:
    findings = [s for facts in group for s in facts.findings]
    totals = list(dict.fromkeys(s.entry.of for s in findings if s.entry.of is not None))
    component = group[0].part.component
    if not totals:
        return None
    last = max((s for s in findings if s.entry.of is not None), key=lambda s: s.remark.order)
    words = None
    if len(totals) > 1:
        words = f"said to be {' and '.join(str(n) for n in sorted(totals))}"
    else:
        words = _sum_words(totals[0], [s.entry for s in findings], [d for f in group for d in f.dispositions])
    if words is None:
        return None
    return Miscount(component=component, words=words, order=last.remark.order, entry_id=last.entry.id)


def _sum_words(total: int, findings: Sequence[Finding], dispositions: Iterable[Said[Disposition]]) -> str | None:
    too_many = next((d.entry for d in dispositions if d.entry.count is not None and d.entry.count > total), None)
    if too_many is not None:
        return f"{total} there, {too_many.count} to {too_many.action}"
    good = _largest(f for f in findings if f.condition in GOOD and f.presence == "present")
    if any(f.count is None for f in findings if f.presence == "present" and f.condition in GOOD):
        return None  # "the rest are fine": nobody can be missing
    faults: dict[str, int] = {}
    for finding in findings:
        if finding.condition not in GOOD and finding.presence != "absent" and finding.count is not None:
            faults[finding.condition] = max(faults.get(finding.condition, 0), finding.count)
    most, least = good + sum(faults.values()), good + max(faults.values(), default=0)
    if least > total:
        return f"{total} there, {least} accounted for"
    if most < total:
        return f"{total} there, {most} accounted for"
    return None


def _largest(findings: Iterable[Finding]) -> int:
    return max((f.count for f in findings if f.count is not None), default=0)
