"""A torque guide where no figure was said, and how much thread a screw wants in a material.

In: a thread and a property class; a thread, a material and a depth. Out: a guide figure with its K and band, or the
reason why there is none; the depth that is usual.
Never gives a figure for a part that lives hang on: there the maker's figure is to be got.

T = K F d, F three quarters of the proof load (ISO 898-1). K is how the nut meets the thread: 0.20 as received, 0.15
oiled, 0.12 with heavy lubricant. The maker's figure overrules.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from notebook.tables.rows import Confidence, Row, confidence_of, needed, read_rows
from notebook.tables.thread_names import read_thread_name
from notebook.tables.threads import find_thread

BAND = Decimal("0.25")
"""A figure from T = K F d is good to a quarter either way, for K is never known better."""
OVERRULED = "guide only; the maker's figure overrules it"
GET_THE_FIGURE = "get the maker's figure"
_KS = {"dry": ("torque_Nm_K0_20", Decimal("0.20")), "oiled": ("torque_Nm_K0_15", Decimal("0.15")), "greased": ("torque_Nm_K0_12", Decimal("0.12"))}  # fmt: skip
_SOFT = re.compile(r"\b(alumini?um|alloy|magnesium|zinc|pot metal|mazak|brass|bronze|plastic|casting)\b")
_STRETCH = re.compile(r"\b(stretch|torque to yield|angle|head bolt|big end bolt|con rod bolt|rod bolt)\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueGuide:
    """A guide figure in N·m with all it rests on."""

    thread: str
    property_class: str
    condition: str
    """`dry`, `oiled` or `greased`."""
    k: Decimal
    preload_n: Decimal
    torque_nm: Decimal
    low_nm: Decimal
    high_nm: Decimal
    confidence: Confidence
    source: str

    def words(self) -> str:
        """Say it in one line: "about 50 N·m (38 to 63; class 8.8, dry, K 0.20); guide only; ..."."""
        return (
            f"about {_round(self.torque_nm)} N·m ({_round(self.low_nm)} to {_round(self.high_nm)}; class {self.property_class}, "
            f"{self.condition}, K {self.k}); {OVERRULED}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Engagement:
    """How much good thread a screw wants in a material."""

    pairing: str
    usual_mm: Decimal
    cautious_mm: Decimal
    confidence: Confidence
    source: str


def torque_guide(
    thread: str, property_class: str | None, *, condition: str = "dry", part: str = "", is_safety_critical: bool = False
) -> TorqueGuide | str:
    """Give the guide torque of a metric thread in a stated class, or the words that say why there is none.

    Example: M10, 8.8, dry gives 50.5 N·m with K 0.20. Raises nothing; an unknown condition counts as dry.
    """
    if is_safety_critical:
        return f"lives hang on it: {GET_THE_FIGURE}"
    if _STRETCH.search(part.lower()):
        return f"stretch bolts are not tightened by a table: {GET_THE_FIGURE}"
    if _SOFT.search(part.lower()):
        return f"soft casting: {GET_THE_FIGURE}"
    if property_class is None:
        return f"class not said: {GET_THE_FIGURE}"
    found = find_thread(thread)
    row = _rows().get((found.name if found else thread, property_class))
    if row is None:
        return f"no guide for {thread} in class {property_class}: {GET_THE_FIGURE}"
    column, k = _KS.get(condition, _KS["dry"])
    torque = needed(row[column])
    return TorqueGuide(
        thread=row["thread"], property_class=property_class, condition=condition if condition in _KS else "dry", k=k,
        preload_n=needed(row["preload_75pc_N"]), torque_nm=torque, low_nm=torque * (1 - BAND), high_nm=torque * (1 + BAND),
        confidence=confidence_of(row), source=row["source"],
    )  # fmt: skip


def classes_of(thread: str) -> tuple[str, ...]:
    """Give the property classes that the guide holds for a thread."""
    found = find_thread(thread)
    return tuple(c for (name, c) in _rows() if found is not None and name == found.name)


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
    return f"{_round(depth_mm)} mm of {thread if name else 'thread'} in {material}; {span} mm is usual"


def _span(low: Decimal, high: Decimal) -> str:
    return _round(low) if low == high else f"{_round(low)} to {_round(high)}"


def _is_of(material: str, pairing: str) -> bool:
    low = pairing.lower()
    into = low.split(" into ", 1)[1] if " into " in low else low
    names: Sequence[str] = (
        ("aluminium",) if "alumin" in material.lower() or material.lower() == "alloy" else (material.lower(),)
    )
    return any(re.search(rf"\b{re.escape(name)}\b", into) for name in names)


def _round(value: Decimal) -> str:
    """Write a figure to two or three places that count: 50.46 as 50, 1.31 as 1.3."""
    digits = 0 if value >= 10 else 1
    return format(value.quantize(Decimal(1).scaleb(-digits)).normalize(), "f")


@cache
def _rows() -> dict[tuple[str, str], Row]:
    out: dict[tuple[str, str], Row] = {}
    for row in read_rows("torque_guide"):
        found = find_thread(row["thread"])
        out[found.name if found else row["thread"], row["property_class"]] = row
    return out


__all__ = [
    "BAND",
    "GET_THE_FIGURE",
    "OVERRULED",
    "Engagement",
    "TorqueGuide",
    "classes_of",
    "doubt_engagement",
    "engagement",
    "torque_guide",
]
