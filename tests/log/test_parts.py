"""Parts stand in the order they came off, hold all that was said of them, and no two parts share an id."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.entries import Caution, Disposition, Entry, Finding, Measurement, Step, Storage, Tool
from notebook.log.parts import gather_parts
from notebook.nouns import Link, Part, Remark

NAMES = {"con rod": "connecting rod", "connecting rod": "connecting rod"}


def gather(
    *said: Entry | tuple[Entry, ...],
    links: tuple[Link, ...] = (),
    table_name: Callable[[str], str | None] = lambda c: NAMES.get(c.lower()),
) -> tuple[list[Part], dict[str, str]]:
    remarks = []
    for n, entries in enumerate(said):
        listed = entries if isinstance(entries, tuple) else (entries,)
        named = tuple(replace(e, id=f"{n}.{at}") for at, e in enumerate(listed))
        remarks.append(
            Remark(id=f"r{n}", sitting_id="s", order=n + 1, at=None, seconds=None, heard="", text="", entries=named)
        )
    return gather_parts("job", remarks, links, table_name)


def off(component: str | None, action: str = "removed", **more: str) -> Step:
    return Step(component=component, action=action, **more)  # type: ignore[arg-type]


def test_parts_stand_in_the_order_they_came_off_then_as_named() -> None:
    parts, _ = gather(
        Finding(component="drum", condition="worn"), off("guard"), Finding(component="seal", condition="hard"), off("drum", off="shaft"),
        off("cover", "opened"), off("guard"), off("nut", "loosened"), off("pinion", "refitted"),
    )  # fmt: skip
    assert [(p.component, p.order, p.of) for p in parts] == [
        ("guard", 1, None), ("drum", 2, "shaft"), ("cover", 3, None), ("seal", None, None), ("nut", None, None), ("pinion", None, None),
    ]  # fmt: skip


def test_one_part_by_two_names_and_two_parts_by_position() -> None:
    rod = Finding(component="con rod", condition="bent")
    parts, by_entry = gather(
        rod, replace(rod, component="connecting rod"), replace(rod, component="Con Rod", position="at the big end"),
        replace(rod, position="number two"), replace(rod, position="Number Two"), replace(rod, component="hub"),
    )  # fmt: skip
    assert [(p.component, p.position, len(p.entry_ids)) for p in parts] == [
        ("con rod", None, 3),
        ("con rod", "number two", 2),
        ("hub", None, 1),
    ]
    assert [by_entry[f"{n}.0"] for n in range(6)] == [parts[0].id] * 3 + [parts[1].id] * 2 + [parts[2].id]


def test_what_is_struck_or_names_no_part_makes_none() -> None:
    parts, by_entry = gather(
        Finding(component="hub", condition="cracked", struck=True), Finding(condition="cracked"), Caution(topic="drum", text="mind it"),
        Tool(name="puller", for_="drum"), Storage(place="bag 2", contents=("drum",)), Step(component="hub", action="removed", struck=True),
    )  # fmt: skip
    assert (parts, by_entry) == ([], {})


def test_photos_of_its_remarks_are_its_photos() -> None:
    links = tuple(
        Link(photo_id=p, remark_id=r, how="cue", confidence=1) for p, r in (("p1", "r0"), ("p2", "r2"), ("p3", "r1"))
    )
    parts, _ = gather(off("hub"), off("drum"), Finding(component="hub", condition="cracked"), links=links)
    assert {p.component: p.photo_ids for p in parts} == {"hub": ("p1", "p2"), "drum": ("p3",)}


def amount(
    value: str, role: str = "measured", quantity: str | None = "thickness", unit: str = "mm", cue: str | None = None
) -> Measurement:
    return Measurement(component="plate", quantity=quantity, value=Decimal(value), unit=unit, role=role, cue=cue)


@pytest.mark.parametrize(
    ("said", "verdicts"),
    [
        ((amount("7.2"), amount("6.5", "limit")), ("7.2 mm, limit 6.5 mm: 0.7 mm left",)),
        ((amount("6.5"), amount("6.50", "limit")), ("6.5 mm, limit 6.5 mm: at the limit",)),
        ((amount("6.1"), amount("6.5", "limit")), ("6.1 mm, limit 6.5 mm: past it by 0.4 mm",)),
        ((amount("0.45", quantity="backlash"), amount("0.6", "limit", "backlash")), ("0.45 mm, limit 0.6 mm: 0.15 mm left",)),
        ((amount("0.7", quantity="backlash"), amount("0.6", "limit", "backlash")), ("0.7 mm, limit 0.6 mm: past it by 0.1 mm",)),
        ((amount("30", quantity="diameter"), amount("31", "limit", "diameter")), ("30 mm, limit 31 mm",)),
        ((amount("30", quantity="diameter"), amount("31", "limit", "diameter", cue="max")), ("30 mm, limit 31 mm: 1 mm left",)),
        ((amount("30", quantity="diameter"), amount("31", "limit", "diameter", cue="no less than")), ("30 mm, limit 31 mm: past it by 1 mm",)),
        ((amount("7.2"), amount("6.5", "limit", unit="thou")), ("7.2 mm, limit 6.5 thou: 7.0349 mm left",)),
        ((amount("7.2"), amount("6.5", "limit", quantity="width")), ()),
        ((amount("7.2"), amount("6.5", "nominal")), ()),
        ((amount("6.5", "limit"),), ()),
    ],
)  # fmt: skip
def test_a_measured_value_is_laid_beside_its_limit(said: tuple[Measurement, ...], verdicts: tuple[str, ...]) -> None:
    (part,), _ = gather(said)
    assert part.verdicts == verdicts


_NAMES = st.sampled_from(["hub", "Hub", "con rod", "connecting rod", "a|b", "|", "drum", "ΑΒ", "αβ"])
_POSITIONS = st.none() | st.sampled_from(["", "inlet", "Inlet", "b|", "|", "at the heel", "At the heel"])


@given(st.lists(st.tuples(_NAMES, _POSITIONS, st.booleans()), max_size=12))
def test_every_entry_has_one_part_and_every_part_its_own_id(said: list[tuple[str, str | None, bool]]) -> None:
    entries: list[Entry] = [
        Step(component=c, position=p, action="removed") if comes_off else Disposition(component=c, position=p, action="reuse") for c, p, comes_off in said
    ]  # fmt: skip
    parts, by_entry = gather(*entries)
    assert len({p.id for p in parts}) == len(parts)
    assert (
        sorted(i for p in parts for i in p.entry_ids) == sorted(by_entry) == sorted(f"{n}.0" for n in range(len(said)))
    )
    orders = [p.order for p in parts if p.order is not None]
    assert orders == list(range(1, len(orders) + 1))
    assert gather(*entries) == (parts, by_entry)
