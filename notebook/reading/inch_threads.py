"""Names of inch, BA, pipe and cycle threads as said: "three eighths BSF", "quarter twenty", "2 BA", "half inch BSP".

In: tokens and a place among them. Out: the thread's usual name and, where said with it, a length in mm.
Never judges whether the thread exists.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from notebook.reading.numbers import Number, read_number
from notebook.reading.thread_words import (
    BY,
    INCHES,
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


@dataclass(frozen=True, slots=True)
class _Size:
    value: Fraction
    start: int
    end: int
    shape: str
    spoken: bool = True
    is_numbered: bool = False
    has_inch: bool = False


def read_inch_thread(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Give the inch, BA, pipe or cycle thread whose name begins at a token, or None."""
    if (small := _read_ba_misheard(tokens, at)) is not None:
        return small
    for size in _sizes(tokens, at):
        found = _named_system(tokens, size) or _by_tpi(tokens, size)
        if found:
            return _with_length(tokens, found)
    return _system_first(tokens, at)


# --- sizes -----------------------------------------------------------------------------------------------


def _sizes(tokens: Sequence[Token], at: int) -> Iterator[_Size]:
    """Give the sizes that can be meant from a token on, the longest first."""
    low = tokens[at].low
    if low in ("number", "no.", "#") and has_number(tokens, at + 1):
        number = read_number(tokens, at + 1)
        for one in _shorter(tokens, number) if number else ():
            yield _Size(one.value, at, one.end, one.shape, one.spoken, is_numbered=True)
        return
    if (whole := _inch_and(tokens, at)) is not None:
        yield whole
        return
    if low in ("inch", "inches") and low_at(tokens, at - 1) not in ("an", "the", "to", "per", "of", "half", "quarter"):
        yield _Size(Fraction(1), at, at + 1, "integer", has_inch=True)
        return
    number = read_number(tokens, at)
    if number is None or _is_count_before(tokens, number) or _is_quarter_of_three(tokens, at):
        return
    for one in _shorter(tokens, number):
        yield _with_inch(tokens, _Size(one.value, at, _over_ordinal(tokens, one.end), one.shape, one.spoken))


def _shorter(tokens: Sequence[Token], number: Number) -> list[Number]:
    """Give the number and its shorter reading ("ten thirty two" may be ten, then thirty two)."""
    out = [number]
    if number.shape in ("elided", "digits"):
        first = read_number(tokens[: number.start + 1], number.start)
        if first:
            out.append(first)
    return out


def _inch_and(tokens: Sequence[Token], at: int) -> _Size | None:
    """Read "inch and an eighth", "an inch and a quarter", "1-1/8": one and something."""
    start = at
    if low_at(tokens, at) in ("a", "an", "one", "1") and low_at(tokens, at + 1) == "inch":
        at += 1
    if low_at(tokens, at) == "inch" and low_at(tokens, at + 1) in ("and", "&"):
        part = read_number(tokens, at + 2)
        if part is not None and 0 < part.value < 1:
            return _with_inch(tokens, _Size(1 + part.value, start, part.end, "mixed", has_inch=True))
    whole = tokens[start].value
    if whole and whole.denominator == 1 and low_at(tokens, start + 1) == "-" and start + 2 < len(tokens):
        part_value = tokens[start + 2].value
        if part_value is not None and "/" in tokens[start + 2].low and part_value < 1 and whole < 4:
            return _with_inch(tokens, _Size(whole + part_value, start, start + 3, "mixed"))
    return None


def _with_inch(tokens: Sequence[Token], size: _Size) -> _Size:
    """Step over "inch", "of an inch" and a hyphen after it: "half-inch-13"."""
    at = size.end
    if low_at(tokens, at) == "of" and low_at(tokens, at + 2) == "inch":
        return _Size(size.value, size.start, at + 3, size.shape, size.spoken, has_inch=True)
    if low_at(tokens, at) in INCHES and low_at(tokens, at + 1) not in ("the", "a", "it"):
        return _Size(size.value, size.start, at + 1, size.shape, size.spoken, has_inch=True)
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


# --- a size and its system ---------------------------------------------------------------------------------


