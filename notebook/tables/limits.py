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
from difflib import get_close_matches
from typing import Any

from notebook.errors import Problem
from notebook.tables.amount_checks import suits
from notebook.tables.units import convert, find_unit

QUANTITIES = (
    "across flats", "angle", "backlash", "clearance", "depth", "diameter", "end float", "flatness", "force", "gap", "length", "mass",
    "ovality", "pitch", "play", "preload", "pressure", "protrusion", "resistance", "run-out", "slack", "speed", "stretch", "taper",
    "temperature", "thickness", "torque", "voltage", "volume", "wear", "width",
)  # fmt: skip
"""What a measured value can be of; a limit of anything else would never be met."""
_HEAD_FIELDS = ("machine", "plate")
_FIELDS = ("part", "position", "quantity", "nominal", "low", "high", "unit", "source")
_NEEDED = ("part", "quantity", "unit", "source")
_HEAD = re.compile(r"^\s*\[\[\s*limit\s*\]\]")
_AT_LINE = re.compile(r"\(at line (\d+)[^)]*\)|\(at end of document\)")
_WHOLE_SHEET = "Mend that; nothing of this sheet is used till then."
_ONE_ROW = "The rest of the sheet is used."


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
    """Read one data sheet; a row that is wrong becomes a problem with its line, and the others are used.

    A sheet that does not say rightly which machine it is for is not used at all: its limits would hold for others.
    """
    lines = text.splitlines()
    starts = [n for n, line in enumerate(lines) if _HEAD.match(line)]
    head, wrong = _read_head(lines[: starts[0]] if starts else lines, file)
    if wrong is not None:
        return [], [wrong]
    if not starts:
        return [], [
            _problem(file, None, "holds no [[limit]]", "Begin each row with [[limit]].")
        ] if text.strip() else []
    limits: list[Limit] = []
    problems: list[Problem] = []
    seen: dict[tuple[str, str, str], int] = {}
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        row, line, said = _read_row(lines[start:end], start + 1)
        if said is None and (key := _key(row)) in seen:
            said = f"the same part and quantity as line {seen[key]}"
        if said is not None:
            problems.append(_problem(file, line, said, _ONE_ROW))
            continue
        seen[_key(row)] = start + 1
        limits.append(
            Limit(
                part=str(row["part"]).strip().lower(), position=row.get("position"), quantity=str(row["quantity"]).strip().lower(),
                nominal=_amount(row, "nominal"), low=_amount(row, "low"), high=_amount(row, "high"), unit=row["unit"], source=row["source"],
                machine=head.get("machine"), plate=head.get("plate"), file=file, line=start + 1,
            )
        )  # fmt: skip
    return limits, problems


def find_repeats(limits: Sequence[Limit]) -> list[Problem]:
    """Say which limits stand in two sheets for the same machine; the first is used."""
    seen: dict[tuple[str | None, ...], Limit] = {}
    out = []
    for x in limits:
        first = seen.setdefault((x.machine, x.plate, x.part, (x.position or "").lower(), x.quantity), x)
        if first is not x:
            said = f"the same part and quantity as {first.file}, line {first.line}"
            out.append(_problem(x.file, x.line, said, "The first is used."))
    return out


def _read_head(lines: Sequence[str], file: str) -> tuple[dict[str, str], Problem | None]:
    try:
        head = tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError as error:
        line, said = _place(error, 1, len(lines))
        return {}, _problem(file, line, f"cannot be read: {said}", _WHOLE_SHEET)
    for name, value in head.items():
        line = _line_of(lines, name, 1)
        if name not in _HEAD_FIELDS:
            return {}, _problem(
                file, line, f"{name!r} is not known before the limits; known are machine and plate", _WHOLE_SHEET
            )
        if not isinstance(value, str) or not value.strip():
            return {}, _problem(file, line, f"{name} is to be words in quotes", _WHOLE_SHEET)
    return head, None


