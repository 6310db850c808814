"""The words that make numbers, and what a number is.

In: nothing. Out: word lists and `Number`. Never reads a remark.
Sources: English numerals, ordinals and fractions; the regional forms are common usage (no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from notebook.reading.words import Token

UNITS = {
    w: n
    for n, w in enumerate(
        (
            "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
            "sixteen seventeen eighteen nineteen"
        ).split()
    )
} | {"fower": 4, "seeven": 7}
TENS = {
    w: 10 * n for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
} | {"fourty": 40}
ZEROS = frozenset({"oh", "o", "nought", "naught", "nil", "zero", "ought"})
HUNDRED = frozenset({"hundred", "hunner", "hunder", "hunnert", "hunnerd"})
SCALES = {"thousand": 1000, "million": 1_000_000, "grand": 1000, "thoosand": 1000, "thousan": 1000}
_DENOMINATOR_WORDS = {
    "half": 2, "halve": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7,
    "eighth": 8, "ninth": 9, "tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13, "fourteenth": 14,
    "fifteenth": 15, "sixteenth": 16, "seventeenth": 17, "eighteenth": 18, "nineteenth": 19, "twentieth": 20,
}  # fmt: skip
DENOMINATORS = (
    _DENOMINATOR_WORDS
    | {f"{w}s": n for w, n in _DENOMINATOR_WORDS.items()}
    | {"halves": 2, "8ths": 8, "16ths": 16, "8th": 8, "16th": 16}
)
ALONE = frozenset({"half", "quarter", "eighth", "sixteenth"})
"""Fractions said without "a" or "one": "half thou", "quarter inch", "sixteenth drill"."""
ORDINALS = {
    w: n
    for n, w in enumerate(
        (
            "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth "
            "fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth"
        ).split(),
        1,
    )
}


@dataclass(frozen=True, slots=True)
class Number:
    """A number over tokens [start, end): its exact value and how it was said."""

    value: Fraction
    start: int
    end: int
    shape: str
    """`integer`, `decimal`, `fraction`, `mixed`, `digits` ("one seven four") or `elided` ("one twenty" for 120)."""
    spoken: bool
    """True when at least part of it was in words."""


def low_at(tokens: Sequence[Token], at: int) -> str:
    """Give the plain word at a place, or nothing beyond the ends."""
    return tokens[at].low if 0 <= at < len(tokens) else ""
