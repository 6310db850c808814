"""Words that names of threads are made of, and the name itself.

In and out: used by `threads` and `inch_threads`. Holds no rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from notebook.reading.number_words import TENS, UNITS
from notebook.reading.numbers import read_number
from notebook.reading.words import Token

BY = frozenset({"x", "by", "×", "times", "buy", "bye"})
MILLIMETRES = frozenset(
    {"mm", "mil", "mils", "mill", "mills", "millimetre", "millimetres", "millimeter", "millimeters"}
)
INCHES = frozenset({"inch", "inches", "in", '"', "″"})


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadName:
    """A thread over tokens [start, end)."""

    name: str
    start: int
    end: int
    length_mm: Fraction | None = None
    sure: bool = True
    """False for a bare pair of numbers ("half twenty"), which is a thread only among fasteners."""


def _plural(word: str) -> str:
    return f"{word[:-1]}ies" if word.endswith("y") else f"{word}es" if word.endswith("x") else f"{word}s"


PLURAL_SIZES = {_plural(word): value for word, value in (*UNITS.items(), *TENS.items()) if value}
""" "eights", "sixes", "twenties": sizes said in the plural."""


def low_at(tokens: Sequence[Token], at: int) -> str:
    """Give a token's word, empty beyond the ends."""
    return tokens[at].low if 0 <= at < len(tokens) else ""


def has_number(tokens: Sequence[Token], at: int) -> bool:
    """Tell whether a number that can be a size begins here."""
    return 0 <= at < len(tokens) and tokens[at].low not in ("a", "an") and read_number(tokens, at) is not None


def over_plural(tokens: Sequence[Token], at: int) -> int:
    """Step over the plural's own letter in "M8s" and "M6's round the edge"."""
    if at < len(tokens) and tokens[at].glued and tokens[at].low == "s":
        return at + 1
    return at


def show_decimal(value: Fraction) -> str:
    """Write a size without idle zeros."""
    return f"{float(value):g}"


def show_inches(value: Fraction) -> str:
    """Write an inch size as it is printed: "1 1/8", "3/8", "2"."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)
