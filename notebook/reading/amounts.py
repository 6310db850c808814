"""Amounts as said: a number with its unit, a range, "plus or minus", "about".

In: tokens and a place among them. Out: the amount that begins there, exact, or None.
Never decides what was measured or why (that is for the measurement rules).

Examples: "7.2 mil" 7.2 mm, "an inch and a quarter" 1.25 in, "half a thou" 0.5 thou,
"twelve to fourteen thou" 12 to 14 thou, "two hundredths" 0.02 mm, "seventy foot pounds" 70 lbf·ft.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from importlib import resources

from notebook.reading.numbers import Number, read_number
from notebook.reading.words import Token

Habit = str
"""`inch` or `metric`: what "tenths" and a bare "mil" mean in this shop."""

NOT_UNITS = frozenset(
    (
        "minute minutes second seconds day days week weeks month months year years quid dollar dollars buck "
        "bucks euro euros pence cent cents times o'clock grand bob fiver people percenter"
    ).split()
)
"""Words after a number that make it an amount of something else; such a number is left alone."""

_RANGE_WORDS = frozenset({"to", "-", "–", "through", "or", "and"})
_HALF_UNITS = frozenset({"in", "ft", "thou", "mm", "h", "gal", "pt", "L", "kg", "lb", "m", "cm", "mi", "t", "ton"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A value or a range over tokens [start, end), in the unit said (None when none was said)."""

    value: Fraction | None = None
    low: Fraction | None = None
    high: Fraction | None = None
    unit: str | None = None
    dimension: str | None = None
    start: int
    end: int
    shape: str = "integer"
    is_signed: bool = False
    """Said with "plus" or "minus" before it: a difference from a size."""
    is_unit_printed: bool = False

    @property
    def is_range(self) -> bool:
        return self.value is None


@cache
def _units() -> tuple[dict[tuple[str, ...], tuple[str, str]], int]:
    text = resources.files("notebook.reading").joinpath("data", "units.toml").read_text("utf-8")
    said: dict[tuple[str, ...], tuple[str, str]] = {}
    for row in tomllib.loads(text)["unit"]:
        for phrase in row["said"]:
            said[tuple(phrase.split())] = (row["symbol"], row["dimension"])
    return said, max(map(len, said))


def read_unit(tokens: Sequence[Token], at: int) -> tuple[str, str, int] | None:
    """Give (symbol, dimension, end) of the longest unit that begins at a token."""
    said, longest = _units()
    words = tuple(t.low for t in tokens[at : at + longest])
    for n in range(len(words), 0, -1):
        if found := said.get(words[:n]):
            return found[0], found[1], at + n
    return None


def read_amount(tokens: Sequence[Token], at: int, habit: Habit | None = None) -> Amount | None:
    """Give the amount that begins at a token, unit or not; None when no number begins there."""
    if tokens[at].low in ("an", "a", "inch", "thou") and (one := _one_unit(tokens, at)):
        return one
    if tokens[at].low == "between":
        return _between(tokens, at, habit)
    first = _single(tokens, at, habit)
    if first is None:
        return None
    return _range_after(tokens, first, habit) or _with_tolerance(tokens, first, habit) or first


def _single(tokens: Sequence[Token], at: int, habit: Habit | None) -> Amount | None:
    number = read_number(tokens, at)
    if number is None:
        return None
    if shared := _tenths(tokens, at, number, habit):
        return shared
    return _with_unit(tokens, number, habit)


def _with_unit(tokens: Sequence[Token], number: Number, habit: Habit | None) -> Amount:
    end, value = number.end, number.value
    plain = Amount(value=value, start=number.start, end=end, shape=number.shape)
    if _low(tokens, end) in NOT_UNITS:
        return plain
    at = end
    if number.shape in ("fraction", "decimal") and value < 1:
        if _low(tokens, at) in ("of", "a", "an") and (unit := _unit_after_of(tokens, at)):
            return replace(plain, unit=unit[0], dimension=unit[1], end=unit[2])
    if _low(tokens, at) == "k" and (at + 1 >= len(tokens) or _low(tokens, at + 1) not in ("ohm", "ohms")):
        if value < 1000:
            value, at = value * 1000, at + 1
            plain = replace(plain, value=value, end=at)
    unit = read_unit(tokens, at)
    if unit is None or _is_false_unit(tokens, at, unit, number):
        return plain
    symbol, dimension, end = unit
    if symbol == "mm" and habit == "inch" and _low(tokens, at) in ("mil", "mils") and value < 5:
        symbol = "thou" if number.shape != "fraction" else symbol
    whole = replace(plain, unit=symbol, dimension=dimension, end=end, is_unit_printed=tokens[at].glued)
    return _compound(tokens, whole)


