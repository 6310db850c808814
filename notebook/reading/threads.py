"""Names of threads as said: "em six", "M10 by one and a quarter", "three eighths BSF", "quarter twenty", "two BA".

In: tokens and a place among them. Out: the thread's usual name and, where said with it, a length.
Metric names are read here, inch, BA, pipe and cycle names in `inch_threads`.
Never judges whether the thread exists (the tables do): "three sevenths BSF" is a name too.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache

from notebook.reading.inch_threads import read_inch_thread
from notebook.reading.numbers import Number, read_number
from notebook.reading.thread_words import (
    BY,
    MILLIMETRES,
    PLURAL_SIZES,
    ThreadName,
    has_number,
    low_at,
    over_plural,
    show_decimal,
)
from notebook.reading.words import Token
from notebook.tables.thread_table import all_threads

__all__ = ["ThreadName", "read_thread"]

_HEARD_FOR_SIZE = {"ate": 8, "ates": 8, "sex": 6, "tan": 10, "fore": 4}
""" "M ate bolts": what is heard where only a size can stand. source: common misheard numbers (no source)"""
_LARGEST_PITCH_MM = 6
_SHORTEST_LENGTH_MM = 4


def read_thread(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Give the thread whose name begins at a token, or None."""
    low = low_at(tokens, at)
    if low in ("m", "em", "metric") or (low == "them" and tokens[at].text.lower() == "em"):
        return _read_metric(tokens, at) if _may_be_m(tokens, at) else None
    if low == "g":
        return _read_pipe(tokens, at, "G")
    if low == "r":
        return _read_pipe(tokens, at, "R")
    return _read_bare_metric(tokens, at) or read_inch_thread(tokens, at)


def _may_be_m(tokens: Sequence[Token], at: int) -> bool:
    """Tell the letter of "two em six screws" from the pronoun of "one of em six foot down" and "put em ten apart"."""
    if tokens[at].text.lower() == "m" or low_at(tokens, at) == "metric":
        return True
    before = low_at(tokens, at - 1)
    if before in ("of", "on", "in", "all", "both", "to", "with", "for", "from", "at", "off"):
        return False
    if before in ("", ",", ".", "a", "an", "the", "by", "and", "is", "are", "'s", "off") or has_number(tokens, at - 1):
        return True
    size = read_number(tokens, at + 1)
    following = low_at(tokens, size.end) if size else ""
    return following in BY or following.rstrip("s") in ("bolt", "screw", "nut", "stud", "cap", "thread")


# --- metric ----------------------------------------------------------------------------------------------


