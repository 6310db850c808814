"""Numbers as spoken or printed: tokens in, exact values out.

In: tokens and a place among them. Out: every reading of the number that begins there,
longest first. Never decides what a number is of (amounts and threads do), never rounds.

Examples: "forty-one thousand two hundred" 41200, "one twenty" 120, "nought point oh five" 0.05,
"an eighth", "three eighths" 3/8, "nine and a half" 9.5, "twenty two hundred" 2200.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd

from notebook.reading.words import Token

UNITS = {
    w: n
    for n, w in enumerate(
        (
            "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
            "sixteen seventeen eighteen nineteen"
        ).split()
    )
}
TENS = {
    w: 10 * n for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
} | {"fourty": 40}
ZEROS = frozenset({"oh", "o", "nought", "naught", "nil", "zero", "ought"})
SCALES = {"thousand": 1000, "million": 1_000_000, "grand": 1000}
_DENOMINATOR_WORDS = {
    "half": 2, "halve": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7,
    "eighth": 8, "ninth": 9, "tenth": 10, "twelfth": 12, "sixteenth": 16, "twentieth": 20,
}  # fmt: skip
DENOMINATORS = (
    _DENOMINATOR_WORDS
    | {f"{w}s": n for w, n in _DENOMINATOR_WORDS.items()}
    | {"halves": 2, "8ths": 8, "16ths": 16, "8th": 8, "16th": 16}
)
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
    """`integer`, `decimal`, `fraction`, `mixed`, or `elided` ("one twenty" for 120)."""
    spoken: bool
    """True when at least part of it was in words."""


def read_number(tokens: Sequence[Token], at: int) -> Number | None:
    """Give the longest number that begins at a token, or None."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.value is not None:
        return _digits(tokens, at)
    low = token.low
    if low == "point" or (low in ZEROS and _low(tokens, at + 1) == "point"):
        return _decimal(tokens, at)
    if low in _DENOMINATOR_WORDS and low in ("half", "quarter", "third", "eighth", "sixteenth"):
        if low == "third":
            return None
        return Number(Fraction(1, DENOMINATORS[low]), at, at + 1, "fraction", True)
    if low in ("a", "an"):
        return _with_article(tokens, at)
    if low in ("hundred", "thousand") and _low(tokens, at + 1) == "and":
        return _scaled(tokens, at, Fraction(1), at)
    if low in UNITS or low in TENS or low in ("nought", "naught", "nil"):
        return _spoken(tokens, at)
    return None


def _low(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].low if 0 <= at < len(tokens) else ""


def _digits(tokens: Sequence[Token], at: int) -> Number:
    value, end, spoken = tokens[at].value or Fraction(0), at + 1, False
    shape = "fraction" if "/" in tokens[at].low else "integer" if value.denominator == 1 else "decimal"
    following = tokens[end] if end < len(tokens) else None
    if shape == "integer" and following is not None:
        denominator = _sixty_fourths(tokens, end) or _digit_denominator(tokens, end)
        if denominator and _is_lowest(value, denominator[0]):
            return Number(value / denominator[0], at, denominator[1], "fraction", True)
        if following.value is not None and "/" in following.low and following.value < 1:
            return Number(value + following.value, at, end + 1, "mixed", False)
    if following is not None and following.low == "point" and shape == "integer":
        places = _places(tokens, end + 1)
        if places:
            return Number(value + places[0], at, places[1], "decimal", True)
    if _low(tokens, end) in ("thousand", "grand", "million", "hundred") and shape != "fraction":
        return _scaled(tokens, at, value, end)
    tail = _and_fraction(tokens, end)
    if tail and shape == "integer":
        return Number(value + tail[0], at, tail[1], "mixed", True)
    return Number(value, at, end, shape, spoken)


def _scaled(tokens: Sequence[Token], at: int, value: Fraction, end: int) -> Number:
    total = Fraction(0)
    while True:
        scale = 100 if _low(tokens, end) == "hundred" else SCALES.get(_low(tokens, end))
        if scale is None:
            break
        value, end = value * scale, end + 1
        if scale >= 1000:
            total, value = total + value, Fraction(0)
        if _low(tokens, end) == "and" and _small(tokens, end + 1):
            end += 1
        printed = tokens[end].value if end < len(tokens) and "/" not in tokens[end].low else None
        if printed is not None and printed < scale:
            value, end = value + printed, end + 1
        elif small := _small(tokens, end):
            value, end = value + small[0], small[1]
    return Number(total + value, at, end, "integer", True)