def _read_row(lines: Sequence[str], first: int) -> tuple[dict[str, Any], int, str | None]:
    """Give a row, the line to look at, and what is wrong with it."""
    try:
        sheet = tomllib.loads("\n".join(lines), parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        line, said = _place(error, first, len(lines))
        return {}, line, f"cannot be read: {said}"
    row = sheet["limit"][0]
    if extra := [name for name in sheet if name != "limit"]:
        return row, _line_of(lines, extra[0], first), f"{extra[0]!r} is not known"
    wrong = _wrong(row)
    return row, _line_of(lines, wrong[0], first) if wrong else first, wrong[1] if wrong else None


def _place(error: tomllib.TOMLDecodeError, first: int, count: int) -> tuple[int, str]:
    """Give the line of the sheet that an error of a stretch of it speaks of, and the error without its own count."""
    found = _AT_LINE.search(str(error))
    at = int(found[1]) if found and found[1] else count
    return first + max(1, at) - 1, _AT_LINE.sub("", str(error)).strip()


def _line_of(lines: Sequence[str], field: str | None, first: int) -> int:
    """Give the line where a field stands; the first where it stands nowhere."""
    pattern = re.compile(rf"^\s*[\[\"']*{re.escape(field or '')}[\]\"']*\s*(?:=|$)")
    return next((first + n for n, line in enumerate(lines) if field and pattern.match(line)), first)


def _key(row: dict[str, Any]) -> tuple[str, str, str]:
    part, position, quantity = (str(row.get(name) or "").strip().lower() for name in ("part", "position", "quantity"))
    return part, position, quantity


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


def _wrong(row: dict[str, Any]) -> tuple[str | None, str] | None:
    """Give the field that is wrong and what is wrong with it; None for a good row."""
    if unknown := [name for name in row if name not in _FIELDS]:
        return unknown[0], f"{unknown[0]!r} is not known; known are {', '.join(_FIELDS)}"
    for name in _NEEDED:
        if not isinstance(row.get(name), str) or not row[name].strip():
            return name, f"{name} is missing" if name not in row else f"{name} is to be words in quotes"
    if "position" in row and not isinstance(row["position"], str):
        return "position", "position is to be words in quotes"
    for name in ("nominal", "low", "high"):
        value = row.get(name)
        if value is not None and (
            isinstance(value, bool) or not isinstance(value, (int, Decimal)) or not Decimal(value).is_finite()
        ):
            return name, f"{name} is no number"
    return _wrong_kind(row) or _wrong_bounds(row)


def _wrong_kind(row: dict[str, Any]) -> tuple[str, str] | None:
    quantity, unit = row["quantity"].strip().lower(), row["unit"]
    if quantity not in QUANTITIES:
        near = get_close_matches(quantity, QUANTITIES, 1, 0.6)
        known = f"the nearest is {near[0]!r}" if near else f"known are {', '.join(QUANTITIES)}"
        return "quantity", f"{row['quantity']!r} is no quantity that is measured; {known}"
    if find_unit(unit) is None:
        return "unit", f"{unit!r} is no unit that the notebook knows"
    if not suits(quantity, unit):
        return "unit", f"{quantity} is not measured in {unit}"
    return None


def _wrong_bounds(row: dict[str, Any]) -> tuple[str | None, str] | None:
    low, high, nominal = _amount(row, "low"), _amount(row, "high"), _amount(row, "nominal")
    if low is None and high is None and nominal is None:
        return None, "neither nominal nor low nor high is given"
    if low is not None and high is not None and low > high:
        return "low", f"low {low} is above high {high}"
    if nominal is not None and ((low is not None and nominal < low) or (high is not None and nominal > high)):
        return "nominal", f"nominal {nominal} is outside low and high"
    return None


def _amount(row: dict[str, Any], name: str) -> Decimal | None:
    value = row.get(name)
    return Decimal(value) if isinstance(value, (int, Decimal)) else None


def _problem(file: str, line: int | None, message: str, remedy: str) -> Problem:
    return Problem(about=f"{file}, line {line}" if line else file, message=f"{message}.", remedy=remedy)
