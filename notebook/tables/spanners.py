"""Hexagons of bolts and nuts, and the spanners and sockets that go on them.

In: a thread and its part, or a spanner's size as said ("17 mm", "5/8 BS", "1/4 W", "1/2 AF", "2 BA").
Out: hexagons with their widths, the slack of a spanner on a hexagon in mm, and a verdict.
Never calls a real width wrong: the widths of ISO and old DIN, Japanese, flange and structural heads,
early and later Whitworth heads all stand side by side.

Widths are nominal, and the largest allowed: a real head runs 0.05 to 1 mm under, so a real slack is more.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Literal

from notebook.tables.rows import Confidence, Row, confidence_of, decimal_of, exact, needed, read_rows, words_of
from notebook.tables.thread_names import metric_size, read_thread_name
from notebook.tables.threads import threads_named

Verdict = Literal["will not go on", "its own size", "close fit", "slack, light use only", "will round the corners"]

_WILL_NOT_GO_MM = Decimal("-0.05")
_CLOSE_MM = Decimal("0.15")
_LIGHT_USE_MM = Decimal("0.35")
"""The bounds of the verdicts are our own judgement; there is no standard for them."""

METRIC_OPENINGS_MM: tuple[Decimal, ...] = (
    *map(Decimal, ("3.2", "3.5", "4", "4.5", "5", "5.5")),
    *map(Decimal, range(6, 37)),
    *map(Decimal, (38, 40, 41, 42, 46, 48, 50, 54, 55, 58, 60, 65, 70, 75, 80, 85, 90, 95)),
)
"""Spanners and sockets that can be had (common practice, no source; ISO 691 holds most of them)."""
AF_OPENINGS_IN: tuple[Fraction, ...] = (
    *(Fraction(n, 32) for n in range(4, 26)),
    *(Fraction(n, 16) for n in range(13, 49)),
)
"""Inch across-flats spanners and sockets that can be had (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hexagon:
    """The hexagon of a kind of head or nut on one size of thread."""

    system: str
    """`metric ISO`, `metric DIN (old)`, `metric DIN (early)`, `metric structural`, `metric JIS small`,
    `metric flange`, `BS small`, `BS large`, `BA`, `Unified`."""
    standard: str
    threads: tuple[str, ...]
    """Thread sizes: `M8`, or `1/4 BSW` and `1/4 BSF`."""
    part: str
    marked: str
    """How its spanner is marked: `13`, `1/4 BS = 3/16 W`, `7/16 AF`, `2 BA`."""
    af_mm: Decimal
    """Nominal width across flats, the largest allowed."""
    af_min_mm: Decimal | None
    confidence: Confidence
    source: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a spanner sits on a hexagon of nominal width."""

    slack_mm: Decimal
    """Opening less width; below zero it is too small."""
    verdict: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class HexagonFit:
    """A hexagon that a spanner goes on."""

    hexagon: Hexagon
    fit: Fit


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A spanner or socket by its size; several widths where the marking can be read in two ways."""

    said: str
    """Its size in plain form: `17 mm`, `1/2 AF`, `1/4 W`, `5/8 BS`, `2 BA`, `1/2 in`."""
    widths_mm: tuple[Decimal, ...]
    """The likeliest first."""
    kind: Literal["metric", "AF", "BS", "BA"]
    is_possible: bool = True
    """False for a fraction that no spanner has, such as 3/7."""


def all_hexagons() -> tuple[Hexagon, ...]:
    """Give the whole table of hexagons, current standards first within a system."""
    return _hexagons()


def hexagons_of(thread: str, *, part: str | None = None, system: str | None = None) -> tuple[Hexagon, ...]:
    """Give every hexagon met on a thread, in table order; `part` and `system` narrow it by a word in them.

    M10 has 16 (ISO), 17 (old DIN), 14 (Japanese), 13 and 16 (flange) and 15 (flange nut); none of them is wrong.
    Fine threads have the hexagons of their size. Empty where the thread is unknown or has no table.
    """
    sizes = _sizes_of(thread)
    return tuple(
        h
        for h in _hexagons()
        if sizes & set(h.threads)
        and (part is None or part.lower() in h.part)
        and (system is None or system.lower() in h.system.lower())
    )


def fit(opening_mm: Decimal, af_mm: Decimal) -> Fit:
    """Give slack and verdict of an opening on a hexagon of nominal width, both in mm."""
    slack = opening_mm - af_mm
    if slack < _WILL_NOT_GO_MM:
        return Fit(slack_mm=slack, verdict="will not go on")
    if slack == 0:
        return Fit(slack_mm=slack, verdict="its own size")
    if slack <= _CLOSE_MM:
        return Fit(slack_mm=slack, verdict="close fit")
    if slack <= _LIGHT_USE_MM:
        return Fit(slack_mm=slack, verdict="slack, light use only")
    return Fit(slack_mm=slack, verdict="will round the corners")


def hexagons_for(opening_mm: Decimal) -> tuple[HexagonFit, ...]:
    """Give every hexagon that a spanner of this opening goes on without rounding it, the closest first."""
    fits = [HexagonFit(hexagon=h, fit=fit(opening_mm, h.af_mm)) for h in _hexagons()]
    held = [f for f in fits if f.fit.verdict not in {"will not go on", "will round the corners"}]
    return tuple(sorted(held, key=lambda f: abs(f.fit.slack_mm)))


def nearest_openings(af_mm: Decimal) -> tuple[Opening, ...]:
    """Give the nearest metric and the nearest inch opening to a width, the nearer first."""
    metric = min(METRIC_OPENINGS_MM, key=lambda o: abs(o - af_mm))
    inch = min(AF_OPENINGS_IN, key=lambda o: abs(decimal_of(o * Fraction("25.4")) - af_mm))
    both = (
        Opening(said=f"{metric} mm", widths_mm=(metric,), kind="metric"),
        Opening(said=f"{_inch_text(inch)} AF", widths_mm=(_mm(inch),), kind="AF"),
    )
    return tuple(sorted(both, key=lambda o: abs(o.widths_mm[0] - af_mm)))


def read_opening(text: str) -> Opening | None:
    """Read the size of a spanner, socket or wrench; None where none is said (a drive size is none).

    Examples: "17 mm spanner", "1/2 AF", "1/4 Whitworth", "5/8 BS spanner", "2 BA box spanner", "1/2 in socket".
    "1/4 Whitworth" is 0.525 in by its marking, but may be said of the later 0.445 in head: both are given.
    A bare inch size may be meant across flats or by Whitworth marking: both are given, across flats first.
    """
    words = " ".join(text.lower().replace("-", " ").split())
    if re.search(r"\b(?:drive|key|driver|bit|adjustable)\b", words):
        return None
    if found := re.search(r"(?<![\d/.])(\d+(?:\.\d+)?)\s*(?:mm|mil|mill|millimet(?:re|er)s?)\b", words):
        return Opening(said=f"{found[1]} mm", widths_mm=(Decimal(found[1]),), kind="metric")
    if found := re.search(r"(?<![\d/.])(\d+)\s*ba\b", words):
        widths = _marked(f"{found[1]} BA")
        return Opening(said=f"{found[1]} BA", widths_mm=widths, kind="BA") if widths else None
    found = re.search(
        r"(?<![\d/.])(?:(\d+)\s+)?(\d+)/(\d+)(?![\d/.])|(?<![\d/.])(\d+)(?=\s*(?:in|inch|af|bs|w)\b)", words
    )
    if found is None or (found[3] and int(found[3]) == 0):
        return None
    size = Fraction(int(found[4])) if found[4] else int(found[1] or 0) + Fraction(int(found[2]), int(found[3]))
    lower = int(found[3] or 1)
    said = found[4] or f"{found[1] + ' ' if found[1] else ''}{found[2]}/{found[3]}"
    return _inch_opening(words, said, size, is_possible=lower in {1, 2, 4, 8, 16, 32, 64})


def _inch_opening(words: str, said: str, size: Fraction, *, is_possible: bool) -> Opening | None:
    af, bs, whit = _mm(size), _marked(f"{_inch_text(size)} BS"), _marked(f"{_inch_text(size)} W")
    if re.search(r"\b(?:af|a/f|across flats)\b", words):
        return Opening(said=f"{said} AF", widths_mm=(af,), kind="AF", is_possible=is_possible)
    if re.search(r"\b(?:w|whit|whits|whitworth|bsw)\b", words):
        return Opening(said=f"{said} W", widths_mm=(*whit, *bs) or (af,), kind="BS", is_possible=is_possible)
    if re.search(r"\b(?:bs|bsf)\b", words):
        return Opening(said=f"{said} BS", widths_mm=(*bs, *whit) or (af,), kind="BS", is_possible=is_possible)
    return Opening(said=f"{said} in", widths_mm=(af, *bs, *whit), kind="AF", is_possible=is_possible)


def _marked(marking: str) -> tuple[Decimal, ...]:
    """Give the width of a spanner by its marking, of those that are in the table."""
    found = [h.af_mm for h in _hexagons() if marking in re.split(r" = ", h.marked)]
    return tuple(dict.fromkeys(found))


def _sizes_of(thread: str) -> set[str]:
    said = read_thread_name(thread)
    if said is None:
        return set()
    if said.family == "M":
        return {metric_size(said)}
    found = threads_named(said)
    return {t.name if t.family == "BA" else f"{t.size} {t.family}" for t in found if t.family not in {"G", "R", "NPT"}}


def _mm(size_in: Fraction) -> Decimal:
    return decimal_of(size_in * Fraction("25.4"))


def _inch_text(size: Fraction) -> str:
    whole, rest = divmod(size, 1)
    return f"{whole} {rest}" if whole and rest else str(rest or whole)


@cache
def _hexagons() -> tuple[Hexagon, ...]:
    return tuple(_hexagon(row) for row in read_rows("spanners"))


def _hexagon(row: Row) -> Hexagon:
    return Hexagon(
        system=row["system"],
        standard=row["standard"],
        threads=words_of(row["thread"]),
        part=row["part"],
        marked=row["marked"],
        af_mm=needed(row["af_mm"]),
        af_min_mm=exact(row["af_min_mm"]),
        confidence=confidence_of(row),
        source=row["source"],
        note=row["note"],
    )
