"""Make believable jobs from a seed, each remark with what it truly says.

In: a seed and how many jobs. Out: jobs of remarks in words with their true entries (the JSON of an entry), one after the
other, the same for the same seed. Everything is invented. Never reads text and never opens an archive: what it knows of
a remark it knows because it made it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

FIRST_DAY = datetime(2016, 1, 4, 8, 0, tzinfo=UTC)
DAYS = 3650
PERSONS = ("Wenna", "Idris", "Maren", "Tobias")

MACHINES: dict[str, tuple[str, ...]] = {
    "forestry winch": ("return spring", "brake band", "drum shaft", "pinion", "pawl", "outboard bearing", "oil seal", "clutch cone"),
    "trailer winch": ("pawl spring", "brake disc", "drum shaft", "pinion", "pawl", "bush", "handle"),
    "slurry pump": ("impeller", "wear ring", "thrust bearing", "lip seal", "pump shaft", "coupling", "gasket"),
    "gear pump": ("driven gear", "relief spring", "relief valve", "lip seal", "pump shaft", "bush", "gasket"),
    "workshop compressor": ("valve spring", "valve plate", "piston", "con rod", "crankshaft", "head gasket", "drive belt"),
    "standby generator": ("governor spring", "valve spring", "governor linkage", "alternator bearing", "exhaust manifold", "brush", "head gasket"),
    "wood chipper": ("feed roller spring", "blade", "anvil", "main bearing", "drive belt", "feed roller", "guard"),
    "hay turner": ("lift arm spring", "tine", "bevel gear", "rotor bearing", "universal joint", "guard", "oil seal"),
    "band saw mill": ("tension spring", "band wheel", "guide roller", "drive belt", "tyre", "tension screw"),
    "flail mower": ("flail", "rotor bearing", "drive belt", "roller", "oil seal", "bevel gear", "skid"),
}  # fmt: skip
SAID: dict[str, tuple[str, ...]] = {
    "broken": ("broken", "snapped", "in two", "broken clean through"),
    "cracked": ("cracked", "cracked right across", "cracked at the root"),
    "worn": ("worn", "badly worn", "worn down"),
    "scored": ("scored", "scored all round"),
    "pitted": ("pitted", "badly pitted"),
    "bent": ("bent", "slightly bent"),
    "corroded": ("corroded", "corroded all over"),
    "chipped": ("chipped", "chipped on the edge"),
    "seized": ("seized", "seized solid"),
    "leaking": ("leaking", "leaking badly"),
}
POSITIONS = ("drive side", "left", "right", "inboard", "number two", "top", "bottom")
THREADS = ("M6", "M8", "M10", "M12", "3/8 BSF", "1/4 BSF", "5/16 UNF", "1/2 UNC", "2 BA")
FORMS = ("hexagon bolt", "stud", "grub screw", "countersunk socket screw")
STATES = ("tight", "loose", "seized", "free")
QUANTITIES: dict[str, tuple[str, tuple[int, int], int]] = {
    "end float": ("thou", (1, 14), 1),
    "backlash": ("mm", (5, 90), 100),
    "diameter": ("mm", (1500, 9000), 100),
    "thickness": ("mm", (10, 120), 10),
    "run-out": ("thou", (1, 20), 1),
}
TO_SI = {"thou": "0.0000254", "mm": "0.001"}
DONE = {
    "replace": "replaced the {part}",
    "reuse": "the {part} will go again",
    "scrap": "the {part} is scrap",
    "clean": "the {part} wants cleaning",
    "send out": "the {part} goes out to the specialist",
}
CHATTER = (
    "kettle's on",
    "rain again by the sound of it",
    "hand me the rag",
    "where did I put the pencil",
    "radio's too loud",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeRemark:
    """A remark and what it truly says."""

    text: str
    entries: tuple[dict[str, Any], ...] = ()
    is_told_of_another: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeJob:
    """A job as it was made up."""

    number: str
    machine: str
    plate: str
    owner_ref: str
    person: str
    opened: datetime
    reading_h: int
    remarks: tuple[MadeRemark, ...] = field(repr=False)


def make_jobs(seed: int, count: int, remarks_each: int = 25) -> Iterator[MadeJob]:
    """Make so many jobs over ten years, oldest first, with that many remarks each on the average."""
    dice = random.Random(seed)
    plates = [(f"SM-{n:05}", kind) for n, kind in enumerate(dice.choices(list(MACHINES), k=max(1, count // 3)))]
    for n in range(count):
        plate, machine = dice.choice(plates)
        opened = FIRST_DAY + timedelta(days=DAYS * n // count, hours=dice.randrange(9))
        remarks: list[MadeRemark] = []
        wanted = dice.randint(remarks_each // 2, remarks_each + remarks_each // 2)
        while len(remarks) < wanted:
            remarks.extend(_remarks(dice, machine))
        yield MadeJob(
            number=str(10_001 + n), machine=machine, plate=plate, owner_ref=f"R{dice.randrange(count):05}", person=dice.choice(PERSONS),
            opened=opened, reading_h=dice.randrange(50, 9000), remarks=tuple(remarks),
        )  # fmt: skip


def _remarks(dice: random.Random, machine: str) -> list[MadeRemark]:
    part = dice.choice(MACHINES[machine])
    make = dice.choices([k for k, _ in _KINDS], [w for _, w in _KINDS])[0]
    return make(dice, machine, part)


def _finding(part: str, condition: str, presence: str = "present", **more: Any) -> dict[str, Any]:
    return {"kind": "finding", "component": part, "condition": condition, "presence": presence, **more}


def _one(text: str, *entries: dict[str, Any], other: bool = False) -> list[MadeRemark]:
    text = text[0].upper() + text[1:] + "."
    spanned = tuple({"span": [0, len(text)], "confidence": 0.8, **e} for e in entries)
    return [MadeRemark(text=text, entries=spanned, is_told_of_another=other)]


def _is_present(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    condition = dice.choice(list(SAID))
    where = dice.choice(POSITIONS) if dice.random() < 0.3 else None
    place = f" on the {where}" if where else ""
    position = {"position": where} if where else {}
    return _one(f"the {part}{place} is {dice.choice(SAID[condition])}", _finding(part, condition, **position))


def _is_counted(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    condition = dice.choice(list(SAID))
    many = dice.randint(3, 8)
    bad = dice.randint(1, many - 1)
    return _one(
        f"{bad} of the {many} {part}s {'are' if bad > 1 else 'is'} {condition}, the rest are fine",
        _finding(part, condition, count=bad, of=many),
        _finding(part, "sound", count=many - bad, of=many),
    )


def _is_absent(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    condition = dice.choice(list(SAID))
    said = dice.choice(
        ("the {p} is not {c}", "looked over the {p} and it isn't {c}", "thought the {p} was {c} but it's not")
    )
    return _one(said.format(p=part, c=condition), _finding(part, condition, "absent"))


def _is_possible(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    condition = dice.choice(list(SAID))
    said = dice.choice(("the {p} might be {c}", "could be that the {p} is {c}, can't see", "{p} is perhaps {c}"))
    return _one(said.format(p=part, c=condition), _finding(part, condition, "possible"))


def _is_sound(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    said = dice.choice(("the {p} is fine", "nothing wrong with the {p}", "{p} is as good as new"))
    return _one(said.format(p=part), _finding(part, "sound"))


def _is_not_looked_at(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    return _one(f"couldn't get to the {part} today", _finding(part, "not inspected"))


def _is_another_job(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    condition = dice.choice(list(SAID))
    return _one(f"the last {machine} I did had a {condition} {part}", other=True)


def _is_struck(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    condition = dice.choice(list(SAID))
    return [
        *_one(f"the {part} is {condition}", _finding(part, condition, struck=True)),
        *_one("scratch that last one, wrong part", {"kind": "correction", "scope": "last remark"}),
    ]


def _is_measured(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    quantity = dice.choice(list(QUANTITIES))
    unit, (least, most), over = QUANTITIES[quantity]
    many = dice.randint(least, most)
    value = f"{many / over:g}"
    entry = {
        "kind": "measurement",
        "component": part,
        "quantity": quantity,
        "value": value,
        "unit": unit,
        "role": "measured",
    }
    text = f"{quantity} of the {part} is {value} {unit}"
    if dice.random() < 0.4:
        limit = f"{(many + dice.randint(1, 5)) / over:g}"
        return _one(f"{text}, limit is {limit}", entry, {**entry, "value": limit, "role": "limit"})
    return _one(text, entry)


def _is_fastened(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    thread, form, state = dice.choice(THREADS), dice.choice(FORMS), dice.choice(STATES)
    many = dice.choice((2, 3, 4, 6, 8))
    entry = {"kind": "fastener", "component": part, "count": many, "thread": thread, "form": form, "state": [state]}
    return _one(f"{many} {thread} {form}s hold the {part}, all {state}", entry)


def _is_stored(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    place = f"{dice.choice(('bag', 'tray'))} {dice.randint(1, 20)}"
    return _one(f"the {part} is in {place}", {"kind": "storage", "place": place, "contents": [part]})


def _is_disposed(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    action = dice.choice(list(DONE))
    done = {"done": True} if action == "replace" else {}
    return _one(DONE[action].format(part=part), {"kind": "disposition", "component": part, "action": action, **done})


def _is_off(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    return _one(f"that's the {part} off", {"kind": "step", "component": part, "action": "removed"})


def _is_warned(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    text = f"never lever against the {part}"
    return _one(text, {"kind": "caution", "topic": part, "text": text})


def _is_tip(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    text = f"tip for next time, warm the {part} first and it slides off"
    return _one(text, {"kind": "tip", "topic": part, "text": text})


def _is_chatter(dice: random.Random, machine: str, part: str) -> list[MadeRemark]:
    return _one(dice.choice(CHATTER))


_KINDS = (
    (_is_present, 22), (_is_counted, 4), (_is_absent, 8), (_is_possible, 4), (_is_sound, 8), (_is_not_looked_at, 2), (_is_another_job, 4),
    (_is_struck, 1), (_is_measured, 12), (_is_fastened, 8), (_is_stored, 6), (_is_disposed, 9), (_is_off, 8), (_is_warned, 2), (_is_tip, 2),
    (_is_chatter, 4),
)  # fmt: skip
