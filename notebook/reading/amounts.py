"""Amounts as said: a number with its unit, a range, "plus or minus".

In: tokens and a place among them. Out: the amount that begins there, exact, or None.
Never decides what was measured or why (that is for the measurement rules).

Examples: "twelve to fourteen thou" 12 to 14 thou, "three or four bar" 3 to 4 bar, "between 0.3 and 0.4",
"forty or fifty thousand miles", "eight hundred plus or minus fifty revs" 750 to 850 rpm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from notebook.reading.number_words import HUNDRED, SCALES
from notebook.reading.number_words import low_at as _low
from notebook.reading.single_amounts import Amount, Habit, read_single
from notebook.reading.words import Token

__all__ = ["Amount", "Habit", "read_amount"]

_NOTHING = frozenset({"nothing", "nought", "nil", "zero"})


def read_amount(tokens: Sequence[Token], at: int, habit: Habit | None = None) -> Amount | None:
    """Give the amount that begins at a token, unit or not; None when no number begins there."""
    if tokens[at].low in ("between", "atween", "betwixt"):
        return _between(tokens, at, habit)
    if _is_sign(tokens, at):
        below = read_single(tokens, at + 1, habit)
        return replace(below, value=-below.value, start=at) if below and below.value and below.unit else None
    first = read_single(tokens, at, habit)
    if first is None:
        return None
    return _range_after(tokens, first, habit) or _with_tolerance(tokens, first, habit) or first


def _is_sign(tokens: Sequence[Token], at: int) -> bool:
    """Tell "-18 degrees" and "minus 18 degrees" from "5 - 8 mm" and "20 mm plus nothing minus 0.1"."""
    if at + 1 >= len(tokens) or (not tokens[at + 1].is_number and tokens[at].low != "minus"):
        return False
    if tokens[at].low in ("-", "\N{MINUS SIGN}"):
        return tokens[at + 1].glued and not tokens[at].glued
    before = tokens[at - 1] if at else None
    return tokens[at].low == "minus" and (before is None or not (before.is_number or before.low in _NO_SIGN_AFTER))


_NO_SIGN_AFTER = frozenset({"plus", "or", "and", "nothing", "nought", "nil", "zero", "mm", "thou", "inch", "inches"})


def _between(tokens: Sequence[Token], at: int, habit: Habit | None) -> Amount | None:
    first = read_single(tokens, at + 1, habit)
    if first is None or _low(tokens, first.end) not in ("and", "to"):
        return None
    second = read_single(tokens, first.end + 1, habit)
    return _join(tokens, at, first, second) if second else None


def _range_after(tokens: Sequence[Token], first: Amount, habit: Habit | None) -> Amount | None:
    """Read "8 to 10", "three or four thou", "forty or fifty thousand", "nought to one"."""
    word, at = _low(tokens, first.end), first.end + 1
    if word == "-" and _low(tokens, at) == "to" and tokens[first.end].glued:  # "8- to 16-mm"
        word, at = "to", at + 1
    if word not in ("to", "-", "–", "or") or at >= len(tokens) or first.value is None:
        return None
    if word == "-" and (first.shape == "fraction" or _low(tokens, at) == "0"):
        return None
    second = read_single(tokens, at, habit)
    if second is None or second.value is None:
        return None
    joined = _join(tokens, first.start, first, second)
    if joined is None or joined.low is None or joined.high is None:
        return None
    if word == "or" and not (_is_measured(joined) and joined.high - joined.low <= max(joined.high / 2, Fraction(3))):
        return None
    if word == "to" and tokens[at].low in ("a", "an") and second.unit is None:
        return None
    if word == "to" and tokens[at].low == "one" and _low(tokens, second.end) not in ("", ".", ",", "thou", "mil", "mm"):
        return None
    return joined


def _is_measured(amount: Amount) -> bool:
    """Tell "four or five | thou" from "four or five of them"."""
    return amount.unit is not None or (amount.high or 0) >= 1000


def _join(tokens: Sequence[Token], start: int, first: Amount, second: Amount) -> Amount | None:
    if first.unit and second.unit and first.unit != second.unit:
        return None
    low, high = first.value, second.value
    if low is None or high is None:
        return None
    low *= _shared_scale(tokens, first, second)
    if low >= high:
        return None
    return Amount(
        low=low, high=high, unit=second.unit or first.unit, dimension=second.dimension or first.dimension, start=start,
        end=second.end, shape="range",
    )  # fmt: skip


_PARTS = {"tenths": 10, "hundredths": 100, "thousandths": 1000}


def _shared_scale(tokens: Sequence[Token], first: Amount, second: Amount) -> Fraction | int:
    """Give what the first number takes from the second: 1000 in "forty or fifty thousand", 1/100 in "six to eight hundredths"."""
    scale = 1
    parts = next((_PARTS[t.low] for t in tokens[second.start : second.end] if t.low in _PARTS), None)
    if parts is not None and first.unit is None and first.value is not None and first.value.denominator == 1:
        return Fraction(1, parts)
    for token in tokens[second.start : second.end]:
        scale *= 100 if token.low in HUNDRED else SCALES.get(token.low, 1)
    is_bare = not any(t.low in HUNDRED or t.low in SCALES for t in tokens[first.start : first.end])
    if (
        scale > 1
        and is_bare
        and first.value
        and second.value
        and first.value * scale < second.value
        and first.value < 100
    ):
        return scale
    return 1


def _with_tolerance(tokens: Sequence[Token], first: Amount, habit: Habit | None) -> Amount | None:
    """Read "twenty millimetres plus nothing minus two hundredths" and "three and a quarter plus six thou"."""
    at = first.end
    if first.value is None or _low(tokens, at) not in ("plus", "minus", "give"):
        return None
    words = tuple(_low(tokens, at + n) for n in range(3))
    if words in (("plus", "or", "minus"), ("plus", "and", "minus"), ("give", "or", "take")):
        return _both_ways(tokens, first, at + 3, habit)
    up, end = _step(tokens, at + 1, habit, first)
    if up is None or words[0] == "give":
        return None
    sign = 1 if words[0] == "plus" else -1
    if _low(tokens, end) in ("minus", "plus") and _low(tokens, end) != words[0]:
        down, end = _step(tokens, end + 1, habit, first)
        if down is not None:
            low, high = sorted((first.value + sign * up, first.value - sign * down))
            return replace(first, value=None, low=low, high=high, end=end, shape="range")
    if sign > 0 and up and (first.unit == "in" or (first.unit is None and first.shape in ("mixed", "decimal"))):
        return replace(first, value=first.value + up, unit="in", dimension="length", end=end, shape="decimal")
    return None


def _both_ways(tokens: Sequence[Token], first: Amount, at: int, habit: Habit | None) -> Amount | None:
    """Read "eight hundred plus or minus fifty revs": the unit may stand behind the tolerance."""
    step = read_single(tokens, at, habit)
    up, end = _step(tokens, at, habit, first)
    if step is None or up is None or first.value is None or up >= first.value:
        return None
    return replace(
        first, value=None, low=first.value - up, high=first.value + up, unit=first.unit or step.unit,
        dimension=first.dimension or step.dimension, end=end, shape="range",
    )  # fmt: skip


def _step(tokens: Sequence[Token], at: int, habit: Habit | None, first: Amount) -> tuple[Fraction | None, int]:
    """Give a tolerance in the unit of the size before it, and where its words end."""
    if _low(tokens, at) in _NOTHING:
        return Fraction(0), at + 1
    step = read_single(tokens, at, habit)
    if step is None or step.value is None:
        return None, at
    whole = first.unit or ("in" if step.unit == "thou" else step.unit)
    factor = {("thou", "in"): Fraction(1, 1000), ("um", "mm"): Fraction(1, 1000)}.get((step.unit or "", whole or ""))
    if factor is None:
        factor = Fraction(1) if step.unit in (None, whole) else None
    return (step.value * factor if factor is not None else None), step.end
