"""Names of inch, BA, pipe and cycle threads as said: "three eighths BSF", "quarter twenty", "2 BA", "half inch BSP".

In: tokens and a place among them. Out: the thread's usual name and, where said with it, a length in mm.
Never judges whether the thread exists.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notebook.reading.inch_sizes import Size, inch_and, is_fraction, sizes, system_at, with_inch
from notebook.reading.numbers import read_number
from notebook.reading.thread_words import (
    BY,
    MILLIMETRES,
    PLURAL_SIZES,
    ThreadName,
    has_number,
    low_at,
    over_plural,
    show_decimal,
    show_inches,
)
from notebook.reading.words import Token

_UNIFIED = {
    Fraction(1, 4): {20: "UNC", 28: "UNF"}, Fraction(5, 16): {18: "UNC", 24: "UNF"},
    Fraction(3, 8): {16: "UNC", 24: "UNF"}, Fraction(7, 16): {14: "UNC", 20: "UNF"},
    Fraction(1, 2): {13: "UNC", 20: "UNF"}, Fraction(9, 16): {12: "UNC", 18: "UNF"},
    Fraction(5, 8): {11: "UNC", 18: "UNF"}, Fraction(3, 4): {10: "UNC", 16: "UNF"},
    Fraction(7, 8): {9: "UNC", 14: "UNF"}, Fraction(1): {8: "UNC", 12: "UNF", 14: "UNS"},
    Fraction(9, 8): {7: "UNC", 12: "UNF"}, Fraction(5, 4): {7: "UNC", 12: "UNF"},
    Fraction(3, 2): {6: "UNC", 12: "UNF"},
}  # fmt: skip
"""Unified threads that are named by size and threads an inch: ASME B1.1."""

_NUMBER_SIZES = {
    (2, 56): "UNC", (4, 40): "UNC", (5, 40): "UNC", (6, 32): "UNC", (8, 32): "UNC", (8, 36): "UNF", (10, 24): "UNC",
    (10, 32): "UNF", (12, 24): "UNC", (12, 28): "UNF",
}  # fmt: skip

_RUN_TOGETHER = {832: (8, 32), 632: (6, 32), 440: (4, 40), 1032: (10, 32), 1024: (10, 24)}
""" "1032 screws": a numbered size printed without its hyphen."""

_CYCLE_SIZES = frozenset(Fraction(s) for s in ("1.37", "1.375", "1.29"))
"""Bottom brackets and freewheels, 24 threads an inch: ISO 6696, ISO 6698."""

_HEARD_FOR_NUMBER = {"oh": 0, "o": 0, "nought": 0, "naught": 0, "zero": 0, "to": 2, "too": 2, "for": 4, "fore": 4}

_DRIVER_WORDS = frozenset(
    {"spanner", "spanners", "socket", "sockets", "wrench", "ring", "key", "open", "box", "combination"}
)

_UNITS_AFTER = MILLIMETRES | frozenset(
    "thou inch inches foot feet long off of degrees degree pound pounds newton newtons psi bar miles hours mile".split()
)

_TPI = (("tpi",), ("t", "p", "i"), ("threads", "per", "inch"), ("threads", "to", "the", "inch"), ("to", "the", "inch"),
        ("threads", "an", "inch"), ("threads", "inch"), ("threads",), ("thread",))  # fmt: skip


def read_inch_thread(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Give the inch, BA, pipe or cycle thread whose name begins at a token, or None."""
    if (small := _read_ba_misheard(tokens, at)) is not None:
        return small
    for size in sizes(tokens, at):
        found = _named_system(tokens, size) or _by_tpi(tokens, size)
        if found:
            return _with_length(tokens, found)
    return _system_first(tokens, at)


