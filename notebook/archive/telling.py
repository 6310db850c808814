"""Lays an entry out for asking: one row of `told` for each name that its part answers to, and one for any part.

In: an entry and what gives the names of a part. Out: rows. Never opens a database.
A struck entry gives none: what was taken back does not count.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from notebook.entries import (
    Caution,
    Decided,
    Disposition,
    Entry,
    Fastener,
    Finding,
    Mark,
    Measurement,
    Mileage,
    Step,
    Storage,
    Tip,
    Tool,
)
from notebook.tables.units import to_si

NamesOf = Callable[[str], Sequence[str]]


class Told(NamedTuple):
    """What a row of `told` holds of the entry itself."""

    name: str
    kind: str
    what: str
    how: str
    position: str | None
    low: float | None
    high: float | None
    more: str | None


def lay_out_told(entry: Entry, names_of: NamesOf) -> list[Told]:
    """Give the rows of an entry."""
    if entry.struck:
        return []
    what, how, low, high, more = _said(entry)
    position = getattr(entry, "position", None)
    names = dict.fromkeys(["", *(n.lower() for about in _about(entry) for n in names_of(about))])
    return [Told(name, entry.kind, what, how, position and position.lower(), low, high, more) for name in names]


def _about(entry: Entry) -> list[str]:
    """Give the parts that an entry is about."""
    if isinstance(entry, Storage):
        return list(entry.contents)
    if isinstance(entry, Tool):
        return [a for a in (entry.name, entry.for_) if a]
    if isinstance(entry, Fastener):
        return [a for a in (entry.component, entry.form) if a]
    about = getattr(entry, "topic", None) if isinstance(entry, (Caution, Tip)) else getattr(entry, "component", None)
    return [about] if about else []


def _said(entry: Entry) -> tuple[str, str, float | None, float | None, str | None]:
    """Give what, how, least and greatest amount, and what more."""
    if isinstance(entry, Finding):
        return entry.condition, entry.presence, None, None, None
    if isinstance(entry, Disposition):
        return entry.action, "", None, None, None
    if isinstance(entry, Measurement):
        low = _si(entry.value if entry.value is not None else entry.low, entry.unit)
        high = _si(entry.value if entry.value is not None else entry.high, entry.unit)
        return entry.quantity or "", entry.role, low, high, None
    if isinstance(entry, Fastener):
        return entry.thread or "", "", None, None, json.dumps(entry.state)
    if isinstance(entry, Mileage):
        least = entry.value if entry.value is not None else entry.low
        most = entry.value if entry.value is not None else entry.high
        return entry.role, "", _real(least), _real(most), entry.unit
    what = {Storage: "place", Step: "action", Tool: "name", Mark: "", Caution: "", Tip: "", Decided: "state"}.get(
        type(entry), ""
    )
    said: Any = getattr(entry, what) if what else ""
    return str(said).lower(), "", None, None, None


def _si(value: Decimal | None, unit: str | None) -> float | None:
    found = to_si(value, unit) if value is not None and unit else None
    return _real(found)


def _real(value: Any) -> float | None:
    try:
        return float(value) if value is not None else None
    except OverflowError:
        return None