def _named_system(tokens: Sequence[Token], size: _Size) -> ThreadName | None:
    """Read "3/8 BSF", "half inch Whitworth", "1/4-28 UNF", "three eighths UNF twenty four", "2 BA", "quarter BSP"."""
    tpi, at = _tpi_before_system(tokens, size.end)
    found = _system(tokens, at)
    if found is None:
        return None
    system, end = found
    if low_at(tokens, end) in _DRIVER_WORDS or (low_at(tokens, at) in ("fine", "coarse") and not _is_fraction(size)):
        return None
    if system == "BA":
        is_size = size.value.denominator == 1 and size.value <= 22 and size.shape == "integer"
        return ThreadName(name=f"{size.value} BA", start=size.start, end=end) if is_size else None
    if size.is_numbered:
        name = f"#{size.value}-{tpi} {system}" if tpi else f"#{size.value} {system}"
        return ThreadName(name=name, start=size.start, end=end) if system in ("UNC", "UNF") else None
    if size.value > 6 or not (_is_fraction(size) or size.has_inch or tpi or (system in ("BSP", "BSPT", "NPT"))):
        return None
    if system in ("BSP", "BSPT"):
        label = f"G {show_inches(size.value)}" if system == "BSP" else f"{show_inches(size.value)} BSPT"
        return ThreadName(name=label, start=size.start, end=end)
    if tpi is None:
        tpi, end = _tpi_after_system(tokens, size.value, system, end)
    name = f"{show_inches(size.value)}-{tpi}" if tpi else show_inches(size.value)
    is_sure = tpi is not None or tokens[at].low not in ("fine", "coarse", "cycle")
    return ThreadName(name=f"{name} {system}", start=size.start, end=over_plural(tokens, end), sure=is_sure)


def _is_fraction(size: _Size) -> bool:
    return size.shape in ("fraction", "mixed") or size.value.denominator > 1


def _tpi_before_system(tokens: Sequence[Token], at: int) -> tuple[int | None, int]:
    """Read the threads an inch between a size and its system ("1/4-28 | UNF"), if any."""
    skip = at + 1 if low_at(tokens, at) in (*BY, "-", ",", "of") else at
    if has_number(tokens, skip):
        second = read_number(tokens, skip)
        if second and second.value.denominator == 1 and 4 <= second.value <= 80:
            end = _over_tpi_words(tokens, second.end)
            if _system(tokens, end):
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
    found = _system(tokens, at)
    if found is None or not has_number(tokens, found[1]):
        return None
    number = read_number(tokens, found[1])
    if number is None or number.shape not in ("fraction", "mixed"):
        return None
    size = _with_inch(tokens, _Size(number.value, at, number.end, number.shape))
    nxt = low_at(tokens, size.end)
    if nxt in _DRIVER_WORDS or nxt in ("head", "heads", "hex", "af") or _system(tokens, size.end) or size.value > 6:
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


def _system(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    if low_at(tokens, at) not in _FIRST_OF_SYSTEM:
        return None
    words = tuple(t.low for t in tokens[at : at + _LONGEST_SYSTEM])
    for n in range(len(words), 0, -1):
        if name := _SYSTEMS.get(words[:n]):
            return name, at + n
    return None


# --- a size and its threads an inch -------------------------------------------------------------------------


def _by_tpi(tokens: Sequence[Token], size: _Size) -> ThreadName | None:
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


def _pair_name(size: _Size, tpi: int, end: int, *, is_sure: bool) -> ThreadName | None:
    series = _UNIFIED.get(size.value, {}).get(tpi)
    if series and (_is_fraction(size) or (size.has_inch and size.value >= 1)):
        return ThreadName(name=f"{show_inches(size.value)}-{tpi} {series}", start=size.start, end=end, sure=is_sure)
    if size.value in _CYCLE_SIZES and tpi == 24:
        return ThreadName(name=f"{show_decimal(size.value)}x24 tpi", start=size.start, end=end)
    if _is_fraction(size) and size.value < 2 and (is_sure or (size.value, tpi) == (Fraction(9, 16), 20)):
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
    size = _inch_and(tokens, at)
    if size is None:
        number = read_number(tokens, at)
        if number is None or number.value > 12:
            return thread
        size = _with_inch(tokens, _Size(number.value, at, number.end, number.shape))
    if low_at(tokens, size.end) in MILLIMETRES or _system(tokens, size.end):
        return thread
    end = size.end + (low_at(tokens, size.end) == "long")
    return ThreadName(
        name=thread.name, start=thread.start, end=end, length_mm=size.value * Fraction("25.4"), sure=thread.sure
    )