def _named_system(tokens: Sequence[Token], size: Size) -> ThreadName | None:
    """Read "3/8 BSF", "half inch Whitworth", "1/4-28 UNF", "three eighths UNF twenty four", "2 BA", "quarter BSP"."""
    tpi, at = _tpi_before_system(tokens, size.end)
    found = system_at(tokens, at)
    if found is None:
        return None
    system, end = found
    if low_at(tokens, end) in _DRIVER_WORDS or (low_at(tokens, at) in ("fine", "coarse") and not is_fraction(size)):
        return None
    if system == "BA":
        is_size = size.value.denominator == 1 and size.value <= 22 and size.shape == "integer"
        return ThreadName(name=f"{size.value} BA", start=size.start, end=end) if is_size else None
    if size.is_numbered:
        name = f"#{size.value}-{tpi} {system}" if tpi else f"#{size.value} {system}"
        return ThreadName(name=name, start=size.start, end=end) if system in ("UNC", "UNF") else None
    if size.value > 6 or not (is_fraction(size) or size.has_inch or tpi or (system in ("BSP", "BSPT", "NPT"))):
        return None
    if system in ("BSP", "BSPT"):
        label = f"G {show_inches(size.value)}" if system == "BSP" else f"{show_inches(size.value)} BSPT"
        return ThreadName(name=label, start=size.start, end=end)
    if tpi is None:
        tpi, end = _tpi_after_system(tokens, size.value, system, end)
    name = f"{show_inches(size.value)}-{tpi}" if tpi else show_inches(size.value)
    is_sure = tpi is not None or tokens[at].low not in ("fine", "coarse", "cycle")
    return ThreadName(name=f"{name} {system}", start=size.start, end=over_plural(tokens, end), sure=is_sure)


def _tpi_before_system(tokens: Sequence[Token], at: int) -> tuple[int | None, int]:
    """Read the threads an inch between a size and its system ("1/4-28 | UNF"), if any."""
    skip = at + 1 if low_at(tokens, at) in (*BY, "-", ",", "of") else at
    if has_number(tokens, skip):
        second = read_number(tokens, skip)
        if second and second.value.denominator == 1 and 4 <= second.value <= 80:
            end = _over_tpi_words(tokens, second.end)
            if system_at(tokens, end):
                return int(second.value), end
    return None, skip if low_at(tokens, at) == "of" else at


def _tpi_after_system(tokens: Sequence[Token], size: Fraction, system: str, end: int) -> tuple[int | None, int]:
    """Read "UNF | twenty four" where that is the pitch of the thread just named."""
    if not has_number(tokens, end):
        return None, end
    second = read_number(tokens, end)
    is_pitch = second is not None and second.value.denominator == 1 and (
        _UNIFIED.get(size, {}).get(int(second.value)) == system or _over_tpi_words(tokens, second.end) > second.end
    )  # fmt: skip
    if second is None or not is_pitch or low_at(tokens, second.end) in _UNITS_AFTER:
        return None, end
    return int(second.value), _over_tpi_words(tokens, second.end)


