"""The thread table itself: every thread with its sizes, the series of one pitch, and the lookalikes.

In: nothing but the tables of the package. Out: threads and pairs of threads as values.
Never reads a name as said (`threads` does) and never judges.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from notebook.tables.rows import Confidence, Row, confidence_of, decimal_of, exact, fraction_of, needed, read_rows

UNIFIED = ("UNC", "UNF", "UNEF", "UNS")
PIPE = ("G", "R", "NPT")


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """One row of the thread table; sizes in mm, exact unless they come from threads an inch that do not divide."""

    name: str
    family: str
    """`M`, `BSW`, `BSF`, `BA`, `UNC`, `UNF`, `UNEF`, `UNS`, `G`, `R`, `NPT`, `BSC`."""
    series: str
    size: str
    """What hexagons and keys go by: `M8`, `3/8`, `#10`, `2` (BA), `1/8` (old bore of a pipe thread)."""
    major_mm: Decimal
    pitch_mm: Decimal
    """For threads an inch 25.4 / tpi, to 12 significant digits where that does not end."""
    tpi: Decimal | None
    angle_deg: Decimal
    minor_mm: Decimal | None
    """Basic minor diameter; None for NPT."""
    tapping_drill_mm: Decimal | None
    standard: str
    is_special: bool
    """True for a real thread that is not a standard ISO size."""
    confidence: Confidence
    source: str
    tapping_source: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lookalike:
    """A pair of threads that start in each other by hand and must not be mixed."""

    thread: str
    other: str
    major_difference_mm: Decimal
    """Other less thread."""
    pitch_error_10_threads_mm: Decimal
    flank_angles: str
    warning: str
    confidence: Confidence
    source: str


@cache
def all_threads() -> tuple[Thread, ...]:
    """Give the whole thread table, standard sizes and special ones, in its order."""
    return tuple(_thread(row) for row in read_rows("threads"))


def metric_rows(diameter_mm: Decimal) -> tuple[Thread, ...]:
    """Give every metric thread of a diameter, coarse first, special ones last."""
    return tuple(t for t in all_threads() if t.family == "M" and t.major_mm == diameter_mm)


def metric_coarse(diameter_mm: Decimal) -> Thread | None:
    """Give the coarse thread of a metric diameter, None where ISO 261 has none."""
    return next((t for t in metric_rows(diameter_mm) if t.series == "coarse"), None)


def constant_pitch_series(size_in: Fraction, tpi: Decimal) -> tuple[str, ...]:
    """Give the series of one pitch over many sizes that hold a size: UN, brass (BSB), model engineer (ME)."""
    return tuple(
        row["system"]
        for row in read_rows("constant_pitch")
        if needed(row["tpi"]) == tpi and size_in_inches(row["from_size"]) <= size_in <= size_in_inches(row["to_size"])
    )


def lookalikes_of(thread: str) -> tuple[Lookalike, ...]:
    """Give the threads that a thread of the table is mixed up with, seen from that thread."""
    return tuple(_turned(row, thread) for row in read_rows("thread_lookalikes") if thread in _pair(row))


@cache
def size_in_inches(size: str) -> Fraction:
    """Give an inch size as a fraction; a numbered size by 0.060 + 0.013 n (ASME B1.1)."""
    if size.startswith("#"):
        return Fraction("0.060") + Fraction("0.013") * int(size[1:])
    return fraction_of(size)


def _thread(row: Row) -> Thread:
    tpi = exact(row["tpi"])
    return Thread(
        name=row["designation"],
        family=row["system"],
        series=row["series"],
        size=row["size"],
        major_mm=needed(row["major_diameter_mm"]),
        pitch_mm=needed(row["pitch_mm"]) if tpi is None else decimal_of(Fraction("25.4") / Fraction(tpi)),
        tpi=tpi,
        angle_deg=needed(row["thread_angle_deg"]),
        minor_mm=exact(row["basic_minor_diameter_mm"]),
        tapping_drill_mm=exact(row["tapping_drill_mm"]),
        standard=row["standard"],
        is_special=row["standing"] == "special",
        confidence=confidence_of(row),
        source=row["source"],
        tapping_source=row["tapping_source"],
        note=row["note"],
    )


def _pair(row: Row) -> tuple[str, str]:
    return row["thread_a"], row["thread_b"]


def _turned(row: Row, thread: str) -> Lookalike:
    first, second = _pair(row)
    is_first = thread == first
    difference = needed(row["major_difference_mm"])
    angles = row["flank_angles"].split("/")
    return Lookalike(
        thread=thread,
        other=second if is_first else first,
        major_difference_mm=difference if is_first else -difference,
        pitch_error_10_threads_mm=needed(row["pitch_error_over_10_threads_mm"]),
        flank_angles="/".join(angles if is_first else angles[::-1]),
        warning=row["warning"],
        confidence=confidence_of(row),
        source=row["source"],
    )