def _is_false_unit(tokens: Sequence[Token], at: int, unit: tuple[str, str, int], number: Number) -> bool:
    """Catch words that only look like units: "3 in bag 4", "4 m apart", "6 h"."""
    low, glued = tokens[at].low, tokens[at].glued
    following = _low(tokens, unit[2])
    if low == "in" and unit[2] == at + 1:
        if glued and following not in ("the", "a", "bag", "tray"):
            return False
        return following not in (
            "",
            ".",
            ",",
            "long",
            "wide",
            "deep",
            "thick",
            "bolt",
            "bolts",
            "across",
            "diameter",
            "by",
            "bore",
        )
    if low in ("g", "v", "h", "t", "ma", "mi", "nm", "mic", "mics") and len(low) == 1:
        return not glued and number.spoken
    if low == "mill":
        return following in ("is", "was", "has", "'s")
    if low in ("bar",):
        return following in ("the", "one", "number", "for")
    if low in ("second", "foot"):
        return False
    return False


def _unit_after_of(tokens: Sequence[Token], at: int) -> tuple[str, str, int] | None:
    """Read "of an inch", "of a mil", "a thou", "an inch" after a fraction."""
    if _low(tokens, at) == "of":
        at += 1
    if _low(tokens, at) in ("a", "an"):
        at += 1
    unit = read_unit(tokens, at)
    return unit if unit and unit[0] in _HALF_UNITS else None


def _compound(tokens: Sequence[Token], amount: Amount) -> Amount:
    """Add what follows a whole unit: "one inch and three eighths", "a thou and a half", "two foot six"."""
    at = amount.end
    if amount.value is None or amount.unit not in _HALF_UNITS:
        return amount
    if _low(tokens, at) == "and" or (amount.unit == "in" and _low(tokens, at) in ("n", "an")):
        after = at + 2 if _low(tokens, at + 1) in ("a", "an") else at + 1
        tail = read_number(tokens, after - 1 if after == at + 2 else after)
        if tail and tail.shape == "fraction" and tail.value < 1 and amount.value.denominator == 1:
            if read_unit(tokens, tail.end) is None and not _is_spanner_word(tokens, tail.end):
                return replace(amount, value=amount.value + tail.value, end=tail.end, shape="mixed")
    if amount.unit == "ft" and amount.shape == "integer":
        tail = read_number(tokens, at)
        if tail and tail.value < 12 and read_unit(tokens, tail.end) in (None,) and tail.shape == "integer":
            if _low(tokens, tail.end) not in ("of",):
                return replace(amount, value=amount.value + tail.value / 12, end=tail.end, shape="mixed")
    return amount


def _is_spanner_word(tokens: Sequence[Token], at: int) -> bool:
    return _low(tokens, at) in ("spanner", "socket", "wrench", "bsf", "bsw", "whitworth", "af")


def _one_unit(tokens: Sequence[Token], at: int) -> Amount | None:
    """Read "an inch and a quarter", "a thou", "inch and a half": one of a unit without a number."""
    start = at
    if tokens[at].low in ("a", "an"):
        at += 1
        unit = read_unit(tokens, at)
        if unit is None or unit[0] not in ("in", "thou", "ft", "mm", "gal", "pt", "ton", "t", "L"):
            return None
        if _low(tokens, at) in ("mill", "in", "foot", "bar", "m"):
            return None
        one = Amount(value=Fraction(1), unit=unit[0], dimension=unit[1], start=start, end=unit[2], shape="article")
        return _compound(tokens, one)
    if tokens[at].low in ("inch", "thou"):
        unit_symbol = "in" if tokens[at].low == "inch" else "thou"
        one = Amount(value=Fraction(1), unit=unit_symbol, dimension="length", start=start, end=at + 1, shape="article")
        whole = _compound(tokens, one)
        return whole if whole.shape == "mixed" else None
    return None


def _tenths(tokens: Sequence[Token], at: int, number: Number, habit: Habit | None) -> Amount | None:
    """Read "two tenths" and "five hundredths" by the habit of the shop, unless a unit is said."""
    low = _low(tokens, number.end)
    if number.shape == "integer" and low in ("hundredth", "hundredths"):
        unit = _unit_after_of(tokens, number.end + 1)
        if unit:
            value = number.value / 100
            return Amount(value=value, unit=unit[0], dimension=unit[1], start=at, end=unit[2], shape="decimal")
        return Amount(
            value=number.value / 100, unit="mm", dimension="length", start=at, end=number.end + 1, shape="decimal"
        )
    last = _low(tokens, number.end - 1)
    if number.shape == "fraction" and last in ("tenth", "tenths") and _low(tokens, number.end) != "of":
        if read_unit(tokens, number.end) or habit is None:
            return None
        unit_symbol = "thou" if habit == "inch" else "mm"
        return Amount(
            value=number.value, unit=unit_symbol, dimension="length", start=at, end=number.end, shape="decimal"
        )
    return None


