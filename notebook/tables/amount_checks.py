"""Doubts about amounts that were said: a pitch no thread has, a unit of the wrong kind, a drill that spoils the thread.

In: the amount with its unit, and the words it was said in. Out: one short line with what is right, or None.
Never changes what was said, and stays silent where it does not know: a doubt must be rare and right.
"""

from __future__ import annotations

import re
from decimal import Decimal

from notebook.tables.checks import doubt_thread
from notebook.tables.thread_names import short
from notebook.tables.thread_table import all_threads
from notebook.tables.threads import find_thread
from notebook.tables.units import find_unit

_PITCH_SHARE = Decimal("0.025")
"""A pitch that was gauged over some threads is good to about this share (common practice, no source)."""
_SIZE_BEFORE = re.compile(
    r"(?<![\d/.])(\d+ \d+/\d+|\d+/\d+)(?: in(?:ch(?:es)?)?\b)?(?: (?:bolt|stud|screw|nut|thread)s?)?,?(?: (?:and|with|at|by|it's|is))? $"
)
_THREADED = re.compile(r"\b(?:bolt|screw|nut|stud|thread|union|plug)s?\b")

_KINDS = {
    "torque": {"torque", "angle"}, "pressure": {"pressure", "length"}, "temperature": {"temperature"}, "voltage": {"voltage"},
    "resistance": {"resistance"}, "current": {"current"}, "speed": {"rotation", "speed", "frequency"},
    **{name: {"length"} for name in ("end float", "run-out", "runout", "thickness", "diameter", "bore", "depth", "length", "width", "protrusion")},
    **{name: {"length", "angle"} for name in ("backlash", "clearance", "play", "slack", "gap")},
}  # fmt: skip
"""What is measured, and the kinds of unit that it can be said in; a torque may be finished by an angle."""
_USUAL = {"torque": "N·m or lbf·ft", "pressure": "bar or psi", "length": "mm or thou", "temperature": "degC", "voltage": "V", "resistance": "ohm", "current": "A", "rotation": "rpm"}  # fmt: skip
_LINK = r"(?:(?: (?:is|was|it|them|that|this|those|up|to|at|of|be|a|the|about|around|roughly|measures?|reads?|came|comes|out|set|says?|nuts?|bolts?))|,)*"
_NAMED = re.compile(rf"\b({'|'.join(sorted(_KINDS, key=len, reverse=True))}){_LINK} $", re.IGNORECASE)

_DRILLED = re.compile(
    r"(\d+(?:\.\d+)?) mm (?:tapping |twist )?drill\b|\bdrill(?:ed|ing)?(?: (?:it|them|that|this|out|to|at|the|hole|holes|for|a|up))* (\d+(?:\.\d+)?) mm\b",
    re.IGNORECASE,
)
_TAPPED = re.compile(r"\b(?:re)?tap(?:ped|ping|s)?\b", re.IGNORECASE)
_INSERT = re.compile(r"\b(?:insert|inserts|coil|sleeve|oversize|time ?sert|bush)\b", re.IGNORECASE)
_LEAST_THREAD = Decimal("0.5")
"""Less of the full depth than this strips (common practice, no source; drills are chosen for 65 to 80 %)."""


def doubt_pitch(value: Decimal, unit: str, before: str, component: str | None = None) -> str | None:
    """Say that no thread has this pitch; `before` is what was said before it, where a size may stand.

    Examples: "3 1/8 in, 20 tpi" no 3 1/8 in thread of 20 tpi; 3/8 BSF is 20 tpi. 23 tpi: no thread of 23 tpi in
    the tables; 22 or 24. Millimetres only of what has a thread: a chain and a spring have a pitch too.
    """
    if value <= 0:
        return None
    size = _SIZE_BEFORE.search(before)
    if unit == "tpi":
        doubt = doubt_thread(f"{size[1]} in, {short(value)} tpi") if size else None
        return doubt or _doubt_pitch_mm(Decimal("25.4") / value, f"{short(value)} tpi", is_inch=True)
    if unit == "mm" and _THREADED.search(component or ""):
        return _doubt_pitch_mm(value, f"pitch {short(value)} mm", is_inch=False)
    return None


def _doubt_pitch_mm(pitch_mm: Decimal, said: str, *, is_inch: bool) -> str | None:
    if any(abs(t.pitch_mm - pitch_mm) <= t.pitch_mm * _PITCH_SHARE for t in all_threads()):
        return None
    known = [t.tpi or t.pitch_mm for t in all_threads() if (t.tpi is not None) == is_inch]
    wanted = Decimal("25.4") / pitch_mm if is_inch else pitch_mm
    below = max((k for k in known if k < wanted), default=None)
    above = min((k for k in known if k > wanted), default=None)
    near = " or ".join(short(k) for k in (below, above) if k is not None)
    return f"no thread of {said} in the tables; the nearest {near}"


def suits(quantity: str, unit: str) -> bool:
    """Tell whether a quantity can be said in a unit; True where either is not known."""
    found = find_unit(unit)
    return found is None or quantity not in _KINDS or found.quantity in _KINDS[quantity]


def doubt_unit(unit: str, before: str) -> str | None:
    """Say that what was named right before an amount is not measured in its unit.

    Examples: "Torque it to", psi: torque in psi; N·m or lbf·ft is usual. "End float is", bar: end float in bar.
    """
    named, found = _NAMED.search(before), find_unit(unit)
    if named is None or found is None:
        return None
    what = named[1].lower()
    if found.quantity in _KINDS[what]:
        return None
    usual = next((_USUAL[kind] for kind in (what, *sorted(_KINDS[what], reverse=True)) if kind in _USUAL), None)
    return f"{what} in {unit}; {usual} is usual" if usual else f"{what} in {unit}"


def doubt_drill(text: str, threads: tuple[str, ...]) -> str | None:
    """Say that the drill that was said does not suit the one thread that was tapped.

    Examples: "drilled it out 8 mm and tapped it M8": 8 mm leaves no thread for M8; its tapping drill is 6.8 mm.
    "8 mm drill for the M10 tap": 8 mm is under the core of M10 (8.376 mm). Inserts want a larger hole and are left alone.
    """
    drilled = _DRILLED.search(text)
    if drilled is None or not _TAPPED.search(text) or _INSERT.search(text) or len(set(threads)) != 1:
        return None
    thread = find_thread(threads[0])
    if thread is None or thread.minor_mm is None or thread.tapping_drill_mm is None:
        return None
    drill = Decimal(drilled[1] or drilled[2])
    hole = f"{'an' if re.match('8|11|18', short(drill)) else 'a'} {short(drill)} mm hole"
    right = f"its tapping drill is {short(thread.tapping_drill_mm)} mm"
    left = (thread.major_mm - drill) / (thread.major_mm - thread.minor_mm)
    if left < _LEAST_THREAD:
        some = "no thread" if left <= 0 else f"{int(left * 100)} % of the thread"
        return f"{hole} leaves {some} for {thread.name}; {right}"
    if drill < thread.minor_mm - Decimal("0.02"):
        return f"{hole} is under the core of {thread.name} ({short(round(thread.minor_mm, 2))} mm); {right}"
    return None
