"""One amount as said: a number with its unit.

In: tokens and a place among them. Out: the amount that begins there, exact, or None.
Never reads ranges or tolerances (`amounts` does), nor what was measured.

Examples: "7.2 mil" 7.2 mm, "an inch and a quarter" 1.25 in, "half a thou" 0.5 thou, "a good mil" 1 mm,
"two hundredths" 0.02 mm, "seventy foot pounds" 70 lbf·ft, "a couple of thou" about 2 thou.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from notebook.reading.number_words import HUNDRED, Number
from notebook.reading.number_words import low_at as _low
from notebook.reading.numbers import read_number
from notebook.reading.units_said import NOT_UNITS, is_halved, read_unit, unit_of_fraction, unit_of_number
from notebook.reading.words import Token

Habit = str
"""`inch` or `metric`: what "tenths" and a bare "mil" mean in this shop."""


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
    is_about: bool = False
    """Said as "a couple of": near enough."""

    @property
    def is_range(self) -> bool:
        return self.value is None


def read_single(tokens: Sequence[Token], at: int, habit: Habit | None) -> Amount | None:
    """Give the amount without range or tolerance that begins at a token, unit or not."""
    if at >= len(tokens):
        return None
    if tokens[at].low in ("an", "a", "inch", "thou", "couple") and (one := _one_unit(tokens, at)):
        return one
    number = read_number(tokens, at)
    if number is None:
        return None
    return _tenths(tokens, at, number, habit) or _with_unit(tokens, number, habit)


def _with_unit(tokens: Sequence[Token], number: Number, habit: Habit | None) -> Amount:
    at, value = number.end, number.value
    plain = Amount(value=value, start=number.start, end=at, shape=number.shape)
    if _low(tokens, at) in NOT_UNITS:
        return plain
    if number.shape in ("fraction", "decimal") and value < 1:
        if _low(tokens, at) in ("of", "a", "an") and (unit := unit_of_fraction(tokens, at)):
            return replace(plain, unit=unit.symbol, dimension=unit.dimension, end=unit.end)
    if _low(tokens, at) == "k" and _low(tokens, at + 1) not in ("ohm", "ohms"):
        return _thousands(tokens, plain)
    unit = unit_of_number(tokens, number, at)
    if unit is None:
        return plain
    symbol = unit.symbol
    if symbol == "mm" and habit == "inch" and _low(tokens, at) in ("mil", "mils") and value < 5:
        symbol = "thou" if number.shape != "fraction" else symbol
    return _compound(tokens, replace(plain, unit=symbol, dimension=unit.dimension, end=unit.end))


_FAR = 60
"""Words away at which "ohms" still says what a number is of."""


def _thousands(tokens: Sequence[Token], plain: Amount) -> Amount:
    """Read "87,000 k" (km), "3.8k" beside ohms (kohm) and "87k" (thousands of what was spoken of)."""
    value = plain.value or Fraction(0)
    if value >= 1000:
        return replace(plain, unit="km", dimension="running", end=plain.end + 1)
    near = tokens[max(0, plain.start - _FAR) : plain.end + _FAR]
    if any(t.low in ("ohm", "ohms", "resistance", "megger") for t in near):
        return replace(plain, unit="kohm", dimension="resistance", end=plain.end + 1)
    return replace(plain, value=value * 1000, end=plain.end + 1)


def _compound(tokens: Sequence[Token], amount: Amount) -> Amount:
    """Add what follows a whole unit: "one inch and three eighths", "a thou and a half", "two foot six"."""
    at = amount.end
    if amount.value is None or amount.unit is None or not is_halved(amount.unit):
        return amount
    if _low(tokens, at) == "and" or (amount.unit == "in" and _low(tokens, at) in ("n", "an")):
        tail = read_number(tokens, at + 1)
        if tail and tail.shape == "fraction" and tail.value < 1 and amount.value.denominator == 1:
            if read_unit(tokens, tail.end) is None and not _is_spanner_word(tokens, tail.end):
                return replace(amount, value=amount.value + tail.value, end=tail.end, shape="mixed")
    if amount.unit == "ft" and amount.shape == "integer":
        tail = read_number(tokens, at)
        if tail and tail.value < 12 and read_unit(tokens, tail.end) is None and tail.shape == "integer":
            if _low(tokens, tail.end) != "of":
                return replace(amount, value=amount.value + tail.value / 12, end=tail.end, shape="mixed")
    return amount


def _is_spanner_word(tokens: Sequence[Token], at: int) -> bool:
    return _low(tokens, at) in ("spanner", "socket", "wrench", "bsf", "bsw", "whitworth", "af")


_GOOD = frozenset("good bare full clear clean strong whole scant fair decent proper single solid".split())
""" "A good mil", "a bare thou": one of it, near enough."""
_NO_ARTICLE = frozenset({"mill", "in", "foot", "bar", "m", "ton", "tonne", "pound", "second", "v", "h", "g", "t"})
""" "A mill", "a bar", "weighs a ton": no amounts."""


_SAID_WITH_A = frozenset(
    {"in", "thou", "mm", "um", "cm", "gal", "pt", "L", "V", "A", "ohm", "kohm", "Mohm", "psi", "kg"}
)
""" "An inch", "a mil"; but "to a degree", "out by a mile" and "an ounce of sense" are no amounts."""


def _one_unit(tokens: Sequence[Token], at: int) -> Amount | None:
    """Read "an inch and a quarter", "a thou", "a good mil", "a couple of thou": a unit without a number."""
    start = at
    if tokens[at].low in ("inch", "thou"):
        unit_symbol = "in" if tokens[at].low == "inch" else "thou"
        one = Amount(value=Fraction(1), unit=unit_symbol, dimension="length", start=start, end=at + 1, shape="article")
        whole = _compound(tokens, one)
        return whole if whole.shape == "mixed" else None
    if tokens[at].low in ("a", "an"):
        at += 1
    if _low(tokens, at) in ("couple", "pair"):
        return _couple(tokens, start, at + 1)
    is_about = _low(tokens, at) in _GOOD
    at += is_about
    if at == start or _low(tokens, at) in _NO_ARTICLE:
        return None
    unit = read_unit(tokens, at)
    if unit is None or not is_halved(unit.symbol):
        return None
    one = Amount(
        value=Fraction(1), unit=unit.symbol, dimension=unit.dimension, start=start, end=unit.end, shape="article",
        is_about=is_about,
    )  # fmt: skip
    whole = _compound(tokens, one)
    return whole if whole.shape == "mixed" or unit.symbol in _SAID_WITH_A else None


def _couple(tokens: Sequence[Token], start: int, at: int) -> Amount | None:
    """Read "a couple of thou", "a couple o' hundredths", "a couple of hundred miles"."""
    if _low(tokens, at) == "of":
        at += 1
    value, low = Fraction(2), _low(tokens, at)
    if low in ("hundredth", "hundredths") and read_unit(tokens, at) is None:
        unit = unit_of_fraction(tokens, at + 1) if _low(tokens, at + 1) == "of" else None
        end = unit.end if unit else at + 1
        return Amount(
            value=value / 100, unit=unit.symbol if unit else "mm", dimension="length", start=start, end=end,
            shape="decimal", is_about=True,
        )  # fmt: skip
    if low in HUNDRED or low == "thousand":
        value, at = value * (1000 if low == "thousand" else 100), at + 1
    unit = read_unit(tokens, at)
    if unit is None or _low(tokens, at) in ("in", "mill", "bar", "v", "h", "g", "t", "m"):
        return None
    return Amount(
        value=value, unit=unit.symbol, dimension=unit.dimension, start=start, end=unit.end, is_about=True
    )  # fmt: skip


def _tenths(tokens: Sequence[Token], at: int, number: Number, habit: Habit | None) -> Amount | None:
    """Read "two tenths" and "five hundredths" by the habit of the shop, unless a unit is said."""
    low = _low(tokens, number.end)
    if number.shape == "integer" and low in ("hundredth", "hundredths", "hunnerth", "hunnerths", "hundreths"):
        unit = unit_of_fraction(tokens, number.end + 1) if _low(tokens, number.end + 1) == "of" else None
        return Amount(
            value=number.value / 100, unit=unit.symbol if unit else "mm", dimension=unit.dimension if unit else "length",
            start=at, end=unit.end if unit else number.end + 1, shape="decimal",
        )  # fmt: skip
    last = _low(tokens, number.end - 1)
    if number.shape == "fraction" and last in ("tenth", "tenths") and _low(tokens, number.end) != "of":
        if read_unit(tokens, number.end) or habit is None:
            return None
        unit_symbol = "thou" if habit == "inch" else "mm"
        return Amount(
            value=number.value, unit=unit_symbol, dimension="length", start=at, end=number.end, shape="decimal"
        )
    return None
