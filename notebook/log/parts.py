"""Gathers what was said into parts: a component in a position, with its entries, photos and verdicts.

In: remarks with entries, links of photos. Out: parts in the order they came off, then as they were first named.
Never changes an entry and never guesses that two names are one part unless the vocabulary says so.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from notebook.entries import Caution, Correction, Entry, Measurement, PhotoCue, Step, Storage, Tip, Tool
from notebook.nouns import Link, Part, Remark

_SPACE = uuid.UUID("6f1c2c8e-62c9-4b55-9d53-1f6b3f6f3c10")


@dataclass(slots=True)
class _Gathering:
    component: str
    position: str | None
    of: str | None = None
    order: int | None = None
    entry_ids: list[str] = field(default_factory=list)
    remark_ids: list[str] = field(default_factory=list)
    measurements: list[Measurement] = field(default_factory=list)


def gather_parts(
    job_id: str, remarks: Sequence[Remark], links: Sequence[Link], table_name: Callable[[str], str | None]
) -> tuple[list[Part], dict[str, str]]:
    """Give the parts of a job, and for each entry id the id of its part.

    `table_name` gives the vocabulary's own name for a component, so that "con rod" and "connecting rod" are one part.
    """
    parts: dict[tuple[str, str], _Gathering] = {}
    steps = 0
    for remark in remarks:
        for entry in remark.entries:
            component = _component(entry)
            if component is None or entry.struck:
                continue
            part = _part_for(parts, component, getattr(entry, "position", None), table_name)
            if entry.id is not None:
                part.entry_ids.append(entry.id)
            if remark.id not in part.remark_ids:
                part.remark_ids.append(remark.id)
            if isinstance(entry, Measurement):
                part.measurements.append(entry)
            if isinstance(entry, Step) and entry.action in ("removed", "opened"):
                part.of = part.of or entry.off
                if part.order is None:
                    steps += 1
                    part.order = steps
    made = [_make(job_id, g, links) for g in parts.values()]
    by_entry = {entry_id: part.id for part in made for entry_id in part.entry_ids}
    made.sort(key=lambda p: (p.order is None, p.order or 0))
    return made, by_entry


def _component(entry: Entry) -> str | None:
    if isinstance(entry, (Caution, Correction, PhotoCue, Storage, Tip, Tool)):
        return None
    component: str | None = getattr(entry, "component", None)
    return component


def _part_for(
    parts: dict[tuple[str, str], _Gathering],
    component: str,
    position: str | None,
    table_name: Callable[[str], str | None],
) -> _Gathering:
    name = (table_name(component) or component).lower()
    where = position if position and _is_which_one(position) else None
    key = (name, (where or "").lower())
    if key not in parts:
        parts[key] = _Gathering(component=component, position=where)
    return parts[key]


def _is_which_one(position: str) -> bool:
    """Tell which one of several ("inlet", "number two", "drive side") from where on it ("at the heel")."""
    return not position.lower().startswith(
        (
            "at ",
            "in ",
            "on ",
            "by ",
            "near ",
            "round ",
            "under ",
            "across ",
            "up ",
            "along ",
            "behind ",
            "about ",
            "to ",
            "where ",
        )
    )


def _make(job_id: str, gathering: _Gathering, links: Sequence[Link]) -> Part:
    photos = dict.fromkeys(link.photo_id for link in links if link.remark_id in gathering.remark_ids)
    return Part(
        id=str(uuid.uuid5(_SPACE, f"{job_id}|{gathering.component.lower()}|{(gathering.position or '').lower()}")),
        component=gathering.component, position=gathering.position, of=gathering.of, order=gathering.order,
        entry_ids=tuple(gathering.entry_ids), photo_ids=tuple(photos), verdicts=tuple(_verdicts(gathering.measurements)),
    )  # fmt: skip


def _verdicts(measurements: Sequence[Measurement]) -> list[str]:
    """Lay each measured value beside the limit said for the same quantity: "7.2 mm, limit 6.5 mm: 0.7 mm left"."""
    out: list[str] = []
    for measured in (m for m in measurements if m.role == "measured" and m.value is not None):
        limit = next((m for m in measurements if m.role == "limit" and _comparable(m, measured)), None)
        if limit is None or limit.value is None or measured.value is None:
            continue
        out.append(_verdict(measured, measured.value, limit, limit.value))
    return out


def _comparable(limit: Measurement, measured: Measurement) -> bool:
    return (
        limit.unit == measured.unit
        and limit.value is not None
        and (limit.quantity == measured.quantity or limit.quantity is None or measured.quantity is None)
    )


_WEARS_DOWN = frozenset(
    {"thickness", "length", "width", "depth", "protrusion", "pressure", "mass", "voltage", "resistance"}
)
_WEARS_UP = frozenset({"clearance", "end float", "backlash", "run-out", "play", "slack", "gap"})
_LOWEST = ("min", "minimum", "not less than", "no less than", "at least", "below", "under")
_HIGHEST = (
    "max",
    "maximum",
    "no more than",
    "not more than",
    "shouldn't be more",
    "shouldn't be over",
    "over",
    "above",
)


def _verdict(measured: Measurement, value: Decimal, limit: Measurement, bound: Decimal) -> str:
    said = f"{_plain(value)} {measured.unit or ''}".strip()
    against = f"limit {_plain(bound)} {limit.unit or ''}".strip()
    cue = limit.cue or ""
    is_lowest = any(w in cue for w in _LOWEST) or (
        not any(w in cue for w in _HIGHEST) and measured.quantity in _WEARS_DOWN
    )
    is_highest = any(w in cue for w in _HIGHEST) or (not is_lowest and measured.quantity in _WEARS_UP)
    if not is_lowest and not is_highest:
        return f"{said}, {against}"
    left = value - bound if is_lowest else bound - value
    unit = f" {measured.unit}" if measured.unit else ""
    if left > 0:
        return f"{said}, {against}: {_plain(left)}{unit} left"
    if left == 0:
        return f"{said}, {against}: at the limit"
    return f"{said}, {against}: past it by {_plain(-left)}{unit}"


def _plain(value: Decimal) -> str:
    text = format(value.normalize(), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
