"""A machine's own data sheet: part, quantity, nominal, low, high, unit and where the figure comes from.

In: the text of a TOML file of the shop's `limits` folder. Out: limits and, beside them, what is wrong with its lines.
Only what is written is used; nothing is assumed, and one bad row never spoils the rest.

    machine = "skidding winch"          # kind of machine, as jobs name it
    plate = "ST-118"                    # or one machine alone; may be left out

    [[limit]]
    part = "brake lining"
    quantity = "thickness"
    nominal = 8.0
    low = 3.0
    unit = "mm"
    source = "maker's manual, page 41"
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from notebook.errors import Problem
from notebook.tables.units import convert, find_unit

_FIELDS = {"part", "position", "quantity", "nominal", "low", "high", "unit", "source"}
_NEEDED = ("part", "quantity", "unit", "source")
_HEAD = re.compile(r"^\s*\[\[\s*limit\s*\]\]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One line of a data sheet."""

    part: str
    position: str | None
    quantity: str
    nominal: Decimal | None
    low: Decimal | None
    """Below this it is worn out or wrong."""
    high: Decimal | None
    """Above this it is worn out or wrong."""
    unit: str
    source: str
    machine: str | None
    """Kind of machine that it is for; None for every machine."""
    plate: str | None
    file: str
    line: int


def read_limits(text: str, file: str) -> tuple[list[Limit], list[Problem]]:
    """Read one data sheet; a row that is wrong becomes a problem with its line, and the others are used."""
    try:
        sheet = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        return [], [
            _problem(file, None, f"cannot be read: {error}", "Mend that line; nothing of this sheet is used till then.")
        ]
    lines = [n for n, line in enumerate(text.splitlines(), 1) if _HEAD.match(line)]
    rows = sheet.get("limit", [])
    if not isinstance(rows, list) or len(rows) != len(lines):
        return [], [
            _problem(file, None, "has limits that do not each begin with [[limit]]", "Begin each row with [[limit]].")
        ]
    limits: list[Limit] = []
    problems: list[Problem] = []
    seen: dict[tuple[str, str, str], int] = {}
    for row, line in zip(rows, lines, strict=True):
        wrong = _wrong(row)
        if wrong is None:
            key = (str(row["part"]).lower(), str(row.get("position", "")).lower(), str(row["quantity"]).lower())
            wrong = f"the same part and quantity as line {seen[key]}" if key in seen else None
            seen.setdefault(key, line)
        if wrong is not None:
            problems.append(_problem(file, line, wrong, "The rest of the sheet is used."))
            continue
        limits.append(
            Limit(
                part=str(row["part"]).lower(), position=row.get("position"), quantity=str(row["quantity"]).lower(), nominal=_amount(row, "nominal"),
                low=_amount(row, "low"), high=_amount(row, "high"), unit=row["unit"], source=row["source"], machine=sheet.get("machine"),
                plate=sheet.get("plate"), file=file, line=line,
            )
        )  # fmt: skip
    return limits, problems


def limits_of_machine(limits: Sequence[Limit], kind: str, plate: str | None) -> tuple[Limit, ...]:
    """Give the limits that hold for a machine, those of its plate before those of its kind."""
    own = [x for x in limits if x.plate is not None and plate is not None and x.plate.lower() == plate.lower()]
    of_kind = [x for x in limits if x.plate is None and (x.machine is None or x.machine.lower() in kind.lower())]
    return (*own, *of_kind)


def in_unit(limit: Limit, unit: str) -> tuple[Decimal | None, Decimal | None, Decimal | None] | None:
    """Give nominal, low and high of a limit in another unit; None where the unit is of another kind."""
    old, new = find_unit(limit.unit), find_unit(unit)
    if old is None or new is None or old.quantity != new.quantity:
        return None
    nominal, low, high = (
        convert(v, limit.unit, unit) if v is not None else None for v in (limit.nominal, limit.low, limit.high)
    )
    return nominal, low, high


def _wrong(row: object) -> str | None:
    if not isinstance(row, dict):
        return "not a row of a limit"
    if unknown := sorted(set(row) - _FIELDS):
        return f"{unknown[0]!r} is not known; known are {', '.join(sorted(_FIELDS))}"
    for name in _NEEDED:
        if not isinstance(row.get(name), str) or not row[name].strip():
            return f"{name} is missing"
    for name in ("nominal", "low", "high"):
        value = row.get(name)
        if value is not None and (
            isinstance(value, bool) or not isinstance(value, (int, Decimal)) or not Decimal(value).is_finite()
        ):
            return f"{name} is no number"
    if find_unit(row["unit"]) is None:
        return f"{row['unit']!r} is no unit that the notebook knows"
    if row.get("low") is None and row.get("high") is None and row.get("nominal") is None:
        return "neither nominal nor low nor high is given"
    low, high, nominal = _amount(row, "low"), _amount(row, "high"), _amount(row, "nominal")
    if low is not None and high is not None and low > high:
        return f"low {low} is above high {high}"
    if nominal is not None and ((low is not None and nominal < low) or (high is not None and nominal > high)):
        return f"nominal {nominal} is outside low and high"
    return None


def _amount(row: dict[str, object], name: str) -> Decimal | None:
    value = row.get(name)
    return Decimal(value) if isinstance(value, (int, Decimal)) else None


def _problem(file: str, line: int | None, message: str, remedy: str) -> Problem:
    return Problem(about=f"{file}, line {line}" if line else file, message=message, remedy=remedy)
