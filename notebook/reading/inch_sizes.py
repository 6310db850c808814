"""Inch sizes as said before a thread's system: "three eighths", "an inch and an eighth", "quarter inch".

In: tokens and a place. Out: the sizes that can begin there, likeliest first. Never says which thread it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from notebook.reading.numbers import Number, read_number
from notebook.reading.thread_words import (
    INCHES,
    has_number,
    low_at,
)
from notebook.reading.words import Token

_SYSTEMS: dict[tuple[str, ...], str] = {
    ("bsf",): "BSF", ("b", "s", "f"): "BSF", ("british", "standard", "fine"): "BSF", ("besf",): "BSF", ("bsfs",): "BSF",
    ("bsw",): "BSW", ("b", "s", "w"): "BSW", ("whitworth",): "BSW", ("whit",): "BSW", ("witworth",): "BSW",
    ("whit", "worth"): "BSW", ("wit", "worth"): "BSW", ("whits",): "BSW", ("with", "worth"): "BSW",
    ("white", "worth"): "BSW", ("whitworths",): "BSW",
    ("unf",): "UNF", ("u", "n", "f"): "UNF", ("national", "fine"): "UNF", ("unified", "fine"): "UNF",
    ("unc",): "UNC", ("u", "n", "c"): "UNC", ("national", "coarse"): "UNC", ("unified", "coarse"): "UNC",
    ("uncs",): "UNC", ("unfs",): "UNF", ("coarse",): "UNC", ("fine",): "UNF", ("fine", "thread"): "UNF",
    ("coarse", "thread"): "UNC", ("unef",): "UNEF",
    ("bsp",): "BSP", ("b", "s", "p"): "BSP", ("bspt",): "BSPT", ("bspp",): "BSP", ("pipe", "thread"): "BSP",
    ("gas", "thread"): "BSP", ("npt",): "NPT", ("n", "p", "t"): "NPT", ("bsp", "taper"): "BSPT", ("bsp", "parallel"): "BSP",
    ("cycle", "thread"): "BSC", ("bsc",): "BSC", ("cei",): "BSC", ("b", "s", "c"): "BSC", ("cycle",): "BSC",
    ("ba",): "BA", ("b", "a"): "BA", ("bees", "a"): "BA", ("bas",): "BA", ("b.a",): "BA",
}  # fmt: skip

_LONGEST_SYSTEM = 3

_FIRST_OF_SYSTEM = frozenset(words[0] for words in _SYSTEMS)


@dataclass(frozen=True, slots=True)
class Size:
    value: Fraction
    start: int
    end: int
    shape: str
    spoken: bool = True
    is_numbered: bool = False
    has_inch: bool = False


def sizes(tokens: Sequence[Token], at: int) -> Iterator[Size]:
    """Give the sizes that can be meant from a token on, the longest first."""
    low = tokens[at].low
    if low in ("number", "no.", "#") and has_number(tokens, at + 1):
        number = read_number(tokens, at + 1)
        for one in _shorter(tokens, number) if number else ():
            yield Size(one.value, at, one.end, one.shape, one.spoken, is_numbered=True)
        return
    if (whole := inch_and(tokens, at)) is not None:
        yield whole
        return
    if low in ("inch", "inches") and low_at(tokens, at - 1) not in ("an", "the", "to", "per", "of", "half", "quarter"):
        yield Size(Fraction(1), at, at + 1, "integer", has_inch=True)
        return
    number = read_number(tokens, at)
    if number is None or _is_count_before(tokens, number) or _is_quarter_of_three(tokens, at):
        return
    for one in _shorter(tokens, number):
        yield with_inch(tokens, Size(one.value, at, _over_ordinal(tokens, one.end), one.shape, one.spoken))


def _shorter(tokens: Sequence[Token], number: Number) -> list[Number]:
    """Give the number and its shorter reading ("ten thirty two" may be ten, then thirty two)."""
    out = [number]
    if number.shape in ("elided", "digits"):
        first = read_number(tokens[: number.start + 1], number.start)
        if first:
            out.append(first)
    return out


def inch_and(tokens: Sequence[Token], at: int) -> Size | None:
    """Read "inch and an eighth", "an inch and a quarter", "1-1/8": one and something."""
    start = at
    if low_at(tokens, at) in ("a", "an", "one", "1") and low_at(tokens, at + 1) == "inch":
        at += 1
    if low_at(tokens, at) == "inch" and low_at(tokens, at + 1) in ("and", "&"):
        part = read_number(tokens, at + 2)
        if part is not None and 0 < part.value < 1:
            return with_inch(tokens, Size(1 + part.value, start, part.end, "mixed", has_inch=True))
    whole = tokens[start].value
    if whole and whole.denominator == 1 and low_at(tokens, start + 1) == "-" and start + 2 < len(tokens):
        part_value = tokens[start + 2].value
        if part_value is not None and "/" in tokens[start + 2].low and part_value < 1 and whole < 4:
            return with_inch(tokens, Size(whole + part_value, start, start + 3, "mixed"))
    return None


def with_inch(tokens: Sequence[Token], size: Size) -> Size:
    """Step over "inch", "of an inch" and a hyphen after it: "half-inch-13"."""
    at = size.end
    if low_at(tokens, at) == "of" and low_at(tokens, at + 2) == "inch":
        return Size(size.value, size.start, at + 3, size.shape, size.spoken, has_inch=True)
    if low_at(tokens, at) in INCHES and low_at(tokens, at + 1) not in ("the", "a", "it"):
        return Size(size.value, size.start, at + 1, size.shape, size.spoken, has_inch=True)
    return size


def _over_ordinal(tokens: Sequence[Token], at: int) -> int:
    """Step over the tail of "5/16ths"."""
    return at + 1 if at < len(tokens) and tokens[at].glued and tokens[at].low in ("ths", "th", "rds", "nds") else at


def _is_count_before(tokens: Sequence[Token], number: Number) -> bool:
    """ "Two 7/16 BSF studs" and "three 3/4 BSF" are so many of a size; "1 1/8 BSF" and "2 1/4 BSW nut" are one size."""
    if number.shape != "mixed" or number.end - number.start != 2 or "/" not in tokens[number.end - 1].low:
        return False
    if number.value >= 3 or tokens[number.start].value is None:
        return True
    following = [t.low for t in tokens[number.end + 1 : number.end + 4]]
    return number.value >= 2 and any(w.endswith("s") and w not in ("is", "'s", "was", "s") for w in following)


def _is_quarter_of_three(tokens: Sequence[Token], at: int) -> bool:
    """In "three | three quarter BSF" and "three-quarter BSF" the quarter does not begin a size of its own."""
    if tokens[at].low not in ("quarter", "quarters") or low_at(tokens, at - 1) != "three":
        return False
    return tokens[at].hyphened or low_at(tokens, at + 1) == "inch" or has_number(tokens, at - 2)


def is_fraction(size: Size) -> bool:
    return size.shape in ("fraction", "mixed") or size.value.denominator > 1


def system_at(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    if low_at(tokens, at) not in _FIRST_OF_SYSTEM:
        return None
    words = tuple(t.low for t in tokens[at : at + _LONGEST_SYSTEM])
    for n in range(len(words), 0, -1):
        if name := _SYSTEMS.get(words[:n]):
            return name, at + n
    return None
