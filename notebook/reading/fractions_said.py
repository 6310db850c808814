"""Fractions as they are said: what stands below the line, and what follows a whole number.

In: tokens and a place among them. Out: a denominator or a fraction, with where it ends.
Never reads a whole number by itself.

Examples: "three | eighths", "eleven | sixty fourths", "nine | and a half", "two | and seven eighths".
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd

from notebook.reading.number_words import DENOMINATORS, TENS, UNITS, low_at
from notebook.reading.words import Token

_NOT_BELOW_DIGITS = frozenset({"half", "quarter", "third", "second", "fourth", "fifth", "halve"})
""" "3 | half inch bolts", "2 | third gears": after digits these are counted things or names."""


def denominator_after(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Give (denominator, end) of words after a number in words: "eighths", "thirty seconds"."""
    if found := _long_denominator(tokens, at):
        return found
    low = low_at(tokens, at)
    if low in DENOMINATORS and low not in ("half", "halve"):
        return DENOMINATORS[low], at + 1
    return None


def denominator_after_digits(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Give (denominator, end) after a number in digits: "3 eighths", "5 16ths", "3 -8ths"."""
    if found := _long_denominator(tokens, at):
        return found
    low = low_at(tokens, at)
    if low in DENOMINATORS and low not in _NOT_BELOW_DIGITS:
        return DENOMINATORS[low], at + 1
    if low in ("quarters", "quarter", "thirds"):
        return DENOMINATORS[low], at + 1
    if low == "-":
        at += 1
    if at + 1 < len(tokens) and tokens[at].value in (8, 16, 32, 64) and tokens[at + 1].glued:
        if tokens[at + 1].low in ("ths", "th", "s", "nds", "nd"):
            return int(tokens[at].value or 1), at + 2
    return None


def _long_denominator(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    first, second = low_at(tokens, at), low_at(tokens, at + 1)
    if first == "thirty" and second in ("second", "seconds"):
        return 32, at + 2
    if first == "sixty" and second in ("fourth", "fourths"):
        return 64, at + 2
    return None


def is_below_the_line(tokens: Sequence[Token], at: int) -> bool:
    """Tell "eleven | sixty fourths" from "sixty four"."""
    return _long_denominator(tokens, at) is not None


def starts_fraction(tokens: Sequence[Token], at: int) -> bool:
    """Tell "twenty | three eighths" from "twenty three"."""
    low = low_at(tokens, at + 1)
    return low in DENOMINATORS and low not in ("half", "third", "quarter", "second")


def is_lowest(top: Fraction, bottom: int) -> bool:
    """Tell "three eighths" from "two | quarter" (nobody says two quarters for a half)."""
    return top.denominator == 1 and gcd(int(top), bottom) == 1 and 0 < top < bottom


def fraction_after(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """Read "and a half", "and three quarters", "and 3/8" after a whole number."""
    if low_at(tokens, at) not in ("and", "an", "n", "&"):
        return None
    at = at + 1 if low_at(tokens, at) in ("and", "n", "&") else at
    low = low_at(tokens, at)
    if at < len(tokens) and tokens[at].value is not None and "/" in low:
        value = tokens[at].value
        return (value, at + 1) if value is not None and value < 1 else None
    if low in ("a", "an"):
        return _one_of(tokens, at + 1)
    if low == "half" and low_at(tokens, at - 1) in ("and", "n", "&"):
        return Fraction(1, 2), at + 1
    top, end = _top_of(tokens, at)
    denominator = denominator_after(tokens, end)
    if top and denominator and top < denominator[0]:
        return Fraction(top, denominator[0]), denominator[1]
    return None


def _top_of(tokens: Sequence[Token], at: int) -> tuple[int, int]:
    """Give the number above the line and its end: "three", "3", "twenty one"; 0 where there is none."""
    low = low_at(tokens, at)
    if at < len(tokens) and tokens[at].value is not None and low.isdigit():
        return int(low[:4]), at + 1
    if low in TENS and not is_below_the_line(tokens, at):
        unit = UNITS.get(low_at(tokens, at + 1), 0)
        return (TENS[low] + unit, at + 2) if 0 < unit < 10 else (TENS[low], at + 1)
    return UNITS.get(low, 0), at + 1


def _one_of(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """Read what follows "a" or "an": "half", "sixteenth", "thirty second"."""
    if found := _long_denominator(tokens, at):
        return Fraction(1, found[0]), found[1]
    low = low_at(tokens, at)
    if low in DENOMINATORS and not low.endswith("s") and low != "second":
        return Fraction(1, DENOMINATORS[low]), at + 1
    return None
