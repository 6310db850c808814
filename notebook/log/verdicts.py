"""Lays a measured value beside its limit, said or from the machine's data sheet, and says what is left.

In: the measurements of one part, and the limits of its machine. Out: one line for each that meets a limit:
"7.2 mm, limit 6.5 mm: 0.7 mm left". Only said or written limits are used; nothing is assumed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from notebook.entries import Measurement, Mileage
from notebook.tables.limits import Limit, in_unit
from notebook.tables.units import convert, find_unit

_WEARS_DOWN = frozenset("thickness length width depth protrusion pressure mass voltage resistance".split())
_WEARS_UP = frozenset({"clearance", "end float", "backlash", "run-out", "play", "slack", "gap"})
_LOWEST = ("min", "minimum", "not less than", "no less than", "at least", "below", "under")
_FIGURES = 6
"""More figures than this nobody reads off a gauge."""
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A measured value against its limit."""

    measured: Measurement
    words: str
    low: Decimal | None
    high: Decimal | None
    nominal: Decimal | None
    left: Decimal | None
    """How far inside the limit, in the measured unit; below zero it is past it; None where the side is not known."""
    source: str
    """`said`, or where the data sheet has the figure from."""


def verdicts_of(measurements: Sequence[Measurement], limits: Sequence[Limit] = ()) -> list[Verdict]:
    """Give the verdict on each measured value: against the limit said for the same quantity, else that of the sheet,
    else the range that was said it should be in.
    """
    standing = [m for m in measurements if not m.struck]
    out = []
    for measured in (m for m in standing if m.role == "measured" and m.value is not None):
        said = _best(measured, [m for m in standing if m.role == "limit"])
        ranges = [m for m in standing if m.role == "nominal" and m.low is not None and m.high is not None]
        verdict = _against_said(measured, said) if said is not None else _against_sheet(measured, limits)
        if verdict is None and (should := _best(measured, ranges)) is not None:
            verdict = _against_range(measured, should)
        if verdict is not None:
            out.append(verdict)
    return out


def _best(measured: Measurement, said: Sequence[Measurement]) -> Measurement | None:
    """Give what was said of the same quantity, the one whose quantity was named too before others."""
    found = [m for m in said if _comparable(m, measured)]
    return next((m for m in found if m.quantity == measured.quantity), found[0] if found else None)


def is_past_limit(line: str) -> bool:
    """Tell whether a verdict in words says that a limit is passed; a range or an expected life is none."""
    return ", limit " in line and "past it by" in line


def running_left(mileages: Sequence[Mileage]) -> list[str]:
    """Lay what a part has done beside what was said to be expected of it: "7,000 mi of about 10,000: about 3,000 left"."""
    run = next((m for m in mileages if m.role == "run" and m.value is not None and not m.struck), None)
    expected = next(
        (m for m in mileages if m.role == "expected" and not m.struck and m.unit == (run.unit if run else None)), None
    )
    if run is None or run.value is None or expected is None:
        return []
    bounds = [b for b in (expected.low, expected.value, expected.high) if b is not None]
    if not bounds:
        return []
    least, most = min(bounds) - run.value, max(bounds) - run.value
    of = " to ".join(dict.fromkeys(f"{b:,}" for b in (min(bounds), max(bounds))))
    left = " to ".join(dict.fromkeys(f"{max(b, type(b)(0)):,}" for b in (least, most)))
    end = f"about {left} left" if most > 0 else f"past it by {-most:,}"
    return [f"{run.value:,} {run.unit or ''} of about {of}: {end}"]


def _comparable(limit: Measurement, measured: Measurement) -> bool:
    amount = limit.value if limit.value is not None else limit.low
    return _in_unit_of(measured, amount, limit.unit) is not None and (
        limit.quantity == measured.quantity or limit.quantity is None or measured.quantity is None
    )


def _in_unit_of(measured: Measurement, amount: Decimal | None, unit: str | None) -> Decimal | None:
    """Give an amount in the unit of what was measured; None where the two are of different kinds."""
    if amount is None or unit == measured.unit:
        return amount
    old, new = find_unit(unit or ""), find_unit(measured.unit or "")
    if old is None or new is None or old.quantity != new.quantity:
        return None
    return convert(amount, old.symbol, new.symbol)


def _against_said(measured: Measurement, limit: Measurement) -> Verdict | None:
    value, bound = measured.value, _in_unit_of(measured, limit.value, limit.unit)
    if value is None or bound is None:
        return None
    cue = limit.cue or ""
    is_lowest = any(w in cue for w in _LOWEST) or (
        not any(w in cue for w in _HIGHEST) and measured.quantity in _WEARS_DOWN
    )
    is_highest = any(w in cue for w in _HIGHEST) or (not is_lowest and measured.quantity in _WEARS_UP)
    left = value - bound if is_lowest else bound - value if is_highest else None
    words = _words(measured, f"limit {_amount(limit.value or bound, limit.unit)}", left)
    return Verdict(
        measured=measured, words=words, low=bound if is_lowest else None, high=bound if is_highest else None, nominal=None, left=left, source="said",
    )  # fmt: skip


def _against_range(measured: Measurement, should: Measurement) -> Verdict | None:
    value = measured.value
    low, high = (_in_unit_of(measured, b, should.unit) for b in (should.low, should.high))
    if value is None or low is None or high is None or should.low is None or should.high is None:
        return None
    left = min(value - low, high - value)
    against = f"should be {_amount(should.low, None)} to {_amount(should.high, should.unit)}"
    words = f"{_amount(value, measured.unit)}, {against}: within" if left >= 0 else _words(measured, against, left)
    return Verdict(measured=measured, words=words, low=low, high=high, nominal=None, left=left, source="said")


def _against_sheet(measured: Measurement, limits: Sequence[Limit]) -> Verdict | None:
    value = measured.value
    for limit in limits:
        if value is None or measured.unit is None or (measured.quantity or limit.quantity) != limit.quantity:
            continue
        bounds = in_unit(limit, measured.unit)
        if bounds is None:
            continue
        nominal, low, high = bounds
        lefts = [
            x
            for x in (value - low if low is not None else None, high - value if high is not None else None)
            if x is not None
        ]
        left = min(lefts) if lefts else None
        sides = " to ".join(_amount(b, None) for b in (limit.low, limit.high) if b is not None)
        against = (
            f"limit {sides} {limit.unit}" if sides else f"nominal {_amount(limit.nominal or Decimal(0), limit.unit)}"
        )
        return Verdict(
            measured=measured, words=_words(measured, against, left, limit.source), low=low, high=high, nominal=nominal, left=left, source=limit.source,
        )  # fmt: skip
    return None


def _words(measured: Measurement, against: str, left: Decimal | None, source: str | None = None) -> str:
    value = measured.value or Decimal(0)
    line = f"{_amount(value, measured.unit)}, {against}"
    if left is not None and left > 0:
        line += f": {_amount(left, measured.unit)} left"
    elif left is not None:
        line += f": past it by {_amount(-left, measured.unit)}" if left < 0 else ": at the limit"
    return f"{line} ({source})" if source else line


def _amount(value: Decimal, unit: str | None) -> str:
    """Write an amount as it was said; one that was turned from another unit to four figures that count."""
    if value and len(value.normalize().as_tuple().digits) > _FIGURES:
        value = round(value, max(0, 3 - value.adjusted()))
    text = format(value.normalize(), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {unit}" if unit else text