def _read_metric(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Read "M6", "em eight by 1.25 by forty", "metric ten"; None for "metric 13 mil spanner"."""
    size = _size(tokens, at + 1)
    if size is None or not 1 <= size.value <= 100 or size.shape in ("fraction", "elided"):
        return None
    if low_at(tokens, at) == "metric" and (
        low_at(tokens, size.end) in MILLIMETRES | _NOT_AFTER_METRIC or size.value.denominator != 1
    ):
        return None
    name, end = f"M{show_decimal(size.value)}", over_plural(tokens, size.end)
    length = None
    if low_at(tokens, end) == "fine":
        name, end = f"{name} fine", end + 1
    elif (pitch := _pitch(tokens, size, end)) is not None:
        name, end = f"{name}x{show_decimal(pitch[0])}", pitch[1]
    if low_at(tokens, end) in BY and (long := _length(tokens, end + 1)) is not None:
        length, end = long
    return ThreadName(name=name, start=at, end=end, length_mm=length)


_NOT_AFTER_METRIC = frozenset("spanner spanners socket sockets wrench key keys hex ring of off ton tons tonne".split())


def _size(tokens: Sequence[Token], at: int) -> Number | None:
    """Read the size after M: one plain number, so that "M six eight off" stops at six."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.value is not None:
        return Number(token.value, at, at + 1, "integer", False) if "/" not in token.low else None
    if token.low in PLURAL_SIZES or token.low in _HEARD_FOR_SIZE:
        value = PLURAL_SIZES.get(token.low) or _HEARD_FOR_SIZE[token.low]
        return Number(Fraction(value), at, at + 1, "integer", True)
    number = read_number(tokens, at)
    if number is None:
        return None
    if number.shape in ("elided", "mixed", "digits"):
        return read_number(tokens[: at + 1], at)
    return number


def _pitch(tokens: Sequence[Token], size: Number, end: int) -> tuple[Fraction, int] | None:
    """Read the pitch after a metric size, and where its words end."""
    is_joined = low_at(tokens, end) in BY or (low_at(tokens, end) == "-" and has_number(tokens, end + 1))
    at = end + 1 if is_joined else end
    if not has_number(tokens, at):
        return None
    pitch = read_number(tokens, at)
    if pitch is None:
        return None
    is_named = low_at(tokens, pitch.end) == "pitch"
    value, end = pitch.value, pitch.end + is_named
    if (hundredths := _hundredths(tokens, size.value, pitch, is_joined or is_named)) is not None:
        return hundredths[0], hundredths[1] + (low_at(tokens, hundredths[1]) == "pitch")
    if value > _LARGEST_PITCH_MM or low_at(tokens, pitch.end) in MILLIMETRES | {"long"}:
        return None
    if is_joined:
        return None if value > size.value / 2 and value > 1 and size.value > 2 else (value, end)
    return (
        (value, end) if is_named or (pitch.shape in ("decimal", "mixed") and value in _pitches_of(size.value)) else None
    )


def _hundredths(tokens: Sequence[Token], size: Fraction, pitch: Number, is_joined: bool) -> tuple[Fraction, int] | None:
    """ "M10 by one twenty five" and "M12 one seventy five" name a pitch of that size, 1.25 and 1.75, not a length."""
    value, end = pitch.value, pitch.end
    if value == 1 and not pitch.spoken and end < len(tokens) and tokens[end].value in _QUARTERS and not is_joined:
        value, end = Fraction(100 + int(tokens[end].value or 0)), end + 1
    if not 100 < value < 400 or value.denominator != 1 or value / 100 not in _pitches_of(size):
        return None
    if low_at(tokens, end) in MILLIMETRES | {"long"}:
        return None
    is_length_too = is_joined and not pitch.spoken and value % 25 == 0 and value % 50 == 0
    return None if is_length_too else (value / 100, end)


_QUARTERS = frozenset({25, 50, 75})


@cache
def _pitches_of(size: Fraction) -> frozenset[Fraction]:
    """Give the pitches that a metric size has, coarse and fine."""
    return frozenset(Fraction(t.pitch_mm) for t in all_threads() if t.family == "M" and Fraction(t.major_mm) == size)


def _length(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """Read the length after "by": "by 25", "by forty long", "by an inch and a half"."""
    if low_at(tokens, at) in ("a", "an") and low_at(tokens, at + 1) == "inch":
        part = read_number(tokens, at + 3) if low_at(tokens, at + 2) == "and" else None
        return (Fraction("25.4") * (1 + part.value), part.end) if part else (Fraction("25.4"), at + 2)
    long = read_number(tokens, at) if has_number(tokens, at) else None
    if long is None:
        return None
    if low_at(tokens, long.end) in ("inch", "inches", '"', "in") and long.value <= 12:
        return long.value * Fraction("25.4"), long.end + 1
    if long.value < _SHORTEST_LENGTH_MM:
        return None
    end = over_plural(tokens, long.end)
    while low_at(tokens, end) in MILLIMETRES | {"long"}:
        end += 1
    return long.value, end


def _read_bare_metric(tokens: Sequence[Token], at: int) -> ThreadName | None:
    """Read "ten by one and a half bolts": a metric size without its M; a name only among fasteners."""
    size = read_number(tokens, at) if has_number(tokens, at) else None
    if size is None or size.value.denominator != 1 or not 3 <= size.value <= 64 or size.shape != "integer":
        return None
    end = size.end + (low_at(tokens, size.end) in ("mm", "mil"))
    if low_at(tokens, end) not in BY or not has_number(tokens, end + 1):
        return None
    pitch = read_number(tokens, end + 1)
    if pitch is None or pitch.value not in _pitches_of(size.value) or pitch.shape not in ("decimal", "mixed"):
        return None
    if low_at(tokens, pitch.end) in MILLIMETRES:
        return None
    name = f"M{show_decimal(size.value)}x{show_decimal(pitch.value)}"
    return ThreadName(name=name, start=at, end=pitch.end, sure=False)


# --- pipe threads by their letter ---------------------------------------------------------------------------


def _read_pipe(tokens: Sequence[Token], at: int, letter: str) -> ThreadName | None:
    """Read "G quarter", "G1/8", "R 3/8"."""
    number = read_number(tokens, at + 1)
    if number is None or not (number.shape in ("fraction", "mixed") or (letter == "G" and number.value in (1, 2))):
        return None
    whole, rest = divmod(number.value, 1)
    size = f"{whole} {rest}" if whole and rest else str(rest or whole)
    return ThreadName(name=f"{letter} {size}", start=at, end=number.end)


def metric_size_mm(name: str) -> Decimal | None:
    """Give the diameter in a metric thread's name ("M8x1.25" 8), None for any other."""
    head = name.removeprefix("M").split("x")[0].split()[0] if name.startswith("M") else ""
    return Decimal(head) if head.replace(".", "", 1).isdecimal() else None