def _digit_denominator(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Read "eighths", "sevenths", "16ths", or a hyphen and "8s" after a whole number."""
    low = _low(tokens, at)
    if low in DENOMINATORS and low not in ("half", "quarter", "third", "second", "fourth", "fifth", "halve"):
        return DENOMINATORS[low], at + 1
    if low in ("quarters", "quarter", "thirds"):
        return DENOMINATORS[low], at + 1
    if low == "-":
        at += 1
    if at + 1 < len(tokens) and tokens[at].value in (8, 16, 32, 64) and tokens[at + 1].glued:
        if tokens[at + 1].low in ("ths", "th", "s", "nds", "nd"):
            return int(tokens[at].value or 1), at + 2
    return None


def _sixty_fourths(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    first, second = _low(tokens, at), _low(tokens, at + 1)
    if first == "thirty" and second in ("second", "seconds"):
        return 32, at + 2
    if first == "sixty" and second in ("fourth", "fourths"):
        return 64, at + 2
    return None


def _small(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Read a number below a thousand said in full: "two hundred and six", "forty one"."""
    low = _low(tokens, at)
    if low in TENS:
        value, end = TENS[low], at + 1
        unit = UNITS.get(_low(tokens, end), 0)
        if 0 < unit < 10 and _sixty_fourths(tokens, at) is None and not _unit_starts_fraction(tokens, end):
            value, end = value + unit, end + 1
    elif low in UNITS or low in ("nought", "naught", "nil"):
        value, end = UNITS.get(low, 0), at + 1
    else:
        return None
    if _low(tokens, end) == "hundred":
        value, end = value * 100, end + 1
        joined = end + 1 if _low(tokens, end) == "and" else end
        rest = _small(tokens, joined)
        if rest and rest[0] < 100:
            value, end = value + rest[0], rest[1]
    return value, end


def _unit_starts_fraction(tokens: Sequence[Token], at: int) -> bool:
    """Tell "twenty | three eighths" from "twenty three"."""
    return _low(tokens, at + 1) in DENOMINATORS and _low(tokens, at + 1) not in ("half", "third", "quarter", "second")


def _spoken(tokens: Sequence[Token], at: int) -> Number | None:
    if digits := _digit_string(tokens, at):
        return digits
    small = _small(tokens, at)
    if small is None:
        return None
    value, end = Fraction(small[0]), small[1]
    shape = "integer"
    denominator = _sixty_fourths(tokens, end) or _word_denominator(tokens, end)
    if denominator and _is_lowest(value, denominator[0]):
        return Number(value / denominator[0], at, denominator[1], "fraction", True)
    if _low(tokens, end) in SCALES:
        return _fold_tail(_scaled(tokens, at, value, end), tokens)
    if value < 100 and value != 0:
        elided = _elided(tokens, at, int(value), end)
        if elided:
            value, end, shape = Fraction(elided[0]), elided[1], "elided"
            if _low(tokens, end) in SCALES:
                scaled = _scaled(tokens, at, value, end)
                return Number(scaled.value, at, scaled.end, "elided", True)
    if _low(tokens, end) == "point":
        places = _places(tokens, end + 1)
        if places:
            return Number(value + places[0], at, places[1], "decimal", True)
    tail = _and_fraction(tokens, end)
    if tail:
        return Number(value + tail[0], at, tail[1], "mixed", True)
    if (
        shape == "integer"
        and 10 < value < 20
        and 0 < UNITS.get(_low(tokens, end), 0) < 10
        and _ends_number(tokens, end + 1)
    ):
        return Number(value + Fraction(UNITS[_low(tokens, end)], 10), at, end + 1, "decimal", True)
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
        or _low(tokens, end) in ("point", "hundred", "thousand")
        or _low(tokens, end) in DENOMINATORS
        or tokens[at].low in ZEROS
    ):
        return None
    return Number(Fraction(int(digits)), at, end, "digits", True)


def _ends_number(tokens: Sequence[Token], at: int) -> bool:
    """Tell "seventeen five" (17.5) from "eleven five eighths" and "twelve two inch"."""
    low = _low(tokens, at)
    return low in ("", ",", ".", "and", "but", "so", "at", "on", "is", "which", "no", "the") or low in (
        "mil",
        "mm",
        "thou",
    )


def _fold_tail(number: Number, tokens: Sequence[Token]) -> Number:
    tail = _and_fraction(tokens, number.end)
    if tail and number.value < 1000:
        return Number(number.value + tail[0], number.start, tail[1], "mixed", True)
    return number


def _word_denominator(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    low = _low(tokens, at)
    if low in DENOMINATORS and low not in ("half", "halve", "second"):
        return DENOMINATORS[low], at + 1
    return None


def _is_lowest(top: Fraction, bottom: int) -> bool:
    """Tell "three eighths" from "two | quarter" (nobody says two quarters for a half)."""
    return top.denominator == 1 and gcd(int(top), bottom) == 1 and 0 < top < bottom


def _elided(tokens: Sequence[Token], at: int, head: int, end: int) -> tuple[int, int] | None:
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
    """Read the digits after "point": "oh five", "two six four", "twenty five", "8"."""
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


def _and_fraction(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """Read "and a half", "and three quarters", "and 3/8" after a whole number."""
    if _low(tokens, at) not in ("and", "an", "n"):
        return None
    at = at + 1 if _low(tokens, at) in ("and", "n") else at
    if at < len(tokens) and tokens[at].value is not None and "/" in tokens[at].low:
        value = tokens[at].value
        return (value, at + 1) if value is not None and value < 1 else None
    if _low(tokens, at) in ("a", "an"):
        low = _low(tokens, at + 1)
        if low in DENOMINATORS and not low.endswith("s") and low != "second":
            return Fraction(1, DENOMINATORS[low]), at + 2
        return None
    if _low(tokens, at) == "half" and _low(tokens, at - 1) in ("and", "n"):
        return Fraction(1, 2), at + 1
    top = UNITS.get(_low(tokens, at), 0)
    denominator = _sixty_fourths(tokens, at + 1) or _word_denominator(tokens, at + 1)
    if top and denominator and top < denominator[0]:
        return Fraction(top, denominator[0]), denominator[1]
    return None


def _with_article(tokens: Sequence[Token], at: int) -> Number | None:
    """Read "a hundred and forty", "a thousand", "a half", "an eighth", "a quarter"."""
    low = _low(tokens, at + 1)
    if low in ("hundred", "thousand", "million"):
        number = _scaled(tokens, at, Fraction(1), at + 1)
        return Number(number.value, at, number.end, "integer", True)
    if low in DENOMINATORS and not low.endswith("s") and low not in ("second", "third", "fourth", "fifth", "halve"):
        return Number(Fraction(1, DENOMINATORS[low]), at, at + 2, "fraction", True)
    return None
