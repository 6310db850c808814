"""Strikes out what a later correction undoes.

In: the remarks of a job in order, with their entries. Out: the same remarks, undone entries marked `struck`.
Nothing is deleted; what was said stays in its own line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Correction, Disposition, Entry, Fastener, Finding, Measurement, Mileage
from notebook.nouns import Remark

_NEVER_STRUCK = ("photo", "correction", "tip", "caution")


def strike_corrected(remarks: Sequence[Remark]) -> list[Remark]:
    """Mark entries struck that a later "scratch that" or a corrected value undoes."""
    out = list(remarks)
    for n, remark in enumerate(out):
        for entry in remark.entries:
            if isinstance(entry, Correction) and not entry.struck and (target := _target(out, n)) is not None:
                out[target] = _struck(out[target], entry, remark)
    return out


def _target(remarks: Sequence[Remark], n: int) -> int | None:
    """Give the remark a correction undoes: the last one before it that holds any fact."""
    for at in range(n - 1, -1, -1):
        if any(e.kind not in _NEVER_STRUCK for e in remarks[at].entries):
            return at
    return None


def _struck(remark: Remark, correction: Correction, by: Remark) -> Remark:
    later = [e for e in by.entries if not isinstance(e, Correction)]
    entries = tuple(
        replace(e, struck=True) if e.kind not in _NEVER_STRUCK and (correction.scope == "last remark" or any(_replaces(new, e) for new in later)) else e
        for e in remark.entries
    )  # fmt: skip
    return replace(remark, entries=entries)


def _replaces(new: Entry, old: Entry) -> bool:
    """Tell whether a corrected fact takes the place of an earlier one."""
    if type(new) is not type(old):
        return False
    if isinstance(new, Measurement) and isinstance(old, Measurement):
        return new.role == old.role and (new.quantity in (None, old.quantity) or old.quantity is None)
    if isinstance(new, Mileage) and isinstance(old, Mileage):
        return new.role == old.role
    if isinstance(new, Finding) and isinstance(old, Finding):
        return new.component in (None, old.component) and (
            new.condition == old.condition or new.position == old.position
        )
    if isinstance(new, (Fastener, Disposition)) and isinstance(old, (Fastener, Disposition)):
        return new.component in (None, old.component)
    return False
