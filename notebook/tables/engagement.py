"""How much good thread a screw wants in a material.

In: a thread, a material, a depth. Out: the depth that is usual, by rule of thumb; the least by formula where both sides
are equally strong; a doubt where there is too little. The rule of thumb is the safer figure and the one that is shown first.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from notebook.tables.rows import Confidence, confidence_of, needed, read_rows
from notebook.tables.thread_names import read_thread_name
from notebook.tables.thread_table import Thread
from notebook.tables.threads import find_thread
from notebook.tables.torque import round_figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """How much good thread a screw wants in a material."""

    pairing: str
    usual_mm: Decimal
    cautious_mm: Decimal
    confidence: Confidence
    source: str


def engagement(thread: str, material: str) -> Engagement | None:
    """Give the depth of good thread that is usual in a material; None where thread or material is unknown.

    Rule of thumb in diameters (common practice): steel 1, cast iron 1.5, aluminium 2 to 2.5.
    """
    found = find_thread(thread)
    rule = next((r for r in read_rows("engagement_rules") if _is_of(material, r["pairing"])), None)
    if found is None or rule is None:
        return None
    return Engagement(
        pairing=rule["pairing"], usual_mm=found.major_mm * needed(rule["min_diameters"]),
        cautious_mm=found.major_mm * needed(rule["cautious_diameters"]), confidence=confidence_of(rule), source=rule["source"],
    )  # fmt: skip


def doubt_engagement(thread: str, material: str, depth_mm: Decimal) -> str | None:
    """Say that too little thread is in for the material; None where it is enough or nothing is known.

    Example: M8, aluminium, 10 mm: 10 mm of M8 in aluminium; 16 to 20 mm is usual.
    """
    wanted = engagement(thread, material)
    if wanted is None or depth_mm >= wanted.usual_mm:
        return None
    span = _span(wanted.usual_mm, wanted.cautious_mm)
    name = read_thread_name(thread)
    return f"{round_figure(depth_mm)} mm of {thread if name else 'thread'} in {material}; {span} mm is usual"


def _span(low: Decimal, high: Decimal) -> str:
    return round_figure(low) if low == high else f"{round_figure(low)} to {round_figure(high)}"


def _is_of(material: str, pairing: str) -> bool:
    low = pairing.lower()
    into = low.split(" into ", 1)[1] if " into " in low else low
    names: Sequence[str] = (
        ("aluminium",) if "alumin" in material.lower() or material.lower() == "alloy" else (material.lower(),)
    )
    return any(re.search(rf"\b{re.escape(name)}\b", into) for name in names)


def formula_engagement(stress_area: float, hole: float, pitch_diameter: float, pitch: float) -> float:
    """Give the least engagement at which a bolt breaks before its thread shears, both sides equally strong.

    FED-STD-H28/2B (1991) formula 14: 2 At / (pi Kn (1/2 + 0.57735 n (Es - Kn))), Kn the largest minor diameter of the hole,
    Es the smallest pitch diameter of the bolt. All in one unit of length. 1/2-13 UNC 2A/2B gives 0.3643 in.
    """
    return 2 * stress_area / (math.pi * hole * (0.5 + (pitch_diameter - hole) / (math.sqrt(3) * pitch)))


def least_engagement_mm(thread: Thread) -> float | None:
    """Give the least engagement of a metric thread in equally strong metal; None for other threads.

    Limits of 6H and 6g by the formulas of ISO 965-1, unrounded: within 0.02 mm of the printed limits of M5 to M24.
    """
    if thread.family != "M" or thread.minor_mm is None:
        return None
    d, pitch = float(thread.major_mm), float(thread.pitch_mm)
    hole_um = 433 * pitch - 190 * pitch**1.22 if pitch < 1 else 230 * pitch**0.7
    under_um = 15 + 11 * pitch + 90 * pitch**0.4 * d**0.1
    height = math.sqrt(3) / 2 * pitch
    pitch_diameter = d - 0.75 * height
    core = d - 1.25 * height - height / 6
    area = math.pi / 4 * ((pitch_diameter + core) / 2) ** 2
    return formula_engagement(area, float(thread.minor_mm) + hole_um / 1000, pitch_diameter - under_um / 1000, pitch)
