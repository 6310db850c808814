"""Units that are said in a workshop, with exact factors, and the words that name them.

In: a value with the symbol of its unit, or the words said for a unit. Out: the value in SI base or
coherent units, the value in another unit, or every unit the words may mean.
Never reads a number out of words and never chooses among several meanings.

Factors are exact fractions. A result is exact where its decimal ends; where it does not (threads per
length, psi, km/h, degF), and where pi comes in (rpm, deg), it is rounded to 12 significant digits.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from notebook.errors import WRONG_USE, NotebookError
from notebook.tables.rows import Confidence, confidence_of, decimal_of, read_rows, words_of

_PI = Fraction("3.14159265358979323846264338327950288419716939937511")
_LARGEST_EXPONENT = 60
"""A value beyond 10^60 or a step below 10^-60 is no workshop amount and is left alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit and how it stands to SI: SI value is (value + plus) x factor."""

    symbol: str
    quantity: str
    si_unit: str
    """SI base or coherent unit that `factor` leads to."""
    factor: Fraction
    plus: Fraction
    """Degrees to add first; 0 for all but temperatures."""
    has_pi: bool
    """True where `factor` is only as good as its many digits of pi."""
    confidence: Confidence
    source: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenUnit:
    """One meaning of some spoken words: "pounds" of a pull, of a pressure, of weight."""

    unit: str
    quantity: str
    when: str
    """What the talk must be of for this meaning to hold; empty where there is no other."""
    confidence: Confidence
    source: str


def find_unit(symbol: str) -> Unit | None:
    """Give the unit of a printed symbol or one of its other spellings ("N·m", "Nm", "°C"); capitals matter."""
    return _units().get(symbol.strip())


def to_si(value: Decimal, unit: str) -> Decimal | None:
    """Give a value in the SI base or coherent unit (m, kg, s, A, K, N, N·m, Pa, m3, rad, rad/s, V, ohm, F, W ...).

    rpm becomes rad/s and tpi becomes threads per metre; degC and degF become K. None for a unit
    that is not in the table (gauge numbers, hardness) and for a value that is no amount (NaN, infinity).
    Exact, or rounded to 12 significant digits where the decimal does not end.
    """
    found = find_unit(unit)
    if found is None or not _is_amount(value):
        return None
    return decimal_of(_si(value, found), is_rounded=found.has_pi)


def convert(value: Decimal, from_unit: str, to_unit: str) -> Decimal:
    """Give a value in another unit of the same quantity; a pitch and threads per inch turn into each other.

    Raises NotebookError where a unit is unknown, the quantities differ, or the value is no amount.
    Exact, or rounded to 12 significant digits where the decimal does not end.
    """
    old, new = _known(from_unit), _known(to_unit)
    if not _is_amount(value):
        raise NotebookError(f"{value} is no amount.", "Give a plain number.", WRONG_USE)
    si = _si(value, old)
    if {old.quantity, new.quantity} == {"length", "threads per length"}:
        if si == 0:
            raise NotebookError("A pitch of nothing has no threads per inch.", "Give the pitch.", WRONG_USE)
        si = 1 / si
    elif old.quantity != new.quantity:
        raise NotebookError(
            f"{from_unit} is {old.quantity} and {to_unit} is {new.quantity}: one does not turn into the other.",
            "Give two units of one kind.",
            WRONG_USE,
        )
    return decimal_of(si / new.factor - new.plus, is_rounded=old.has_pi != new.has_pi)


def unit_of(words: str) -> tuple[str, ...]:
    """Give every unit that some words may mean, commonest first: "pounds" is lb, lbf, psi or lbf·ft.

    A printed symbol is taken as it stands ("N·m"). Empty where the words name no unit. Some answers
    ("SWG", "1/2 in drive") are no amounts: `to_si` gives None for them.
    """
    return tuple(sense.unit for sense in senses_of(words))


def senses_of(words: str) -> tuple[SpokenUnit, ...]:
    """Give every meaning of some words with what the talk must be of for it; example: "mil"."""
    said = _spoken().get(_plain(words), ())
    printed = find_unit(words)
    if printed is None or any(sense.unit == printed.symbol for sense in said):
        return said
    sense = SpokenUnit(
        unit=printed.symbol, quantity=printed.quantity, when="", confidence=printed.confidence, source=printed.source
    )
    return (sense, *said)


def _known(symbol: str) -> Unit:
    found = find_unit(symbol)
    if found is None:
        raise NotebookError(f"No unit {symbol!r} in the table.", "Give a symbol such as mm, in, N·m, psi.", WRONG_USE)
    return found


def _is_amount(value: Decimal) -> bool:
    if not value.is_finite():
        return False
    exponent = value.as_tuple().exponent
    return value.adjusted() <= _LARGEST_EXPONENT and isinstance(exponent, int) and exponent >= -_LARGEST_EXPONENT


def _si(value: Decimal, unit: Unit) -> Fraction:
    return (Fraction(value) + unit.plus) * unit.factor


def _plain(words: str) -> str:
    low = re.sub(r"[-_]", " ", words.lower())
    return re.sub(r"\s+", " ", re.sub(r"[.,;:!?]+(?=\s|$)", "", low)).strip()


@cache
def _units() -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for row in read_rows("units"):
        unit = Unit(
            symbol=row["symbol"],
            quantity=row["quantity"],
            si_unit=row["si_unit"],
            factor=Fraction(row["factor"]) * (_PI if row["times_pi"] else 1),
            plus=Fraction(row["plus"] or 0),
            has_pi=row["times_pi"] == "1",
            confidence=confidence_of(row),
            source=row["source"],
            note=row["note"],
        )
        for name in (unit.symbol, *words_of(row["aliases"])):
            units.setdefault(name, unit)
    return units


@cache
def _spoken() -> dict[str, tuple[SpokenUnit, ...]]:
    said: dict[str, tuple[SpokenUnit, ...]] = {}
    for row in read_rows("units_speech"):
        sense = SpokenUnit(
            unit=row["unit"],
            quantity=row["quantity"],
            when=row["when"],
            confidence=confidence_of(row),
            source=row["source"],
        )
        for form in words_of(row["spoken_forms"]):
            said[form] = (*said.get(form, ()), sense)
    return said
