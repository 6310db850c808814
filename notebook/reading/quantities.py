"""What a figure measures: thickness, clearance, pressure, torque...

In: a figure with its words, its unit, and the part it is of. Out: the quantity and the unit that fits it.
Never says which part, nor what the figure is for.

Examples: "eight thou | on the v blocks" run-out; "pads are 3 mil" thickness; "compression's 95 pounds" pressure in psi;
"warm it to 100 degrees" temperature in degC; "then ninety degrees" angle.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache

from notebook.reading.figures import Figure
from notebook.reading.lexicon import Lexicon
from notebook.reading.speaking import cues_in, table_of, word_set

_IN_MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(254, 10),
    "thou": Fraction(254, 10000),
    "um": Fraction(1, 1000),
}
_AFTER_REACH = 6


def quantity_said(words: Sequence[str], lexicon: Lexicon) -> str | None:
    """Give the quantity a stretch of words names last."""
    found = _named(words, lexicon)
    return max(found, key=lambda f: (f[1], f[1] - f[0]))[2] if found else None


def _first_said(words: Sequence[str], lexicon: Lexicon) -> tuple[int, str] | None:
    """Give the quantity a stretch of words names first, and at which word."""
    found = _named(words, lexicon)
    if not found:
        return None
    first = min(found, key=lambda f: (f[0], f[0] - f[1]))
    return first[0], first[2]


def _named(words: Sequence[str], lexicon: Lexicon) -> list[tuple[int, int, str]]:
    found: list[tuple[int, int, str]] = []
    for at in range(len(words)):
        for n in range(min(4, len(words) - at), 0, -1):
            if name := lexicon.quantities.get(tuple(words[at : at + n])):
                if words[at] not in _NO_QUANTITY:
                    found.append((at, at + n, name))
                break
    found.extend((h.start, h.end, h.cue.says) for h in cues_in("quantity_said", words))
    return found


_NO_QUANTITY = frozenset(
    {"load", "high", "pull", "lift", "rock", "float", "drag", "nip", "crush", "wear", "gaps", "temperature"}
)
"""Words that are as often something else ("pull it", "float height"); they count where the lists of amounts name them."""


def fits(quantity: str | None, dimension: str | None) -> bool:
    """Tell whether a quantity can have a unit of this dimension."""
    if quantity is None or dimension is None:
        return True
    allowed = table_of("quantity_units").get(dimension)
    return allowed is None or quantity in allowed


def unit_quantity(unit: str | None) -> str | None:
    """Give what a unit measures when nothing else is said: "40 psi" pressure."""
    found: str | None = table_of("unit_quantity").get(unit or "")
    return found


def heat_unit(words: Iterable[str]) -> str | None:
    """Give the unit of bare degrees that are of heat ("warm it to 100 degrees"), or None where they are of a turn."""
    said = set(words)
    if said & {"fahrenheit", "farenheit"}:
        return "degF"
    if said & word_set("degrees", "turn"):
        return None
    return "degC" if said & word_set("degrees", "heat") else None


def pounds_unit(quantity: str | None) -> str | None:
    """Give what "pounds" are: of a pressure psi, of a torque lbf·ft, else a weight."""
    return {"pressure": "psi", "torque": "lbf·ft", "preload": "lbf·in"}.get(quantity or "")


@cache
def _part_sizes() -> tuple[tuple[frozenset[str], str, Fraction, Fraction | None], ...]:
    return tuple(
        (
            frozenset(row["parts"].split()), row["quantity"], Fraction(str(row["smallest_mm"])),
            Fraction(str(row["largest_mm"])) if "largest_mm" in row else None,
        )
        for row in table_of("part_size")
    )  # fmt: skip


def part_quantity(component: str | None, figure: Figure, unit: str | None) -> str | None:
    """Give the size that is usually taken of a part: "pads, 3 mil" thickness, "pin's 19.9" diameter.

    A size too small for that is the room it runs in: "8 thou on the pin" play.
    """
    factor = _IN_MM.get(unit or "")
    head = (component or "").split()[-1:]
    if factor is None or not head:
        return None
    size = figure.biggest * factor
    for parts, quantity, smallest, largest in _part_sizes():
        if head[0] in parts and size >= smallest and (largest is None or size <= largest):
            return quantity
    return None


def quantity_near(figure: Figure, lexicon: Lexicon) -> str | None:
    """Give the quantity named in a figure's own stretch: right behind it, else before it, else further behind."""
    dimension = figure.amount.dimension
    behind = _first_said(figure.after[:_AFTER_REACH], lexicon)
    if behind is not None and fits(behind[1], dimension) and _is_right_behind(figure.after, behind[0]):
        return behind[1]
    before = quantity_said(figure.before, lexicon)
    if before is not None and fits(before, dimension):
        return before
    if behind is not None and fits(behind[1], dimension) and not figure.runs_into:
        return behind[1]
    aside = _first_said(figure.aside, lexicon)
    return aside[1] if aside is not None and aside[0] == 0 and fits(aside[1], dimension) else None


_BETWEEN = frozenset("of total side a the clear worth good or so".split())


def _is_right_behind(after: Sequence[str], at: int) -> bool:
    """ "Three thou | end float", "half an inch | of give", "41 | free": named as what the figure is of."""
    return all(w in _BETWEEN for w in after[:at])
