"""Threads by name: what is in the tables, what comes nearest, and what is easily mixed with it.

In: a thread's name in any usual spelling. Out: rows of the thread table, or the nearest rows.
Never picks silently among several: `find_threads` gives all that a name fits.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from notebook.tables.thread_names import ThreadName, read_thread_name
from notebook.tables.thread_table import (
    PIPE,
    UNIFIED,
    Thread,
    all_threads,
    constant_pitch_series,
    metric_coarse,
    metric_rows,
    size_in_inches,
)

__all__ = (
    "Lookalike Standing Thread all_threads find_thread find_threads is_listed lookalikes_of nearest_threads standing_of"
).split()

Standing = Literal["listed", "fine only", "special", "constant pitch", "none", "beyond", "unreadable"]
"""listed: in a standard. fine only: the size is, but it has no coarse pitch. special: real, yet not a standard
ISO size. constant pitch: one of the series that keep a pitch over many sizes. none: no such thread.
beyond: larger or smaller than these tables reach. unreadable: no name of a thread."""

_KIN = {
    "BSW": ("BSW", "BSF"), "BSF": ("BSF", "BSW"), "UNC": UNIFIED, "UNF": ("UNF", "UNC", "UNEF", "UNS"),
    "UNEF": ("UNEF", "UNC", "UNF", "UNS"), "G": PIPE, "R": ("R", "G", "NPT"), "NPT": ("NPT", "G", "R"),
}  # fmt: skip
"""Families to try first for a thread of the same size, by the family that was said."""
_POWERS_OF_TWO = (2, 4, 8, 16, 32, 64)
_LARGEST_LISTED_IN = 4
"""Above 4 in the tables are not full."""


def find_threads(name: str) -> tuple[Thread, ...]:
    """Give every thread that a name fits, in the order they are usually met; empty where there is none.

    "M10 fine" fits three, "26 tpi cycle" every size of that series, "1/2 in 20 tpi" a UNF and a cycle thread.
    """
    said = read_thread_name(name)
    return () if said is None else threads_named(said)


def find_thread(name: str) -> Thread | None:
    """Give the thread of a name, or None where there is no such thread or the name leaves the family open.

    Where only the pitch was left open ("M10 fine", "7/16 cycle") it is the one met most, which stands first
    in the table (common practice, no source); `find_threads` gives the others.
    """
    said = read_thread_name(name)
    if said is None:
        return None
    found = threads_named(said)
    if len({(t.family, t.size) for t in found}) != 1:
        return None
    is_open = said.family == "M" and said.pitch_mm is None and said.series is None and found[0].series != "coarse"
    return None if is_open and len(found) > 1 else found[0]


def is_listed(name: str) -> bool:
    """Say whether a name is a thread of a standard."""
    return standing_of(name) in {"listed", "constant pitch"}


def standing_of(name: str) -> Standing:
    """Say how a name stands to the tables; example: "M19" is special, "M13" none, "M25" fine only."""
    said = read_thread_name(name)
    return "unreadable" if said is None else _standing(said)


def nearest_threads(name: str, n: int = 3) -> list[Thread]:
    """Give up to n standard threads that come nearest to a name, the one itself first where it exists.

    A size that sounds alike comes before one that measures alike: "3/7 BSF" gives 3/8 BSF, then 7/16 BSF;
    "3 1/8 in, 20 tpi" gives 3/8 BSF; "M13" gives M12 and M14.
    """
    said = read_thread_name(name)
    if said is None:
        return []
    own = [t for t in threads_named(said) if not t.is_special]
    return [*own, *(t for t in nearest_to(said) if t not in own)][:n]


def threads_named(said: ThreadName) -> tuple[Thread, ...]:
    """Give every thread of the table that a name taken apart fits."""
    if said.family == "M":
        return _metric_named(said)
    rows = [t for t in _of_family(said.family) if _same_size(t, said)]
    if said.size_in is not None and said.number is not None and said.family != "BA":
        by_inch = [t for t in rows if not t.size.startswith("#")]
        rows = by_inch if any(said.tpi in (None, t.tpi) for t in by_inch) else [t for t in rows if t not in by_inch]
    if said.tpi is not None:
        rows = [t for t in rows if t.tpi == said.tpi]
    if said.family is None and said.has_hyphen and any(t.family in UNIFIED for t in rows):
        rows = [t for t in rows if t.family in UNIFIED]
    if not rows and said.family == "UNF" and said.size_in == 1 and said.tpi == 14:
        rows = [t for t in all_threads() if t.name == "1-14 UNS"]  # everybody calls it UNF
    return tuple(rows)


def nearest_to(said: ThreadName) -> list[Thread]:
    """Give all standard threads by how near they come to a name taken apart."""
    if said.family == "M":
        return _nearest_metric(said)
    if said.family == "BA":
        ba = [t for t in all_threads() if t.family == "BA"]
        return sorted(ba, key=lambda t: abs(int(t.size) - (said.number or 0)))
    rows = [t for t in _of_family(said.family) if not t.is_special]
    if said.size_in is None:
        return [t for t in rows if _same_size(t, said) and said.tpi in (None, t.tpi)]
    if said.family is None and said.tpi is not None:
        rows = [t for t in rows if t.tpi == said.tpi]
    size = said.size_in
    alike = sounds_like(said)
    return sorted(rows, key=lambda t: (*_distance(t, size, alike), t.tpi != said.tpi))


def other_of_same_size(said: ThreadName) -> Thread | None:
    """Give the thread of another family that has the size and the threads an inch that were said."""
    kin = _KIN.get(said.family or "", ())
    pipe = said.family in PIPE
    rows = [
        t
        for t in all_threads()
        if t.family != said.family and (t.family in PIPE) == pipe and t.tpi == said.tpi and _same_size(t, said)
    ]
    return min(rows, key=lambda t: kin.index(t.family) if t.family in kin else len(kin), default=None)


def sounds_like(said: ThreadName) -> frozenset[Fraction]:
    """Give the inch sizes that are easily misheard as the one said: 3/7 for 3/8, 3 1/8 for 3/8, 1 3/8 for 3/8."""
    if said.fraction is None:
        return frozenset()
    whole, upper, lower = said.fraction
    alike: set[Fraction] = set()
    if whole:
        alike.add(Fraction(upper, lower))
        if upper == 1:
            alike.add(Fraction(whole, lower))
    if lower not in _POWERS_OF_TWO:
        sizes = [whole + Fraction(upper, d) for d in _POWERS_OF_TWO if upper < d]
        alike |= set(sorted(sizes, key=lambda size: abs(size - whole - Fraction(upper, lower)))[:1])
    return frozenset(alike)


def is_inch_size(said: ThreadName) -> bool:
    """Say whether an inch size is one that rulers and spanners know: halves down to 64ths, or a decimal."""
    return said.fraction is None or said.fraction[2] in _POWERS_OF_TWO


def without_pitch(said: ThreadName) -> ThreadName:
    """Give the same name as if no threads an inch had been said."""
    return ThreadName(family=said.family, size_in=said.size_in, fraction=said.fraction, number=said.number)


def _standing(said: ThreadName) -> Standing:
    if said.family == "M":
        return _metric_standing(said)
    found = threads_named(said)
    if found:
        return "listed"
    if said.family in {"UNS", "UN", "BSB", "ME"}:
        return _constant_standing(said)
    if said.family not in {None, "BSC"} and said.tpi is not None and threads_named(without_pitch(said)):
        is_brass = said.size_in is not None and said.family == "BSW" and constant_pitch_series(said.size_in, said.tpi)
        return "constant pitch" if is_brass else "none"
    if said.size_in is None:
        return _constant_standing(said)
    if said.tpi is not None and said.family in {None, "BSW"} and constant_pitch_series(said.size_in, said.tpi):
        return "constant pitch"
    if said.family is None and said.tpi is None:
        return "listed" if is_inch_size(said) else "none"
    sizes = [size_in_inches(t.size) for t in _of_family(said.family) if not t.size.startswith("#")]
    limit = max(sizes) if said.family else Fraction(_LARGEST_LISTED_IN)
    if not is_inch_size(said):
        return "none"
    if said.size_in > limit or (said.family == "BSC" and said.size_in not in sizes):
        return "beyond"  # makers of cycles had sizes of their own
    return "none"


def _constant_standing(said: ThreadName) -> Standing:
    if said.family == "BA":
        return "none"
    if said.number is not None:
        return "beyond"  # numbered sizes run to 30 in wood and self-tapping screws
    if said.size_in is not None and said.tpi is not None and constant_pitch_series(said.size_in, said.tpi):
        return "constant pitch"
    return "beyond" if is_inch_size(said) else "none"


def _metric_standing(said: ThreadName) -> Standing:
    diameter = said.diameter_mm or Decimal(0)
    rows = metric_rows(diameter)
    listed = [t for t in rows if not t.is_special]
    if diameter > max(t.major_mm for t in all_threads() if t.family == "M") or diameter < 1:
        return "beyond"
    if not rows:
        return "none"
    if said.pitch_mm is not None:
        match = [t for t in rows if t.pitch_mm == said.pitch_mm]
        return "none" if not match else "special" if match[0].is_special else "listed"
    if not listed:
        return "special"
    has_coarse = any(t.series == "coarse" for t in listed)
    return "listed" if has_coarse or said.series == "fine" else "fine only"


def _metric_named(said: ThreadName) -> tuple[Thread, ...]:
    rows = metric_rows(said.diameter_mm or Decimal(0))
    if said.pitch_mm is not None:
        return tuple(t for t in rows if t.pitch_mm == said.pitch_mm)
    listed = tuple(t for t in rows if not t.is_special)
    wanted = tuple(t for t in listed if t.series == (said.series or "coarse"))
    if wanted or said.series == "coarse":
        return wanted
    return listed or rows


def _nearest_metric(said: ThreadName) -> list[Thread]:
    rows = [t for t in all_threads() if t.family == "M" and not t.is_special]
    size = said.diameter_mm or Decimal(0)
    if said.pitch_mm is None:
        series = said.series or "coarse"
        rows = [t for t in rows if t.series == series or (t.major_mm == size and not metric_coarse(size))]
        return sorted(rows, key=lambda t: (abs(t.major_mm - size), t.major_mm))
    pitch = said.pitch_mm
    if any(t.major_mm == size for t in rows):
        return sorted(rows, key=lambda t: (abs(t.major_mm - size), abs(t.pitch_mm - pitch)))
    return sorted(rows, key=lambda t: (t.pitch_mm != pitch, abs(t.major_mm - size), t.major_mm))


def _distance(thread: Thread, size: Fraction, alike: frozenset[Fraction]) -> tuple[bool, Fraction]:
    own = size_in_inches(thread.size)
    return (own != size and own not in alike, abs(own - size))


def _of_family(family: str | None) -> Sequence[Thread]:
    if family is None:
        return [t for t in all_threads() if t.family not in {"M", "BA", *PIPE}]
    if family == "UN":
        return [t for t in all_threads() if t.family in UNIFIED]
    return [t for t in all_threads() if t.family == family]


def _same_size(thread: Thread, said: ThreadName) -> bool:
    if thread.family == "BA":
        return said.number is not None and thread.size == str(said.number)
    if thread.size.startswith("#"):
        return said.number is not None and thread.size == f"#{said.number}"
    if said.size_in is None:
        return said.number is None
    return size_in_inches(thread.size) == said.size_in
