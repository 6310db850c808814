"""Units as they are said after a number, and the words that only look like one.

In: tokens and a place among them. Out: the unit that begins there.
Never reads the number before it.

Examples: "mil" mm, "foot pounds" lbf·ft, "mils of oil" mL, "a half inch of give" in; "3 in bag 4" and "2 v blocks" have none.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import NamedTuple

from notebook.reading.number_words import Number, low_at
from notebook.reading.words import Token

NOT_UNITS = frozenset(
    (
        "minute minutes second seconds day days week weeks month months year years quid dollar dollars buck "
        "bucks euro euros pence cent cents times o'clock grand bob fiver people percenter"
    ).split()
)
"""Words after a number that make it an amount of something else; such a number is left alone."""


class UnitSaid(NamedTuple):
    """The symbol of a unit, what it measures, and where its words end."""

    symbol: str
    dimension: str
    end: int


@cache
def _units() -> tuple[dict[tuple[str, ...], tuple[str, str]], int, frozenset[str]]:
    text = resources.files("notebook.reading").joinpath("data", "units.toml").read_text("utf-8")
    said: dict[tuple[str, ...], tuple[str, str]] = {}
    halved: set[str] = set()
    for row in tomllib.loads(text)["unit"]:
        for phrase in row["said"]:
            said[tuple(phrase.split())] = (row["symbol"], row["dimension"])
        if row.get("is_halved", True):
            halved.add(row["symbol"])
    return said, max(map(len, said)), frozenset(halved)


def read_unit(tokens: Sequence[Token], at: int) -> UnitSaid | None:
    """Give the longest unit that begins at a token."""
    said, longest, _ = _units()
    words = tuple(t.low for t in tokens[at : at + longest])
    for n in range(len(words), 0, -1):
        if found := said.get(words[:n]):
            return UnitSaid(*found, at + n)
    return None


def unit_of_number(tokens: Sequence[Token], number: Number, at: int) -> UnitSaid | None:
    """Give the unit right behind a number, with "mil" of a liquid for mL; None where the words only look like one."""
    unit = read_unit(tokens, at)
    if unit is None or _is_false_unit(tokens, at, unit, number):
        return None
    if unit.symbol == "mm" and low_at(tokens, at) in _MILS and _is_poured(tokens, number.start, unit.end):
        return UnitSaid("mL", "volume", unit.end)
    return unit


def unit_of_fraction(tokens: Sequence[Token], at: int) -> UnitSaid | None:
    """Read "of an inch", "of a mil", "a thou", "a meg" after a fraction."""
    if low_at(tokens, at) == "of":
        at += 1
    if low_at(tokens, at) in ("a", "an"):
        at += 1
    unit = read_unit(tokens, at)
    return unit if unit and is_halved(unit.symbol) else None


def is_halved(symbol: str) -> bool:
    """Tell a unit that is said in halves and quarters ("half a mil", "a bar and a half") from the rest."""
    return symbol in _units()[2]


def _is_false_unit(tokens: Sequence[Token], at: int, unit: UnitSaid, number: Number) -> bool:
    """Catch words that only look like units: "3 in bag 4", "two v blocks", "bar the last one"."""
    low, glued = tokens[at].low, tokens[at].glued
    following = low_at(tokens, unit.end)
    if low == "in" and unit.end == at + 1:
        if glued and following not in ("the", "a", "bag", "tray"):
            return False
        return following not in _AFTER_INCHES
    if low in ("g", "v", "h", "t", "m"):
        return following in (
            "block",
            "blocks",
            "belt",
            "belts",
            "bolt",
            "bolts",
            "slot",
            "slots",
            "piece",
            "clamp",
        ) or (not glued and number.spoken)
    if low == "mill":
        return following in ("is", "was", "has", "'s")
    if low == "bar":
        return following in ("the", "one", "number", "for")
    return low in ("foot", "feet") and following in (
        "valve",
        "valves",
        "pedal",
        "pedals",
        "brake",
        "peg",
        "pegs",
        "bolts",
    )


_AFTER_INCHES = frozenset(
    ("", ".", ",", "long", "wide", "deep", "thick", "bolt", "bolts", "across", "diameter", "by", "bore")
)
_MILS = frozenset({"mil", "mils", "mill", "mills"})
_LIQUIDS = frozenset(
    "oil fluid water coolant petrol gas fuel diesel antifreeze paraffin kerosene liquid juice lube".split()
)
_POURS = frozenset(
    "drained drain drains draining poured pour fill fills filled refill refilled syringed bled topped tipped holds".split()
)


def _is_poured(tokens: Sequence[Token], at: int, end: int) -> bool:
    """Tell "drained 310 mil out of the leg" and "ten mil of fork oil" (mL) from "fill the gap, 2 mil"."""
    if low_at(tokens, end) == "of" and any(t.low in _LIQUIDS for t in tokens[end + 1 : end + 4]):
        return True
    before = [t.low for t in tokens[max(0, at - 6) : at]]
    return any(w in _POURS for w in before) and not any(w in ("gap", "hole", "groove", "slot", ".") for w in before)
