"""A torque guide where no figure was said.

In: a thread and a property class. Out: a guide figure with its K and band, or the reason why there is none.
Never gives a figure for a part that lives hang on: there the maker's figure is to be got.

T = K F d, F three quarters of the proof load (ISO 898-1). K is how the nut meets the thread: 0.20 as received, 0.15
oiled, 0.12 with heavy lubricant. The maker's figure overrules.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from notebook.tables.rows import Confidence, Row, confidence_of, needed, read_rows
from notebook.tables.threads import find_thread

BAND = Decimal("0.25")
"""A figure from T = K F d is good to a quarter either way, for K is never known better."""
OVERRULED = "guide only; the maker's figure overrules it"
GET_THE_FIGURE = "get the maker's figure"
_KS = {"dry": Decimal("0.20"), "oiled": Decimal("0.15"), "greased": Decimal("0.12")}
_SOFT = re.compile(r"\b(alumini?um|alloy|magnesium|zinc|pot metal|mazak|brass|bronze|plastic|casting)\b")
_STRETCH = re.compile(r"\b(stretch|torque to yield|angle|head bolt|big end bolt|con rod bolt|rod bolt)\b")


_CLASS = r"(8\.8|10\.9|12\.9)"
_CLASS_SAID = re.compile(
    rf"\b(?:grade|class|marked|stamped|says)\s+{_CLASS}\b|\bM\d+(?:x[\d.]+)?,?\s+{_CLASS}\b(?!\s*(?:mm|N|bar|in\b|long))"
    rf"|(?<![\d.]){_CLASS}s?\s+(?:hex\w*\s+|high[- ]tensile\s+|socket\s+|cap\s+)*(?:bolt|screw|stud|nut|setscrew)",
    re.IGNORECASE,
)
_LUBRICANTS = (("greased", re.compile(r"\b(?:anti-?seize|copper grease|greased|moly)\b", re.IGNORECASE)), ("oiled", re.compile(r"\b(?:oiled|oil on (?:the|its|their) threads?)\b", re.IGNORECASE)))  # fmt: skip


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
            f"about {round_figure(self.torque_nm)} N·m ({round_figure(self.low_nm)} to {round_figure(self.high_nm)}; class {self.property_class}, "
            f"{self.condition}, K {self.k}); {OVERRULED}{'' if self.confidence == 'high' else f' [{self.confidence} confidence]'}"
        )


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
    if property_class is None and (classes_of(thread) or find_thread(thread) is None):
        return f"class not said: {GET_THE_FIGURE}"
    found = find_thread(thread)
    row = _rows().get((found.name if found else thread, property_class or ""))
    if row is None and found is not None and not classes_of(found.name):
        return f"the guide is of metric threads only: {GET_THE_FIGURE}"
    if row is None:
        return f"no guide for {thread} in class {property_class}: {GET_THE_FIGURE}"
    k, preload_n = _KS.get(condition, _KS["dry"]), needed(row["preload_75pc_N"])
    torque = torque_of(k, preload_n, needed(row["thread"][1:].split("x")[0]) / 1000)
    return TorqueGuide(
        thread=row["thread"], property_class=row["property_class"], condition=condition if condition in _KS else "dry", k=k,
        preload_n=preload_n, torque_nm=torque, low_nm=torque * (1 - BAND), high_nm=torque * (1 + BAND),
        confidence=confidence_of(row), source=row["source"],
    )  # fmt: skip


def torque_of(k: Decimal, preload: Decimal, diameter: Decimal) -> Decimal:
    """Give T = K F d in the units of force and length that come in: N and m give N·m."""
    return k * preload * diameter


def class_said(words: str) -> str | None:
    """Give the property class that was said of a bolt; None for none, or for several.

    Examples: "M10 10.9 bolts", "grade 8.8", "stamped 12.9". A length of 10.9 mm is none.
    """
    found = {next(g for g in match.groups() if g) for match in _CLASS_SAID.finditer(words)}
    return found.pop() if len(found) == 1 else None


def lubricant_said(words: str) -> str:
    """Give how the threads are to go in: `greased`, `oiled`, or `dry` where nothing was said."""
    return next((name for name, pattern in _LUBRICANTS if pattern.search(words)), "dry")


def classes_of(thread: str) -> tuple[str, ...]:
    """Give the property classes that the guide holds for a thread."""
    found = find_thread(thread)
    return tuple(c for (name, c) in _rows() if found is not None and name == found.name)


def round_figure(value: Decimal) -> str:
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
    "TorqueGuide",
    "class_said",
    "classes_of",
    "lubricant_said",
    "round_figure",
    "torque_guide",
    "torque_of",
]
