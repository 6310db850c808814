"""Names of threads, as printed or typed, taken apart.

In: a name ("M8x1.25", "3/8 BSF", "1/4-28 UNF", "half inch BSP", "5/16 26 tpi cycle").
Out: its family, size, pitch or threads an inch, exact; None where it is no name of a thread.
Never judges whether such a thread exists: "3/7 BSF" is a name too.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

_FAMILIES: dict[str, str] = {
    "bsf": "BSF", "british standard fine": "BSF",
    "bsw": "BSW", "w": "BSW", "whitworth": "BSW", "whit": "BSW", "whits": "BSW", "british standard whitworth": "BSW",
    "ba": "BA", "british association": "BA",
    "unc": "UNC", "nc": "UNC", "anc": "UNC", "unrc": "UNC", "unjc": "UNC", "uss": "UNC",
    "unified coarse": "UNC", "national coarse": "UNC",
    "unf": "UNF", "nf": "UNF", "anf": "UNF", "unrf": "UNF", "unjf": "UNF", "sae": "UNF",
    "unified fine": "UNF", "national fine": "UNF",
    "unef": "UNEF", "nef": "UNEF", "uns": "UNS", "ns": "UNS", "un": "UN",
    "bspp": "G", "bsp": "G", "bspf": "G", "gas": "G",
    "bspt": "R", "bsp taper": "R", "taper bsp": "R", "bsp tapered": "R", "npt": "NPT", "nptf": "NPT",
    "bsc": "BSC", "bscy": "BSC", "cei": "BSC", "cycle": "BSC",
    "bsb": "BSB", "brass": "BSB", "me": "ME", "model engineer": "ME",
}  # fmt: skip
_FAMILY = re.compile(rf"\b(?:{'|'.join(sorted(_FAMILIES, key=len, reverse=True))})\b")
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_UP_TO_NINETEEN = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60}
_COUNTS = {word: number for number, word in enumerate(_UP_TO_NINETEEN)} | _TENS
_PARTS = {"half": 2, "quarter": 4, "eighth": 8, "sixteenth": 16, "seventh": 7, "ninth": 9, "fifth": 5, "third": 3}
_UNHEEDED = re.compile(
    r"\b(?:threads?|left|right|hand|handed|lh|rh|size|metric|iso|inch|inches|in|nuts?|bolts?|screws?|studs?)\b|[\"″]"
)
_TPI = re.compile(
    r"\b(\d+(?:\.\d+)?)\s*(?:tpi|t\.p\.i\.?|threads? (?:per|an|to the|to an|in an) inch|to the inch)(?!\w)"
)
_METRIC = re.compile(
    r"m\s*(\d+(?:\.\d+)?)"
    r"(?:\s*(?:x|by|-|\*)\s*(\d*\.?\d+)(?:\s*pitch)?|\s+(\d*\.\d+)(?:\s*pitch)?|\s+(\d+)\s*pitch)?"
    r"(?:\s*(?:x|by|\*)\s*(\d+(?:\.\d+)?))?(?:\s*mm)?(?:\s+(fine|coarse|standard))?"
)
_MILLIMETRES = re.compile(r"(\d+(?:\.\d+)?)\s*mm\s*(?:x|by|\*)?\s*(\d*\.?\d+)\s*(?:mm\s*)?pitch")
_INCH = re.compile(
    r"(#)?\s*(?:(\d+)\s+)?(\d+(?:\.\d+)?)(?:/(\d+))?(?:\s*(-|x|by)?\s*(\d+(?:\.\d+)?))?(?:\s+(?:fine|coarse))?"
)
_LARGEST_FRACTION = 128
_METRIC_PITCH_SHARE = Decimal("0.5")
"""A number after x is a pitch below half the diameter, else a length: M8x1.25, but M8x30."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadName:
    """A thread as named; what was not said is None."""

    family: str | None
    """`M`, `BSW`, `BSF`, `BA`, `UNC`, `UNF`, `UNEF`, `UNS`, `UN`, `G`, `R`, `NPT`, `BSC`, `BSB`, `ME`."""
    diameter_mm: Decimal | None = None
    """Of a metric thread."""
    pitch_mm: Decimal | None = None
    """Of a metric thread."""
    size_in: Fraction | None = None
    """Of an inch thread; of a pipe thread the old bore."""
    fraction: tuple[int, int, int] | None = None
    """Whole, upper and lower figure of the inch size as said, not cancelled down."""
    number: int | None = None
    """Of a BA or numbered unified thread (2 BA, #10)."""
    tpi: Decimal | None = None
    series: str | None = None
    """`fine` or `coarse` where that word was said."""
    has_hyphen: bool = False
    """True for the unified way of writing, "1/4-28"."""


def read_thread_name(text: str) -> ThreadName | None:
    """Take a thread's name apart; None where the words are no name of a thread.

    Examples: "M10 fine", "M8 x 1.25", "1/4-28 UNF", "quarter BSF", "2 BA", "#10-32", "G 1/8", "26 tpi cycle".
    """
    words = _tidied(text)
    metric = _read_metric(words)
    return metric if metric is not None else _read_inch(words)


def metric_size(said: ThreadName) -> str:
    """Give the size that hexagons and keys go by: "M8" for M8x1."""
    return f"M{short(said.diameter_mm or Decimal(0))}"


def short(number: Decimal) -> str:
    """Write a number without idle zeros: 10.0 as 10, 1.50 as 1.5."""
    return format(number.normalize(), "f")


