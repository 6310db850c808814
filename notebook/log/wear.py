"""How quickly a part wears, from two measurements of it on one machine and the running between them.

In: earlier logs of the machine, the log in hand, what was renewed when. Out: a line a part: the rate with its
uncertainty, and, where a limit is known, the running left. Two readings of different fittings are never joined.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from notebook.entries import Disposition, Measurement
from notebook.log.fittings import reading_of
from notebook.log.verdicts import Verdict
from notebook.nouns import Log, Remark
from notebook.tables.units import convert, find_unit

_UNITS = {"h": "h", "mi": "miles", "km": "km"}
Key = tuple[str, str, str]
"""Component by its plain name, position, quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """A rate of wear in the measured unit for each unit of running, with its standard uncertainty."""

    rate: float
    uncertainty: float
    running: Decimal
    change: Decimal
    unit: str
    running_unit: str

    def words(self, verdict: Verdict | None) -> str:
        """Say it: "0.8 mm in 600 h, 1.33 (1.24 to 1.42) mm a 1,000 h; about 300 h left (281 to 322)"."""
        thousand, spread = self.rate * 1000, self.uncertainty * 2 * 1000
        run = _UNITS.get(self.running_unit, self.running_unit)
        line = f"{_figure(abs(float(self.change)))} {self.unit} in {self.running:,} {run}, {_figure(abs(thousand))} ({_figure(max(0.0, abs(thousand) - spread))} to {_figure(abs(thousand) + spread)}) {self.unit} a 1,000 {run}"  # fmt: skip
        left = self.running_left(verdict)
        if left is None:
            return line
        low, middle, high = left
        return f"{line}; about {_figure(middle)} {run} left ({_figure(low)} to {_figure(high) if math.isfinite(high) else 'more'})"

    def running_left(self, verdict: Verdict | None) -> tuple[float, float, float] | None:
        """Give low, middle, high of the running left until the limit; None where it wears away from it or none is known."""
        if verdict is None or verdict.left is None or verdict.left <= 0:
            return None
        toward_low = verdict.low is not None and self.rate < 0
        toward_high = verdict.high is not None and self.rate > 0
        speed = abs(self.rate)
        if not (toward_low or toward_high) or speed <= 0:
            return None
        left, reach = float(verdict.left), 2 * self.uncertainty
        return left / (speed + reach), left / speed, left / (speed - reach) if speed > reach else math.inf


def wear_of(
    log: Log, remarks: Sequence[Remark], earlier: Sequence[Log], plain_name: Callable[[str], str]
) -> dict[Key, Wear]:
    """Give the wear of each part that is measured now and was measured on an earlier job of the same machine.

    Source of the uncertainty: half the last place that was said of either value, as for a reading of a scale
    (JCGM 100:2008, GUM, 4.3.7: half-width a gives a / sqrt 3).
    """
    now = reading_of(log)
    if now is None:
        return {}
    before = sorted(
        ((at[0], old) for old in earlier if (at := reading_of(old)) is not None and at[1] == now[1] and at[0] < now[0]),
        key=lambda x: x[0],
    )
    out = {}
    for key, measured in _measured(remarks, plain_name).items():
        found = next(
            ((at, m) for n, (at, old) in reversed(list(enumerate(before))) if (m := _measured(old.remarks, plain_name).get(key)) is not None
             and not any(_is_renewed(later.remarks, key, plain_name) for _, later in before[n:])), None,
        )  # fmt: skip
        if found is not None and (wear := _between(found[1], measured, found[0], now[0], now[1])) is not None:
            out[key] = wear
    return out


def _measured(remarks: Sequence[Remark], plain_name: Callable[[str], str]) -> dict[Key, Measurement]:
    return {
        (plain_name(e.component), (e.position or "").lower(), e.quantity or ""): e
        for r in remarks
        for e in r.entries
        if isinstance(e, Measurement)
        and e.role == "measured"
        and e.component
        and e.value is not None
        and e.unit
        and not e.struck
    }


def _is_renewed(remarks: Sequence[Remark], key: Key, plain_name: Callable[[str], str]) -> bool:
    return any(
        isinstance(e, Disposition)
        and e.action in ("replace", "scrap")
        and e.component
        and plain_name(e.component) == key[0]
        and not e.struck
        for r in remarks
        for e in r.entries
    )


def _between(old: Measurement, new: Measurement, from_: Decimal, to: Decimal, running_unit: str) -> Wear | None:
    if old.value is None or new.value is None or old.unit is None or new.unit is None:
        return None
    units = find_unit(old.unit), find_unit(new.unit)
    if units[0] is None or units[1] is None or units[0].quantity != units[1].quantity:
        return None
    was = convert(old.value, old.unit, new.unit)
    running = to - from_
    change = new.value - was
    places = (_half_place(old.value) * float(convert(Decimal(1), old.unit, new.unit)), _half_place(new.value))
    spread = math.sqrt(sum(p * p / 3 for p in places))
    return Wear(
        rate=float(change) / float(running), uncertainty=spread / float(running), running=running, change=change, unit=new.unit, running_unit=running_unit,
    )  # fmt: skip


def _half_place(value: Decimal) -> float:
    exponent = value.as_tuple().exponent
    return 0.5 * 10.0 ** (exponent if isinstance(exponent, int) else 0)


def _figure(value: float) -> str:
    """Write three figures that count."""
    if value == 0:
        return "0"
    digits = max(0, 2 - math.floor(math.log10(abs(value))))
    text = f"{round(value, digits if digits else 2 - math.floor(math.log10(abs(value)))):,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
