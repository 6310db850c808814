"""Unit factors against pint 0.25 (BSD), whose factors come from CODATA and NIST SP 811.

Each of our units is named in pint's own words here, since pint must never be given spoken words: it takes
"mil" for an angle, "ftlb" for a femto-troy-pound, "nm" for a nanometre, "PS" for a petasiemens and
"pint" for the US pint. Those traps are tested too, so that a change of pint is noticed.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from notebook.tables.rows import read_rows
from notebook.tables.units import convert, find_unit, to_si, unit_of

pint = pytest.importorskip("pint", reason="pint is not installed: pip install pint")
UNITS: Any = pint.UnitRegistry()

PINT_NAMES = {
    "m": "meter", "km": "kilometer", "cm": "centimeter", "mm": "millimeter", "um": "micron", "in": "inch",
    "0.1 mm": "0.1*millimeter", "0.01 mm": "0.01*millimeter", "1/16 in": "inch/16", "1/32 in": "inch/32",
    "1/64 in": "inch/64", "thou": "thou", "0.1 thou": "0.1*thou", "uin": "microinch", "ft": "foot", "yd": "yard",
    "mi": "mile", "tpi": "1/inch", "kg": "kilogram", "g": "gram", "mg": "milligram", "t": "metric_ton", "lb": "pound",
    "oz": "ounce", "st": "stone", "cwt": "112*pound", "ton": "long_ton", "US ton": "short_ton", "N": "newton",
    "kN": "kilonewton", "lbf": "force_pound", "kgf": "force_kilogram", "tf": "metric_ton*standard_gravity",
    "tonf": "2240*force_pound", "US tonf": "2000*force_pound", "N·m": "newton*meter", "N·cm": "newton*centimeter",
    "daN·m": "decanewton*meter", "kgf·m": "force_kilogram*meter", "kgf·cm": "force_kilogram*centimeter",
    "lbf·ft": "foot*force_pound", "lbf·in": "inch*force_pound", "ozf·in": "force_ounce*inch", "Pa": "pascal",
    "kPa": "kilopascal", "MPa": "megapascal", "bar": "bar", "mbar": "millibar", "psi": "psi", "atm": "atm",
    "at": "technical_atmosphere", "inHg": "inch_Hg", "inH2O": "inch_H2O", "m3": "meter**3", "L": "liter",
    "mL": "milliliter", "pt": "imperial_pint", "qt": "imperial_quart", "gal": "imperial_gallon",
    "fl oz": "imperial_fluid_ounce", "US pt": "pint", "US qt": "quart", "US gal": "gallon", "s": "second",
    "ms": "millisecond", "min": "minute", "h": "hour", "rpm": "rpm", "rad": "radian", "deg": "degree", "K": "kelvin",
    "degC": "degC", "degF": "degF", "V": "volt", "mV": "millivolt", "kV": "kilovolt", "A": "ampere",
    "mA": "milliampere", "uA": "microampere", "ohm": "ohm", "mohm": "milliohm", "kohm": "kiloohm", "Mohm": "megaohm",
    "F": "farad", "uF": "microfarad", "nF": "nanofarad", "pF": "picofarad", "Ah": "ampere*hour", "W": "watt",
    "kW": "kilowatt", "hp": "hp", "metric hp": "metric_horsepower", "Hz": "hertz", "kHz": "kilohertz",
    "cSt": "centistokes", "km/h": "kilometer/hour", "mph": "mile/hour", "%": "percent", "thou/in": "thou/inch",
    "cycles": "count",
}  # fmt: skip
PINT_SI = {
    "1/m": "1/meter", "m": "meter", "kg": "kilogram", "N": "newton", "N·m": "newton*meter", "Pa": "pascal",
    "m3": "meter**3", "s": "second", "rad/s": "radian/second", "rad": "radian", "K": "kelvin", "V": "volt",
    "A": "ampere", "ohm": "ohm", "F": "farad", "C": "coulomb", "W": "watt", "Hz": "hertz", "m2/s": "meter**2/second",
    "m/s": "meter/second", "1": "dimensionless",
}  # fmt: skip
RELATIVE = 1e-11


def theirs(value: float, name: str, si: str) -> float:
    if name in {"degC", "degF"}:
        return float(UNITS.Quantity(value, name).to("kelvin").magnitude)
    if name == "count":
        return value
    return float((value * UNITS.parse_expression(name)).to(si).magnitude)


def test_every_unit_has_a_name_in_pint() -> None:
    assert set(PINT_NAMES) == {row["symbol"] for row in read_rows("units")}


@pytest.mark.parametrize("symbol", PINT_NAMES)
@pytest.mark.parametrize("value", ["1", "37.5"])
def test_our_si_value_is_theirs(symbol: str, value: str) -> None:
    unit = find_unit(symbol)
    assert unit is not None
    ours = to_si(Decimal(value), symbol)
    assert ours is not None
    assert float(ours) == pytest.approx(theirs(float(value), PINT_NAMES[symbol], PINT_SI[unit.si_unit]), rel=RELATIVE)


def test_our_conversions_are_theirs() -> None:
    for value, old, new in (("188", "lbf·ft", "N·m"), ("30", "psi", "bar"), ("240", "mm", "in"), ("4.5", "L", "gal")):
        ours = float(convert(Decimal(value), old, new))
        quantity = float(value) * UNITS.parse_expression(PINT_NAMES[old])
        assert ours == pytest.approx(quantity.to(PINT_NAMES[new]).magnitude, rel=RELATIVE)


@pytest.mark.parametrize(
    ("spoken", "dimension"),
    [("mil", "radian"), ("nm", "nanometer"), ("PS", "petasiemens"), ("ftlb", "femtotroy_pound"), ("pint", "pint")],
)
def test_pint_still_takes_shop_words_for_something_else(spoken: str, dimension: str) -> None:
    """Each of these would be wrong if a spoken word went straight to pint; ours go by our own table."""
    meant = UNITS.parse_expression(spoken)
    assert meant.dimensionality == UNITS.parse_expression(dimension).dimensionality
    if spoken in {"mil", "nm", "ftlb", "PS"}:
        for unit in unit_of(spoken):
            assert UNITS.parse_expression(PINT_NAMES[unit]).dimensionality != meant.dimensionality


def test_the_uk_pint_and_gallon_are_not_those_of_pint() -> None:
    for symbol, name in (("pt", "pint"), ("gal", "gallon")):
        ours = to_si(Decimal(1), symbol)
        assert ours is not None
        assert float(ours) / float(UNITS.parse_expression(name).to("meter**3").magnitude) == pytest.approx(
            1.20095, abs=1e-5
        )