def _tidied(text: str) -> str:
    words = text.lower().replace("×", "x").replace("⁄", "/").replace("–", "-").replace("‑", "-")
    for sign, plain in _VULGAR.items():
        words = words.replace(sign, f" {plain}")
    words = re.sub(r"(?<=\d),(?=\d)", ".", words)
    words = re.sub(r"(?<=\d)(?=(?:ba|bsf|bsw|unf|unc|bsp|npt)\b)", " ", words)
    words = re.sub(r"\b([bu])\.?\s?([asn])\.?\s?([wfpc])\.?(?=\s|$)", r"\1\2\3", words)
    words = re.sub(r"\bb\.\s?a\.?(?=\s|$)", "ba", words)
    words = _figures(re.sub(r"[;:!?]", " ", words).replace(", ", " "))
    words = re.sub(r"\b(?:number|no\.?|nr\.?)\s*(?=\d)", "#", words)
    return re.sub(r"\s+", " ", words).strip()


def _figures(words: str) -> str:
    """Put number words of sizes into figures: "three eighths" 3/8, "one and a quarter" 1 1/4, "half inch" 1/2."""
    words = re.sub(r"\bem (?=\w)", "m ", words)
    words = re.sub(r"\b(inch)(?= and a (?:half|quarter|eighth)\b)", "one", words)
    words = re.sub(r"\band an? (?=(?:half|quarter|eighth)\b)", "one ", words)
    words = re.sub(r"\b(?:thirty|sixty)[ -](second|fourth)s?\b", lambda m: "/32" if m[1] == "second" else "/64", words)
    for part, lower in _PARTS.items():
        words = re.sub(rf"\b{part}s?\b", f"/{lower}", words)
    words = words.replace("halves", "/2")
    tens, ones = "|".join(_TENS), "|".join(_UP_TO_NINETEEN[1:10])
    words = re.sub(rf"\b({tens})[ -]({ones})\b", lambda m: str(_COUNTS[m[1]] + _COUNTS[m[2]]), words)
    words = re.sub(rf"\b({'|'.join(_COUNTS)})\b", lambda m: str(_COUNTS[m[1]]), words)
    words = re.sub(r"(\d+)[ -]/(?=\d)", r"\1/", words)
    words = re.sub(r"(?<![\d/])/(?=\d)", "1/", words)
    return re.sub(r"(\d) and (?=\d+/\d)", r"\1 ", words)


def _read_metric(words: str) -> ThreadName | None:
    plain = " ".join(_UNHEEDED.sub(" ", words).split())
    if found := _MILLIMETRES.fullmatch(plain):
        return ThreadName(family="M", diameter_mm=Decimal(found[1]), pitch_mm=Decimal(found[2]))
    found = _METRIC.fullmatch(plain)
    if found is None:
        return None
    diameter = Decimal(found[1])
    said = found[2] or found[3] or found[4]
    pitch = Decimal(said) if said else None
    if diameter == 0 or pitch == 0:
        return None
    if pitch is not None and found[2] and not found[5] and pitch >= diameter * _METRIC_PITCH_SHARE:
        pitch = None
    series = "coarse" if found[6] == "standard" else found[6]
    return ThreadName(family="M", diameter_mm=diameter, pitch_mm=pitch, series=series)


def _read_inch(words: str) -> ThreadName | None:
    family, words = _take_family(words)
    tpi = None
    if found := _TPI.search(words):
        tpi, words = Decimal(found[1]), f"{words[: found.start()]} {words[found.end() :]}"
    has_inch = bool(re.search(r"inch|\bin\b|[\"″]", words))
    words = " ".join(_UNHEEDED.sub(" ", words).replace(",", " ").split())
    if not words:
        return ThreadName(family=family, tpi=tpi) if family and tpi else None
    found = _INCH.fullmatch(words)
    if found is None or (family is None and tpi is None and not (found[4] or found[6] or found[1] or has_inch)):
        return None
    return _inch_name(found, family, tpi)


def _inch_name(found: re.Match[str], family: str | None, tpi: Decimal | None) -> ThreadName | None:
    whole, upper, lower, second = found[2], found[3], found[4], found[6]
    if whole and not lower:
        whole, upper, second = None, whole, upper if second is None else second
    if second is not None and tpi is None:
        tpi = Decimal(second)
    if lower and not (0 < int(lower) <= _LARGEST_FRACTION and "." not in upper):
        return None
    size = Fraction(upper) / int(lower or 1) + int(whole or 0)
    if size == 0 and not (found[1] or family == "BA" or (tpi is not None and not lower)):
        return None
    has_hyphen = found[5] == "-"
    is_whole = not lower and not whole and "." not in upper
    if family == "BA":
        return ThreadName(family="BA", number=int(upper)) if is_whole else None
    number = int(upper) if is_whole and family in {None, "UNC", "UNF", "UNEF", "UNS", "UN"} else None
    fraction = (int(whole or 0), int(upper), int(lower)) if lower else None
    return ThreadName(
        family=family,
        size_in=None if found[1] or size == 0 else size,
        fraction=fraction,
        number=number,
        tpi=tpi,
        has_hyphen=has_hyphen,
    )


def _take_family(words: str) -> tuple[str | None, str]:
    if found := re.match(r"(g|rc|rp|r)\s*(?=\d)", words):
        return ("G" if found[1] in {"g", "rp"} else "R"), words[found.end() :]
    found = _FAMILY.search(words)
    if found is None:
        return None, words
    return _FAMILIES[found[0]], f"{words[: found.start()]} {words[found.end() :]}".strip()
