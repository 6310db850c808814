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


def quantity_said(words: Sequence[str], lexicon: Lexicon, *, is_first: bool = False) -> str | None:
    """Give the quantity a stretch of words names: its last (before a figure), or its first (behind one)."""
    found: list[tuple[int, int, str]] = []
    for at in range(len(words)):
        for n in range(min(4, len(words) - at), 0, -1):
            if name := lexicon.quantities.get(tuple(words[at : at + n])):
                if words[at] not in _NO_QUANTITY:
                    found.append((at, at + n, name))
                break
    found.extend((h.start, h.end, h.cue.says) for h in cues_in("quantity_said", words))
    if not found:
        return None
    if is_first:
        return min(found, key=lambda f: (f[0], f[0] - f[1]))[2]
    return max(found, key=lambda f: (f[1], f[1] - f[0]))[2]


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
    right = quantity_said(figure.after[:4], lexicon, is_first=True)
    if right is not None and fits(right, dimension) and _is_right_behind(figure, lexicon):
        return right
    left = quantity_said(figure.before, lexicon)
    if left is not None and fits(left, dimension):
        return left
    for words in (figure.after[:_AFTER_REACH], figure.aside):
        later = quantity_said(words, lexicon, is_first=True)
        if later is not None and fits(later, dimension) and not (figure.runs_into and words is figure.after):
            return later
    return None


def _is_right_behind(figure: Figure, lexicon: Lexicon) -> bool:
    """ "Three thou | end float", "half an inch | of give", "41 | free": named as what the figure is of."""
    start = 0
    while start < len(figure.after) and figure.after[start] in ("of", "total", "side", "a", "the", "free", "clear"):
        if figure.after[start] == "free":
            return True
        start += 1
    window = figure.after[start : start + 3]
    return any(quantity_said(window[:n], lexicon, is_first=True) for n in range(1, len(window) + 1)) and (
        quantity_said(window[:1], lexicon) is not None or quantity_said(window[:2], lexicon) is not None
    )
