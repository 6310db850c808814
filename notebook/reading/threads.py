"""Names of threads as said: "em six", "three eighths BSF", "quarter twenty", "two BA", "M10 by one and a quarter".

In: tokens and a place among them. Out: the thread's usual name and, where said with it, a length.
Never judges whether the thread exists (the tables do): "three sevenths BSF" is a name too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from notebook.reading.numbers import Number, read_number
from notebook.reading.words import Token

_SYSTEMS: dict[tuple[str, ...], str] = {
    ("bsf",): "BSF", ("b", "s", "f"): "BSF", ("british", "standard", "fine"): "BSF", ("besf",): "BSF",
    ("bsw",): "BSW", ("b", "s", "w"): "BSW", ("whitworth",): "BSW", ("whit",): "BSW", ("witworth",): "BSW",
    ("whit", "worth"): "BSW", ("wit", "worth"): "BSW", ("whits",): "BSW", ("with", "worth"): "BSW",
    ("white", "worth"): "BSW", ("whitworths",): "BSW",
    ("unf",): "UNF", ("u", "n", "f"): "UNF", ("national", "fine"): "UNF", ("unified", "fine"): "UNF",
    ("unc",): "UNC", ("u", "n", "c"): "UNC", ("national", "coarse"): "UNC", ("unified", "coarse"): "UNC",
    ("bsp",): "BSP", ("b", "s", "p"): "BSP", ("bspt",): "BSPT", ("bspp",): "BSP", ("pipe", "thread"): "BSP",
    ("gas", "thread"): "BSP", ("npt",): "NPT", ("n", "p", "t"): "NPT",
    ("cycle", "thread"): "BSC", ("bsc",): "BSC", ("cei",): "BSC", ("b", "s", "c"): "BSC", ("cycle",): "BSC",
    ("ba",): "BA", ("b", "a"): "BA", ("bees", "a"): "BA",
}  # fmt: skip
_LONGEST_SYSTEM = 3
_UNIFIED = {
    Fraction(1, 4): {20: "UNC", 28: "UNF"}, Fraction(5, 16): {18: "UNC", 24: "UNF"},
    Fraction(3, 8): {16: "UNC", 24: "UNF"}, Fraction(7, 16): {14: "UNC", 20: "UNF"},
    Fraction(1, 2): {13: "UNC", 20: "UNF"}, Fraction(9, 16): {12: "UNC", 18: "UNF"},
    Fraction(5, 8): {11: "UNC", 18: "UNF"}, Fraction(3, 4): {10: "UNC", 16: "UNF"},
    Fraction(7, 8): {9: "UNC", 14: "UNF"}, Fraction(1): {8: "UNC", 12: "UNF", 14: "UNS"},
    Fraction(9, 8): {7: "UNC", 12: "UNF"}, Fraction(5, 4): {7: "UNC", 12: "UNF"},
}  # fmt: skip
"""Unified threads that are named by size and threads an inch: ASME B1.1."""
_NUMBER_SIZES = {(4, 40): "UNC", (6, 32): "UNC", (8, 32): "UNC", (10, 24): "UNC", (10, 32): "UNF", (12, 24): "UNC"}
_DRIVER_WORDS = frozenset({"spanner", "spanners", "socket", "sockets", "wrench", "ring", "key"})
_BY = frozenset({"x", "by", "×", "times", "buy"})


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadName:
    """A thread over tokens [start, end)."""

    name: str
    start: int
    end: int
    length_mm: Fraction | None = None
    sure: bool = True
    """False for a bare pair of numbers ("half twenty"), which is a thread only among fasteners."""


def read_thread(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Give the thread whose name begins at a token, or None."""
    low = tokens[at].low
    if low == "em" and at and tokens[at - 1].low in ("of", "on", "in", "all", "both"):
        return None
    if low in ("m", "em") or (low == "n" and _is_glued_number(tokens, at + 1)):
        return _metric(tokens, at)
    if low == "g" and at + 1 < len(tokens):
        number = read_number(tokens, at + 1)
        if number and (number.shape in ("fraction", "mixed") or number.value in (1, 2)):
            return ThreadName(name=f"G {_inch(number.value)}", start=at, end=number.end)
        return None
    return _inch_thread(tokens, at)


def _is_glued_number(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].is_number and tokens[at].glued and False


def _metric(tokens: Sequence[Token], at: int) -> ThreadName | None:
    number = _size(tokens, at + 1)
    if number is None or not 1 <= number.value <= 100 or number.shape in ("fraction", "elided"):
        return None
    name, end, length = f"M{_decimal(number.value)}", number.end, None
    if _low(tokens, end) in _BY or (_low(tokens, end) == "-" and _has_number(tokens, end + 1)):
        pitch = read_number(tokens, end + 1) if end + 1 < len(tokens) else None
        if pitch and pitch.value <= 6 and not (pitch.value > number.value / 2 and pitch.value > 1 and number.value > 2):
            name, end = f"{name}x{_decimal(pitch.value)}", pitch.end
            if _low(tokens, end) in ("pitch",):
                end += 1
    elif _low(tokens, end) in ("fine", "coarse") and _low(tokens, end) == "fine":
        name, end = f"{name} fine", end + 1
    elif (pitch := _pitch_after(tokens, end)) is not None:
        name, end = f"{name}x{_decimal(pitch.value)}", pitch.end
        if _low(tokens, end) == "pitch":
            end += 1
    if _low(tokens, end) in _BY and _has_number(tokens, end + 1):
        long = read_number(tokens, end + 1)
        if long and long.value >= 4:
            length, end = long.value, long.end
            if _low(tokens, end) in ("mm", "mil", "long", "mill"):
                end += 1
    return ThreadName(name=name, start=at, end=end, length_mm=length)