def _system_first(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Read the system before its size: "BSF quarter inch", "UNF three eighths", "BSP three quarter"."""
    if low_at(tokens, at) in ("fine", "coarse", "cycle", "ba", "b", "wit", "whit", "gas", "pipe"):
        return None
    found = system_at(tokens, at)
    if found is None or not has_number(tokens, found[1]):
        return None
    number = read_number(tokens, found[1])
    if number is None or number.shape not in ("fraction", "mixed"):
        return None
    size = with_inch(tokens, Size(number.value, at, number.end, number.shape))
    nxt = low_at(tokens, size.end)
    if nxt in _DRIVER_WORDS or nxt in ("head", "heads", "hex", "af") or system_at(tokens, size.end) or size.value > 6:
        return None
    if found[0] == "BSP":
        return ThreadName(name=f"G {show_inches(size.value)}", start=at, end=size.end)
    return ThreadName(name=f"{show_inches(size.value)} {found[0]}", start=at, end=size.end)


def _read_ba_misheard(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """ "Oh BA", "two to BA screws": the number as it is heard before BA."""
    number = _HEARD_FOR_NUMBER.get(low_at(tokens, at))
    if number is None or (
        low_at(tokens, at + 1) not in ("ba", "b.a")
        and not (low_at(tokens, at + 1) == "b" and low_at(tokens, at + 2) == "a")
    ):
        return None
    is_word = number in (2, 4)
    if is_word and not (low_at(tokens, at - 1) in ("", "a", "the", ",") or has_number(tokens, at - 1)):
        return None
    end = at + (2 if low_at(tokens, at + 1) != "b" else 3)
    return ThreadName(name=f"{number} BA", start=at, end=end, sure=not is_word)


def _by_tpi(tokens: Sequence[Token], size: Size) -> ThreadName | None:
    """Read "quarter twenty", "1/4-20", "ten thirty two", "1.37 by 24", "5/16 26 tpi"."""
    if size.value in _RUN_TOGETHER and size.end == size.start + 1 and not size.spoken:
        first, second = _RUN_TOGETHER[int(size.value)]
        name = f"#{first}-{second} {_NUMBER_SIZES[first, second]}"
        return ThreadName(name=name, start=size.start, end=over_plural(tokens, size.end), sure=False)
    at = size.end
    joined = low_at(tokens, at) if low_at(tokens, at) in (*BY, "-") else ""
    at += bool(joined)
    pitch = _whole_number(tokens, at)
    if pitch is None:
        return None
    tpi, end = pitch
    is_said = _over_tpi_words(tokens, end) > end
    end = _over_tpi_words(tokens, end)
    if low_at(tokens, end) in _UNITS_AFTER and not is_said:
        return None
    is_plural = low_at(tokens, end - 1) in PLURAL_SIZES or low_at(tokens, end - 1) == "s"
    return _pair_name(size, tpi, end, is_sure=joined == "-" or is_said or is_plural)


def _pair_name(size: Size, tpi: int, end: int, *, is_sure: bool) -> ThreadName | None:
    series = _UNIFIED.get(size.value, {}).get(tpi)
    if series and (is_fraction(size) or (size.has_inch and size.value >= 1)):
        return ThreadName(name=f"{show_inches(size.value)}-{tpi} {series}", start=size.start, end=end, sure=is_sure)
    if size.value in _CYCLE_SIZES and tpi == 24:
        return ThreadName(name=f"{show_decimal(size.value)}x24 tpi", start=size.start, end=end)
    if is_fraction(size) and size.value < 2 and (is_sure or (size.value, tpi) == (Fraction(9, 16), 20)):
        series = " BSC" if tpi == 26 else ""
        return ThreadName(name=f"{show_inches(size.value)}-{tpi}{series}", start=size.start, end=end)
    is_whole = size.value.denominator == 1
    series = _NUMBER_SIZES.get((int(size.value), tpi)) if is_whole else None
    if series and (size.is_numbered or is_sure or (size.shape == "integer" and size.spoken)):
        is_sure |= size.is_numbered
        return ThreadName(name=f"#{size.value}-{tpi} {series}", start=size.start, end=end, sure=is_sure)
    return None


def _whole_number(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Read the threads an inch, in the singular or the plural: "twenty", "20s", "thirty twos"."""
    low = low_at(tokens, at)
    if low in PLURAL_SIZES:
        return PLURAL_SIZES[low], at + 1
    if not has_number(tokens, at):
        return None
    number = read_number(tokens, at)
    if number is None or number.value.denominator != 1 or number.value > 80:
        return None
    value, end = int(number.value), number.end
    unit = PLURAL_SIZES.get(low_at(tokens, end), 0)
    if value % 10 == 0 and value >= 20 and 0 < unit < 10:
        return value + unit, end + 1
    return value, over_plural(tokens, end)


def _over_tpi_words(tokens: Sequence[Token], at: int) -> int:
    for words in _TPI:
        if tuple(t.low for t in tokens[at : at + len(words)]) == words:
            return at + len(words)
    return at


def _with_length(tokens: Sequence[Token], thread: ThreadName) -> ThreadName:
    """Read the length after an inch thread: "3/8 BSF by inch and a half", "quarter twenty by three quarter"."""
    if low_at(tokens, thread.end) not in BY:
        return thread
    at = thread.end + 1
    size = inch_and(tokens, at)
    if size is None:
        number = read_number(tokens, at)
        if number is None or number.value > 12:
            return thread
        size = with_inch(tokens, Size(number.value, at, number.end, number.shape))
    if low_at(tokens, size.end) in MILLIMETRES or system_at(tokens, size.end):
        return thread
    end = size.end + (low_at(tokens, size.end) == "long")
    return ThreadName(
        name=thread.name, start=thread.start, end=end, length_mm=size.value * Fraction("25.4"), sure=thread.sure
    )
