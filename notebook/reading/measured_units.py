"""What is measured, and in which unit, where a remark does not say it beside the figure.

In: a figure, its part and what was said before. Out: its quantity, and the figure with its unit and a doubt where that is customary only.

Examples: "book only allows five" in the unit of the size before; "down to 1/32" in inches; "it's 14 on both" of the gap before.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from notebook.entries import Entry, Measurement
from notebook.reading.figures import Figure
from notebook.reading.focus import Bearer
from notebook.reading.quantities import (
    fits,
    heat_unit,
    part_quantity,
    pounds_unit,
    quantity_near,
    quantity_said,
    unit_quantity,
)
from notebook.reading.roles import MEASURED, role_of
from notebook.reading.state import State
from notebook.reading.usual_units import usual_unit


def goes_on_from_before(state: State) -> bool:
    """ "No wait, this one is 159": the remark puts right a size of the remark before."""
    before = state.memory.measured
    return isinstance(before, Measurement) and is_fresh(before, state) and state.is_correcting


def quantity_of(figure: Figure, part: Bearer | None, last: Measurement | None, state: State) -> str | None:
    dimension = figure.amount.dimension
    if found := quantity_near(figure, state.lexicon):
        return found
    if last is not None and last.quantity and fits(last.quantity, dimension):
        return last.quantity
    default = unit_quantity(figure.amount.unit)
    if default is None and (earlier := _measured_before(part, dimension, state)) is not None:
        return earlier
    sentence = _words_before(figure, state)
    if default is None or default == "mass":
        said = quantity_said(sentence, state.lexicon)
        if said and fits(said, dimension) and not _names_part_since(part, state):
            return said
    if default is not None:
        carried = state.quantity or (
            state.memory.measured.quantity if isinstance(state.memory.measured, Measurement) else None
        )
        if default == "mass" and carried in ("pressure", "torque") and not _names_part_since(part, state):
            return carried
        if default == "torque" and quantity_said(sentence, state.lexicon) == "preload":
            return "preload"
        return default
    if part is None or not part.is_named:
        if state.quantity and fits(state.quantity, dimension):
            return state.quantity
        before = state.memory.measured
        if (
            isinstance(before, Measurement)
            and is_fresh(before, state)
            and fits(before.quantity, dimension)
            and not state.amounts
        ):
            if state.is_correcting or role_of(figure, None, None)[0] != MEASURED:
                return before.quantity
    return None


def _measured_before(part: Bearer | None, dimension: str | None, state: State) -> str | None:
    """Give what was measured just before in this remark, unless another part was named since."""
    last = next((e for e in reversed(state.amounts) if isinstance(e, Measurement)), None)
    if last is None or last.quantity is None or not fits(last.quantity, dimension):
        return None
    return last.quantity if part is None or part.component == last.component else None


def _words_before(figure: Figure, state: State) -> list[str]:
    """Give the words of the sentence before a figure."""
    words = [p.low for p in state.tidied.pieces[: figure.piece]]
    for at in range(len(words) - 1, -1, -1):
        if words[at] in (".", ";", "!", "?"):
            return words[at + 1 :]
    return words


def _names_part_since(part: Bearer | None, state: State) -> bool:
    """Tell whether a new part was named since a quantity was: "backlash is 12, ... and the shaft's 40"."""
    last = next((e for e in reversed(state.amounts) if isinstance(e, Measurement)), None)
    return last is not None and part is not None and part.is_named and part.component != last.component


def is_fresh(entry: Entry, state: State) -> bool:
    return entry in state.memory.entries


def in_unit(figure: Figure, quantity: str | None, state: State) -> Figure:
    """Settle what degrees, pounds and newtons are by what is measured."""
    amount = figure.amount
    words = [p.low for p in state.tidied.pieces]
    unit, dimension = amount.unit, amount.dimension
    if unit == "deg" and (heat := heat_unit(words)):
        unit, dimension = heat, "temperature"
    elif unit == "lb" and (other := pounds_unit(quantity)):
        unit, dimension = other, "pressure" if other == "psi" else "torque"
    elif unit == "N·m" and quantity == "force":
        unit, dimension = "N", "force"
    return replace(figure, amount=replace(amount, unit=unit, dimension=dimension))


def with_usual_unit(
    figure: Figure, quantity: str | None, part: Bearer | None, state: State
) -> tuple[Figure, str | None]:
    """Give a bare figure the unit of what was measured before it, else the one customary for it with a doubt."""
    unit, doubt = _before_unit(figure, quantity, part, state), None
    if "/" in state.tidied.pieces[figure.piece].low and figure.biggest.denominator in _INCH_PARTS:
        unit = unit if unit in ("thou", "in") else "in"  # "down to 1/32 over the rivets"
    if unit is None:
        named = quantity or part_quantity(part.component if part else None, figure, "mm")
        unit = usual_unit(figure, named, state.memory.habit)
        doubt = f"unit not said; taken as {unit}" if unit is not None else None
    dimension = "length" if unit in ("mm", "in", "thou") else None
    return replace(figure, amount=replace(figure.amount, unit=unit, dimension=dimension)), doubt


_INCH_PARTS = frozenset({8, 16, 32, 64})


def _before_unit(figure: Figure, quantity: str | None, part: Bearer | None, state: State) -> str | None:
    """Give the unit of the size before, in this remark or the one before it ("book only allows five")."""
    earlier = next((e for e in reversed(state.amounts) if isinstance(e, Measurement)), None)
    before = earlier or state.memory.measured
    if not isinstance(before, Measurement) or before.unit in ("%", "deg", None):
        return None
    if quantity is not None and before.quantity is not None and quantity != before.quantity:
        return None
    if earlier is not None:
        return before.unit if _is_near(figure, before) else None
    if not is_fresh(before, state):
        return None
    is_same = part is None or part.component == before.component
    if (
        goes_on_from_before(state)
        or quantity is not None
        or (is_same and role_of(figure, quantity, None)[0] != MEASURED)
    ):
        return before.unit
    return None


def _is_near(figure: Figure, entry: Measurement) -> bool:
    """Tell whether a bare figure is of the same order as a size already read."""
    size = entry.value if entry.value is not None else entry.high
    return not size or not figure.biggest or Fraction(1, 20) <= figure.biggest / Fraction(size) <= 20
