"""Gathers what was said into parts: a component in a position, with its entries, photos and verdicts.

In: remarks with entries, links of photos. Out: parts in the order they came off, then as they were first named.
Never changes an entry and never guesses that two names are one part unless the vocabulary says so.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from notebook.entries import (
    Caution,
    Correction,
    Decided,
    Entry,
    Measurement,
    Mileage,
    PhotoCue,
    Step,
    Storage,
    Tip,
    Tool,
)
from notebook.log.verdicts import running_left, verdicts_of
from notebook.log.wear import Key, Wear
from notebook.nouns import Link, Part, Remark
from notebook.tables.limits import Limit

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
    mileages: list[Mileage] = field(default_factory=list)


def gather_parts(
    job_id: str,
    remarks: Sequence[Remark],
    links: Sequence[Link],
    table_name: Callable[[str], str | None],
    limits: Sequence[Limit] = (),
    wear: Mapping[Key, Wear] = MappingProxyType({}),
) -> tuple[list[Part], dict[str, str]]:
    """Give the parts of a job, and for each entry id the id of its part.

    `table_name` gives the vocabulary's own name for a component, so that "con rod" and "connecting rod" are one part;
    `limits` are those of the machine's data sheet, `wear` what earlier jobs of the machine show.
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
            if isinstance(entry, Mileage):
                part.mileages.append(entry)
            if isinstance(entry, Step) and entry.action in ("removed", "opened"):
                part.of = part.of or entry.off
                if part.order is None:
                    steps += 1
                    part.order = steps
    made = [
        _make(job_id, g, links, own_limits(limits, g.component, g.position, table_name), _worn(wear, g, table_name))
        for g in parts.values()
    ]
    by_entry = {entry_id: part.id for part in made for entry_id in part.entry_ids}
    made.sort(key=lambda p: (p.order is None, p.order or 0))
    return made, by_entry


def _component(entry: Entry) -> str | None:
    if isinstance(entry, (Caution, Correction, Decided, PhotoCue, Storage, Tip, Tool)):
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


def own_limits(
    limits: Sequence[Limit], component: str, position: str | None, table_name: Callable[[str], str | None]
) -> list[Limit]:
    """Give the limits of a part, those of its position before those of every position."""
    name = (table_name(component) or component).lower()
    found = [x for x in limits if x.part in (name, component.lower()) or (table_name(x.part) or x.part).lower() == name]
    here = (position or "").lower()
    return sorted((x for x in found if (x.position or here).lower() == here), key=lambda x: x.position is None)


def _worn(wear: Mapping[Key, Wear], part: _Gathering, table_name: Callable[[str], str | None]) -> dict[str, Wear]:
    """Give the wear of a part by quantity."""
    name, where = (table_name(part.component) or part.component).lower(), (part.position or "").lower()
    return {quantity: w for (component, place, quantity), w in wear.items() if component == name and place == where}


def _verdict_lines(measurements: Sequence[Measurement], limits: Sequence[Limit], wear: Mapping[str, Wear]) -> list[str]:
    verdicts = verdicts_of(measurements, limits)
    lines = [v.words for v in verdicts]
    for quantity, worn in wear.items():
        lines.append(worn.words(next((v for v in verdicts if (v.measured.quantity or "") == quantity), None)))
    return lines


def _make(
    job_id: str, gathering: _Gathering, links: Sequence[Link], limits: Sequence[Limit], wear: Mapping[str, Wear]
) -> Part:
    photos = dict.fromkeys(link.photo_id for link in links if link.remark_id in gathering.remark_ids)
    return Part(
        id=str(uuid.uuid5(_SPACE, f"{job_id}|{gathering.component.lower()}|{(gathering.position or '').lower()}")),
        component=gathering.component, position=gathering.position, of=gathering.of, order=gathering.order,
        entry_ids=tuple(gathering.entry_ids), photo_ids=tuple(photos),
        verdicts=(*_verdict_lines(gathering.measurements, limits, wear), *running_left(gathering.mileages)),
    )  # fmt: skip