def _pitch_after(tokens: Sequence[Token], at: int) -> Number | None:
    """Read "one point two five pitch" or "1.25" right after an M size."""
    if not _has_number(tokens, at):
        return None
    pitch = read_number(tokens, at)
    if pitch and pitch.shape == "decimal" and pitch.value in _PITCHES:
        return pitch
    if pitch and _low(tokens, pitch.end) == "pitch" and pitch.value <= 6:
        return pitch
    return None


_PITCHES = frozenset(Fraction(p) for p in ("0.5", "0.7", "0.75", "0.8", "1.25", "1.5", "1.75", "2.5", "3.5"))


def _size(tokens: Sequence[Token], at: int) -> Number | None:
    """Read the size after M: one plain number, so that "M six eight off" stops at six."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.value is not None:
        return Number(token.value, at, at + 1, "integer", False) if "/" not in token.low else None
    number = read_number(tokens, at)
    if number is None:
        return None
    if number.shape in ("elided", "mixed"):
        return read_number(tokens[: at + 1], at)
    return number


def _inch_thread(tokens: Sequence[Token], at: int) -> ThreadName | None:
    start = at
    is_number_size = tokens[at].low in ("number", "no.", "#")
    if is_number_size:
        at += 1
    number = read_number(tokens, at) if at < len(tokens) else None
    if number is None:
        return None
    for candidate in _shorter(tokens, number):
        found = _named_system(tokens, start, candidate) or _by_tpi(tokens, start, candidate, is_number_size)
        if found:
            return found
    return None


def _shorter(tokens: Sequence[Token], number: Number) -> list[Number]:
    """Give the number and its shorter reading ("ten thirty two" may be ten, then thirty two)."""
    out = [number]
    if number.shape == "elided":
        first = read_number(tokens[: number.start + 1], number.start)
        if first:
            out.append(first)
    return out


def _named_system(tokens: Sequence[Token], start: int, number: Number) -> ThreadName | None:
    at, tpi = number.end, None
    if _low(tokens, at) in ("inch", "in", '"', "of"):
        at += 3 if _low(tokens, at) == "of" and _low(tokens, at + 2) == "inch" else 1
    if _low(tokens, at) in ("by", "x", "-", ",") or _has_number(tokens, at):
        skip = at + 1 if not _has_number(tokens, at) else at
        second = read_number(tokens, skip) if skip < len(tokens) else None
        if second and second.value.denominator == 1 and 6 <= second.value <= 80 and _system(tokens, second.end):
            tpi, at = int(second.value), second.end
    system = _system(tokens, at)
    if system is None:
        return None
    name, end = system
    if _low(tokens, end) in _DRIVER_WORDS or (_low(tokens, end) == "ring" and _low(tokens, end + 1) == "spanner"):
        return None
    if name == "BA":
        if number.value.denominator != 1 or number.value > 22:
            return None
        return ThreadName(name=f"{number.value} BA", start=start, end=end)
    if name in ("BSP", "BSPT"):
        label = f"G {_inch(number.value)}" if name == "BSP" else f"{_inch(number.value)} BSPT"
        return ThreadName(name=label, start=start, end=end)
    if number.value > 6:
        return None
    if name == "BSC" and number.shape not in ("fraction", "mixed") and number.value != 1:
        return None
    size = f"{_inch(number.value)}-{tpi}" if tpi else _inch(number.value)
    return ThreadName(name=f"{size} {name}", start=start, end=end)


def _by_tpi(tokens: Sequence[Token], start: int, number: Number, is_number_size: bool) -> ThreadName | None:
    at = number.end
    if _low(tokens, at) in ("-", "by", "x"):
        at += 1
    if not _has_number(tokens, at):
        return None
    second = read_number(tokens, at)
    if second is None or second.value.denominator != 1:
        return None
    series = _UNIFIED.get(number.value, {}).get(int(second.value))
    printed = _low(tokens, number.end) == "-"
    if series and number.shape in ("fraction", "mixed"):
        return ThreadName(
            name=f"{_inch(number.value)}-{second.value} {series}", start=start, end=second.end, sure=printed
        )
    series = _NUMBER_SIZES.get((int(number.value), int(second.value))) if number.value.denominator == 1 else None
    if series and (is_number_size or printed):
        return ThreadName(name=f"#{number.value}-{second.value} {series}", start=start, end=second.end)
    if series and number.shape == "integer" and number.spoken:
        return ThreadName(name=f"#{number.value}-{second.value} {series}", start=start, end=second.end, sure=False)
    return None


def _system(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    words = tuple(t.low for t in tokens[at : at + _LONGEST_SYSTEM])
    for n in range(len(words), 0, -1):
        if name := _SYSTEMS.get(words[:n]):
            return name, at + n
    return None


def _has_number(tokens: Sequence[Token], at: int) -> bool:
    return at < len(tokens) and read_number(tokens, at) is not None and tokens[at].low not in ("a", "an")


def _inch(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _decimal(value: Fraction) -> str:
    return f"{float(value):g}"


def _low(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].low if 0 <= at < len(tokens) else ""
