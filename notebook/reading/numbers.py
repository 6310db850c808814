"""Numbers as spoken or printed: tokens in, exact values out.

In: tokens and a place among them. Out: the longest number that begins there, or None.
Never decides what a number is of (amounts and threads do), never rounds.

Examples: "forty-one thousand two hundred" 41200, "one twenty" 120, "nought point oh five" 0.05,
"an eighth", "three eighths" 3/8, "nine and a half thousand" 9500, "twenty two hundred" 2200.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from notebook.reading.fractions_said import (
    denominator_after,
    denominator_after_digits,
    fraction_after,
    is_below_the_line,
    is_lowest,
    starts_fraction,
)
from notebook.reading.number_words import ALONE, DENOMINATORS, HUNDRED, ORDINALS, SCALES, TENS, UNITS, ZEROS, Number
from notebook.reading.number_words import low_at as _low
from notebook.reading.words import Token

__all__ = ["ORDINALS", "Number", "read_number"]

_SOME = frozenset("few several some couple odd many of".split())
""" "A few hundred", "a couple of thousand": no number."""

_STARTS = frozenset({"point", "a", "an", "nought", "naught", "nil"}).union(ZEROS, ALONE, HUNDRED, SCALES, UNITS, TENS)
"""Every word that a number can begin with: most words are none, and each is asked about several times."""


def read_number(tokens: Sequence[Token], at: int) -> Number | None:
    """Give the longest number that begins at a token, or None."""
    if at >= len(tokens):
        return None
    if tokens[at].value is not None:
        return _digits(tokens, at)
    low = tokens[at].low
    if low not in _STARTS or _is_ordinal(tokens, at):
        return None
    if low == "point" or (low in ZEROS and _low(tokens, at + 1) == "point"):
        return _decimal(tokens, at)
    if low in ALONE:
        return Number(Fraction(1, DENOMINATORS[low]), at, at + 1, "fraction", True)
    if low in ("a", "an"):
        return _with_article(tokens, at)
    if (low in HUNDRED or low in SCALES) and low != "grand" and _low(tokens, at - 1) not in _SOME:
        return _scaled(tokens, at, Fraction(1), at)
    if low in UNITS or low in TENS or low in ("nought", "naught", "nil"):
        found = _spoken(tokens, at)
        return _in_thousands(tokens, found) if found else None
    return None


_OF_A_SIZE = frozenset("of inch in over under thick minimum maximum min max or to and at is was clearance gap".split())


def _is_ordinal(tokens: Sequence[Token], at: int) -> bool:
    """ "The sixteenth tooth", "the thirty-second tooth": which one it is, not how much."""
    low, behind = tokens[at].low, _low(tokens, at + 1)
    if low in ALONE and tokens[at].hyphened and _low(tokens, at - 1) in TENS:
        return True
    if low in ALONE and low.endswith("th"):
        named = at + 1 < len(tokens) and tokens[at + 1].is_word and behind not in _OF_A_SIZE
        return named and _low(tokens, at - 1) in ("the", "that", "this", "every")
    return low in TENS and behind in ORDINALS and tokens[at + 1].hyphened


def _in_thousands(tokens: Sequence[Token], number: Number) -> Number:
    """Take "nine and a half | thousand" and "two point four | thousand" for thousands."""
    scale = SCALES.get(_low(tokens, number.end))
    if scale is None or number.shape not in ("mixed", "decimal"):
        return number
    return replace(number, value=number.value * scale, end=number.end + 1, shape="integer")


def _digits(tokens: Sequence[Token], at: int) -> Number:
    value, end, spoken = tokens[at].value or Fraction(0), at + 1, False
    shape = "fraction" if "/" in tokens[at].low else "integer" if value.denominator == 1 else "decimal"
    following = tokens[end] if end < len(tokens) else None
    if shape == "integer" and following is not None:
        denominator = denominator_after_digits(tokens, end)
        if denominator and is_lowest(value, denominator[0]):
            return Number(value / denominator[0], at, denominator[1], "fraction", True)
        if following.value is not None and "/" in following.low and following.value < 1:
            return Number(value + following.value, at, end + 1, "mixed", False)
    if following is not None and following.low == "point" and shape == "integer":
        places = _places(tokens, end + 1)
        if places:
            return Number(value + places[0], at, places[1], "decimal", True)
    if (_low(tokens, end) in SCALES or _low(tokens, end) in HUNDRED) and shape != "fraction":
        return _scaled(tokens, at, value, end)
    tail = fraction_after(tokens, end)
    if tail and shape == "integer":
        return _in_thousands(tokens, Number(value + tail[0], at, tail[1], "mixed", True))
    return Number(value, at, end, shape, spoken)


def _scaled(tokens: Sequence[Token], at: int, value: Fraction, end: int) -> Number:
    total = Fraction(0)
    while True:
        word = _low(tokens, end)
        scale = 100 if word in HUNDRED else SCALES.get(word)
        if scale is None:
            break
        value, end = value * scale, end + 1
        if scale >= 1000:
            total, value = total + value, Fraction(0)
        if (_low(tokens, end) == "and" and _small(tokens, end + 1)) or (
            scale >= 1000 and _low(tokens, end) == "," and _is_hundreds(tokens, end + 1)
        ):
            end += 1
        printed = tokens[end].value if end < len(tokens) and "/" not in tokens[end].low else None
        if printed is not None and printed < scale:
            value, end = value + printed, end + 1
        elif small := _small(tokens, end):
            value, end = value + small[0], small[1]
    return Number(total + value, at, end, "integer", True)


def _is_hundreds(tokens: Sequence[Token], at: int) -> bool:
    """Tell "five thousand, | two hundred and three", written with a comma, from the next of a list."""
    small = _small(tokens, at)
    return small is not None and (
        any(t.low in HUNDRED for t in tokens[at : small[1]]) or _low(tokens, small[1]) in SCALES
    )


def _small(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Read a number below a thousand said in full: "two hundred and six", "forty one"."""
    said = _tens(tokens, at)
    if said is None:
        return None
    value, end = said
    if _low(tokens, end) in HUNDRED:
        value, end = value * 100, end + 1
        joined = end + 1 if _low(tokens, end) == "and" else end
        rest = _tens(tokens, joined)
        if rest and _low(tokens, rest[1]) not in HUNDRED:
            value, end = value + rest[0], rest[1]
    return value, end