def _between(tokens: Sequence[Token], at: int, habit: Habit | None) -> Amount | None:
    if at + 1 >= len(tokens):
        return None
    first = _single(tokens, at + 1, habit)
    if first is None or _low(tokens, first.end) not in ("and", "to"):
        return None
    second = _single(tokens, first.end + 1, habit) if first.end + 1 < len(tokens) else None
    return _join(at, first, second) if second else None


_NOTHING = frozenset({"nothing", "nought", "nil", "zero"})


def _with_tolerance(tokens: Sequence[Token], first: Amount, habit: Habit | None) -> Amount | None:
    """Read "twenty millimetres plus nothing minus two hundredths" and "three and a quarter plus six thou"."""
    if first.value is None or _low(tokens, first.end) not in ("plus", "minus"):
        return None
    both = _low(tokens, first.end + 1) == "or" and _low(tokens, first.end + 2) == "minus"
    up, end = _step(tokens, first.end + (3 if both else 1), habit, first)
    if up is None:
        return None
    if both:
        step = _single(tokens, first.end + 3, habit)
        unit = first.unit or (step.unit if step else None)
        dimension = first.dimension or (step.dimension if step else None)
        return replace(
            first,
            value=None,
            low=first.value - up,
            high=first.value + up,
            unit=unit,
            dimension=dimension,
            end=end,
            shape="range",
        )
    sign = 1 if _low(tokens, first.end) == "plus" else -1
    if _low(tokens, end) in ("minus", "plus") and _low(tokens, end) != _low(tokens, first.end):
        down, end = _step(tokens, end + 1, habit, first)
        if down is not None:
            low, high = sorted((first.value + sign * up, first.value - sign * down))
            return replace(first, value=None, low=low, high=high, end=end, shape="range")
    if sign > 0 and up and (first.unit == "in" or (first.unit is None and first.shape in ("mixed", "decimal"))):
        return replace(first, value=first.value + up, unit="in", dimension="length", end=end, shape="decimal")
    return None


def _step(tokens: Sequence[Token], at: int, habit: Habit | None, first: Amount) -> tuple[Fraction | None, int]:
    """Give a tolerance in the unit of the size before it, and where its words end."""
    if _low(tokens, at) in _NOTHING:
        return Fraction(0), at + 1
    step = _single(tokens, at, habit) if at < len(tokens) else None
    if step is None or step.value is None:
        return None, at
    whole = first.unit or ("in" if step.unit == "thou" else step.unit)
    factor = {("thou", "in"): Fraction(1, 1000), ("um", "mm"): Fraction(1, 1000)}.get((step.unit or "", whole or ""))
    if factor is None:
        factor = Fraction(1) if step.unit in (None, whole) else None
    return (step.value * factor if factor is not None else None), step.end


def _range_after(tokens: Sequence[Token], first: Amount, habit: Habit | None) -> Amount | None:
    word = _low(tokens, first.end)
    if word not in ("to", "-", "–", "or") or first.end + 1 >= len(tokens) or first.value is None:
        return None
    at = first.end + 1
    if word == "-" and (first.shape == "fraction" or _low(tokens, first.end + 1) in ("0",)):
        return None
    second = _single(tokens, at, habit)
    if second is None or second.value is None or second.value <= first.value:
        return None
    if word == "or" and not (second.unit and second.value - first.value <= max(second.value / 2, Fraction(3))):
        return None
    if word == "to" and tokens[at].low in ("a", "an", "one"):
        return None
    return _join(first.start, first, second)


def _join(start: int, first: Amount, second: Amount) -> Amount | None:
    unit = second.unit or first.unit
    dimension = second.dimension or first.dimension
    if first.unit and second.unit and first.unit != second.unit:
        return None
    low, high = first.value, second.value
    if low is None or high is None or low >= high:
        return None
    if first.unit is None and second.shape == "integer" and first.shape == "decimal" and second.unit is None:
        pass
    return Amount(low=low, high=high, unit=unit, dimension=dimension, start=start, end=second.end, shape="range")


def _low(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].low if 0 <= at < len(tokens) else ""
