"""The unit of a number said without one: that of the figures beside it.

In: the figures of a remark and its words. Out: the figures, each bare one with the unit it shares.
Never makes a unit up (`usual_units` does, with a doubt).

Examples: "4.2, four point four and 3.1 ohms"; "18 thou, limit's | ten"; "1.743 and 1.749, inches that is".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.reading.cued_figures import is_like
from notebook.reading.figures import Figure, is_reading_condition
from notebook.reading.lexicon import Lexicon
from notebook.reading.no_sizes import word_at
from notebook.reading.quantities import fits, quantity_near

_NAMES = {
    "inches": ("in", "length"), "inch": ("in", "length"), "thou": ("thou", "length"), "mil": ("mm", "length"), "mils": ("mm", "length"),
    "millimetres": ("mm", "length"), "millimeters": ("mm", "length"), "microns": ("um", "length"), "degrees": ("deg", "angle"),
    "bar": ("bar", "pressure"), "psi": ("psi", "pressure"), "ohms": ("ohm", "resistance"), "volts": ("V", "voltage"),
    "amps": ("A", "current"), "grams": ("g", "mass"),
}  # fmt: skip
_LEND_NOTHING = frozenset({"%", "m", "ft", "gauge", "tpi", "mm2"})


def share_units(figures: Sequence[Figure], lows: Sequence[str], lexicon: Lexicon) -> list[Figure]:
    """Give each bare figure the unit of its list, else of the nearest fitting figure before it, else behind it."""
    sources = [
        f
        for f in figures
        if f.amount.unit is not None and not f.is_running and f.amount.unit not in _LEND_NOTHING
        and not is_reading_condition(f, figures)
    ]  # fmt: skip
    named = named_unit(lows)
    out: list[Figure] = []
    for figure in figures:
        source = (
            None
            if figure.amount.unit is not None
            else _source(figure, sources, figures, quantity_near(figure, lexicon))
            or _source(figure, sources, figures, None)
        )
        unit = (source.amount.unit, source.amount.dimension) if source is not None else named
        if figure.amount.unit is None and unit is not None:
            figure = replace(figure, amount=replace(figure.amount, unit=unit[0], dimension=unit[1]))
        out.append(figure)
    return out


def named_unit(lows: Sequence[str]) -> tuple[str, str] | None:
    """Give a unit said by itself: "..., inches that is", "all in thou"."""
    for at, low in enumerate(lows):
        unit = _NAMES.get(low)
        if unit is None:
            continue
        after = (word_at(lows, at + 1), word_at(lows, at + 2))
        if after in (("that", "is"), ("that", "'s"), ("i", "mean"), ("this", "is")):
            return unit
        if word_at(lows, at - 1) == "in" and word_at(lows, at - 2) in ("all", "that", "'s", "these", "readings", "is"):
            return unit
    return None


def _source(
    figure: Figure, sources: Sequence[Figure], figures: Sequence[Figure], quantity: str | None
) -> Figure | None:
    together = _list_of(figure, figures)
    fitting = [s for s in sources if fits(quantity, s.amount.dimension)]
    listed = next((s for s in fitting if s.piece in together), None)
    if listed is not None:
        return listed
    earlier = [s for s in fitting if s.piece < figure.piece]
    later = [s for s in fitting if s.piece > figure.piece]
    return next((s for s in (*reversed(earlier), *later) if _is_plausible(figure, s)), None)


def _list_of(figure: Figure, figures: Sequence[Figure]) -> set[int]:
    """Give the pieces of the list a figure stands in."""
    heads: dict[int, int] = {}
    for f in figures:
        heads[f.piece] = heads.get(f.follows, f.follows) if f.follows is not None else f.piece
    return {p for p, head in heads.items() if head == heads[figure.piece]}


def _is_plausible(figure: Figure, source: Figure) -> bool:
    """Leave "point four" from taking degrees, and "17 wide" from taking the inches of half an inch of give."""
    if source.amount.unit in ("deg", "rpm") and figure.biggest < 1:
        return False
    return is_like(figure.biggest, source.amount)