def _tens(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Read a number below a hundred: "forty one", "nought"."""
    low = _low(tokens, at)
    if low in TENS:
        value, end = TENS[low], at + 1
        unit = UNITS.get(_low(tokens, end), 0)
        if 0 < unit < 10 and not is_below_the_line(tokens, at) and not starts_fraction(tokens, end):
            value, end = value + unit, end + 1
    elif low in UNITS or low in ("nought", "naught", "nil"):
        value, end = UNITS.get(low, 0), at + 1
    else:
        return None
    return value, end


def _spoken(tokens: Sequence[Token], at: int) -> Number | None:
    if digits := _digit_string(tokens, at):
        return digits
    small = _small(tokens, at)
    if small is None:
        return None
    value, end = Fraction(small[0]), small[1]
    shape = "integer"
    denominator = denominator_after(tokens, end)
    if denominator and is_lowest(value, denominator[0]):
        return Number(value / denominator[0], at, denominator[1], "fraction", True)
    if _low(tokens, end) in SCALES:
        return _fold_tail(_scaled(tokens, at, value, end), tokens)
    if value < 100 and value != 0:
        elided = _elided(tokens, int(value), end)
        if elided:
            value, end, shape = Fraction(elided[0]), elided[1], "elided"
            if _low(tokens, end) in SCALES:
                scaled = _scaled(tokens, at, value, end)
                return Number(scaled.value, at, scaled.end, "elided", True)
    if _low(tokens, end) == "point":
        places = _places(tokens, end + 1)
        if places:
            return Number(value + places[0], at, places[1], "decimal", True)
    tail = fraction_after(tokens, end)
    if tail:
        return Number(value + tail[0], at, tail[1], "mixed", True)
    if shape == "integer" and (tenths := _bare_tenths(tokens, at, int(value), end)):
        return Number(value + Fraction(tenths, 10), at, end + 1, "decimal", True)
    if shape == "integer" and value < 10 and end < len(tokens):
        following = tokens[end].value
        if following is not None and "/" in tokens[end].low and following < 1:
            return Number(value + following, at, end + 1, "mixed", True)
    return Number(value, at, end, shape, True)


def _digit_string(tokens: Sequence[Token], at: int) -> Number | None:
    """Read digits said one by one: "one seven four nine" (a size whose point was left out)."""
    digits, end = "", at
    while end < len(tokens) and (tokens[end].low in ZEROS or 0 < UNITS.get(tokens[end].low, 0) < 10):
        digits += str(UNITS.get(tokens[end].low, 0))
        end += 1
    if (
        len(digits) < 3
        or _low(tokens, end) in ("point", "thousand")
        or _low(tokens, end) in HUNDRED
        or _low(tokens, end) in DENOMINATORS
        or tokens[at].low in ZEROS
    ):
        return None
    return Number(Fraction(int(digits)), at, end, "digits", True)


_SIZE_BEFORE = frozenset("is 's was at to says reads read measures mics makes of since are were".split())


def _bare_tenths(tokens: Sequence[Token], at: int, whole: int, end: int) -> int | None:
    """Read the tenths of "seventeen five" (17.5) and "thirty nine eight" (39.8), said without their point.

    A size below ten ("six two") needs a word of measuring before it: "six eight mil bolts" are six bolts.
    """
    tenths = UNITS.get(_low(tokens, end), 0)
    if not 0 < tenths < 10 or not _ends_number(tokens, end + 1):
        return None
    if 10 < whole < 100 and whole % 10:
        return tenths
    if 2 < whole < 10 and tenths != whole + 1 and _low(tokens, at - 1) in _SIZE_BEFORE:
        return tenths
    return None


def _ends_number(tokens: Sequence[Token], at: int) -> bool:
    """Tell "seventeen five" (17.5) from "eleven five eighths" and "twelve two inch"."""
    low = _low(tokens, at)
    return low in ("", ",", ".", "and", "but", "so", "at", "on", "is", "which", "no", "the", "mil", "mm", "thou")


def _fold_tail(number: Number, tokens: Sequence[Token]) -> Number:
    if _low(tokens, number.end) == "point" and (places := _places(tokens, number.end + 1)):
        return Number(number.value + places[0], number.start, places[1], "decimal", True)
    tail = fraction_after(tokens, number.end)
    if tail and number.value < 1000:
        return Number(number.value + tail[0], number.start, tail[1], "mixed", True)
    return number


def _elided(tokens: Sequence[Token], head: int, end: int) -> tuple[int, int] | None:
    """Read "one twenty" 120, "three seventy two" 372, "one oh five" 105, "twelve fifty" 1250."""
    if _low(tokens, end) in ("oh", "o") and head < 100:
        unit = UNITS.get(_low(tokens, end + 1), 0)
        if 0 < unit < 10:
            return head * 100 + unit, end + 2
        return None
    if head >= 10 and (head % 10 == 0 and head < 20):
        return None
    low = _low(tokens, end)
    if low in TENS or 10 <= UNITS.get(low, 0) < 20:
        tail = _small(tokens, end)
        if tail and 10 <= tail[0] < 100 and _low(tokens, tail[1]) not in DENOMINATORS:
            return head * 100 + tail[0], tail[1]
    return None


def _places(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """Read the digits after "point": "oh five", "two six four", "twenty five", "double oh two", "8"."""
    digits, end = "", at
    while end < len(tokens):
        token = tokens[end]
        if (
            token.value is not None
            and token.value.denominator == 1
            and token.low.isdigit()
            and (not digits or len(token.low) < 3)
        ):
            digits += token.low
        elif token.low in ZEROS:
            digits += "0"
        elif token.low == "double" and _low(tokens, end + 1) in ZEROS:
            digits, end = digits + "00", end + 1
        elif 0 < UNITS.get(token.low, 0) < 10:
            digits += str(UNITS[token.low])
        elif not digits.strip("0") and (token.low in TENS or UNITS.get(token.low, 0) >= 10):
            tail = _small(tokens, end)
            if tail is None:
                break
            digits, end = digits + str(tail[0]), tail[1]
            break
        else:
            break
        end += 1
        if len(digits) > 9:
            break
    if not digits:
        return None
    return Fraction(int(digits), 10 ** len(digits)), end


def _decimal(tokens: Sequence[Token], at: int) -> Number | None:
    start = at
    if tokens[at].low != "point":
        at += 1
    places = _places(tokens, at + 1)
    return Number(places[0], start, places[1], "decimal", True) if places else None


def _with_article(tokens: Sequence[Token], at: int) -> Number | None:
    """Read "a hundred and forty", "a thousand", "a half", "an eighth", "a quarter"."""
    low = _low(tokens, at + 1)
    if low in HUNDRED or low in ("thousand", "million"):
        number = _scaled(tokens, at, Fraction(1), at + 1)
        return Number(number.value, at, number.end, "integer", True)
    if is_below_the_line(tokens, at + 1):
        return Number(Fraction(1, 32 if low == "thirty" else 64), at, at + 3, "fraction", True)
    if low in DENOMINATORS and not low.endswith("s") and low not in ("second", "third", "fourth", "fifth", "halve"):
        return Number(Fraction(1, DENOMINATORS[low]), at, at + 2, "fraction", True)
    return None
