"""The unit a bare size is taken in when none was said: a custom of the trade, always with a doubt.

In: a figure, what it measures, the habit of the shop. Out: a unit, or None where no custom says.
Never overrules a unit that was said.
source: common practice (no source)

Examples: "disc's 4.1, minimum's four" mm; "plug gap's point oh two five" in; "compression's one thirty" psi.
"""

from __future__ import annotations

from notebook.reading.figures import Figure

_LENGTHS = frozenset(
    "diameter thickness length depth width protrusion gap clearance play run-out slack travel lift flatness wear ovality taper".split()
)
_FINE = frozenset({"clearance", "end float", "backlash", "run-out", "gap", "play", "ovality", "taper", "flatness"})


def usual_unit(figure: Figure, quantity: str | None, habit: str | None) -> str | None:
    """Give the unit a bare figure is taken in; None where the figure could be in several."""
    size = figure.biggest
    if quantity == "pressure":
        return "psi" if size >= 25 else None
    if quantity not in _LENGTHS and quantity not in _FINE:
        return None
    if size.denominator == 1:
        if habit == "inch" and quantity in _FINE and size >= 2:
            return "thou"
        return "mm" if habit == "metric" or (quantity not in _FINE and size >= 2) else None
    if size < 1 and _places(size) == 3:
        return "in"
    if habit == "inch" and size < 12:
        return "in" if quantity not in _FINE or size < 1 else "thou"
    return "mm"


def _places(size: object) -> int:
    text = f"{float(size):.6f}".rstrip("0")  # type: ignore[arg-type]
    return len(text.split(".")[1])
