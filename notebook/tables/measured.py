"""Every thread that a measured bolt may be: "9.4 mm over the threads, 20 to the inch".

In: a diameter over the threads and, where it was counted, a pitch. Out: candidates in order, each with its reasons.
Never chooses one: a worn bolt, plating and a vernier's jaw are larger than the difference between some threads.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from notebook.tables.thread_names import short
from notebook.tables.thread_table import Thread, all_threads, lookalikes_of

UNDER_MM = Decimal("0.35")
"""Threads measure under their nominal diameter by 0.02 to 0.3 mm; a worn one by more (common practice, no source)."""
OVER_MM = Decimal("0.05")
"""What a measurement may be over: plating, a burr, the vernier."""
PITCH_ERROR = Decimal("0.025")
"""A pitch counted over some threads is good to about this share."""
_FAMILIES = ("M", "UNC", "UNF", "BSW", "BSF", "BA", "G", "BSC", "UNEF", "UNS", "R", "NPT")


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A thread that a measured bolt may be, and why."""

    thread: Thread
    under_mm: Decimal
    """How much the bolt measures under the nominal diameter; below zero it is over."""
    reasons: tuple[str, ...]


def candidates(diameter_mm: Decimal, pitch_mm: Decimal | None = None) -> tuple[Candidate, ...]:
    """Give every thread whose diameter and pitch fit, the likeliest first; both in mm.

    Example: 9.4 mm and 20 threads an inch gives 3/8 BSF first; UNC and BSW of 3/8 have 16 and are left out.
    """
    found = []
    for thread in all_threads():
        under = thread.major_mm - diameter_mm
        if not -OVER_MM <= under <= max(UNDER_MM, thread.pitch_mm * Decimal("0.2")):
            continue
        if pitch_mm is not None and abs(thread.pitch_mm - pitch_mm) > thread.pitch_mm * PITCH_ERROR:
            continue
        found.append(Candidate(thread=thread, under_mm=under, reasons=_reasons(thread, under, pitch_mm)))
    return tuple(sorted(found, key=lambda c: _unlikely(c, pitch_mm)))


def _unlikely(candidate: Candidate, pitch_mm: Decimal | None) -> tuple[bool, Decimal, int]:
    thread = candidate.thread
    pitch_error = abs(thread.pitch_mm - pitch_mm) / thread.pitch_mm if pitch_mm is not None else Decimal(0)
    usual = Decimal("0.12")
    miss = abs(candidate.under_mm - usual) / usual / 10 + pitch_error * 40
    if thread.series not in ("coarse", "") and pitch_mm is None and thread.family == "M":
        miss += 1
    return thread.is_special, miss, _FAMILIES.index(thread.family) if thread.family in _FAMILIES else len(_FAMILIES)


def _reasons(thread: Thread, under_mm: Decimal, pitch_mm: Decimal | None) -> tuple[str, ...]:
    size = f"{short(thread.major_mm)} mm nominal, the bolt is {short(abs(under_mm))} mm {'over' if under_mm < 0 else 'under'}"
    pitch = f"{short(thread.tpi)} threads an inch" if thread.tpi is not None else f"pitch {short(thread.pitch_mm)} mm"
    out = [
        size,
        pitch if pitch_mm is None else f"{pitch} fits what was counted",
        f"flank angle {short(thread.angle_deg)} degrees",
    ]
    alike = [a.other for a in lookalikes_of(thread.name)]
    if alike:
        out.append(f"easily taken for {', '.join(alike[:3])}: gauge the flanks")
    if thread.is_special:
        out.append("not a standard size")
    return tuple(out)
