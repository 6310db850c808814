"""Units: conversions refuse what does not belong together; spoken words give every meaning, never one silently."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.errors import WRONG_USE, NotebookError
from notebook.tables.rows import read_rows, words_of
from notebook.tables.units import convert, find_unit, senses_of, to_si, unit_of

ENTRY_UNITS = (
    "mm um cm m in thou ft tpi N·m lbf·ft lbf·in kgf·m bar psi kPa rpm degC degF deg V ohm kohm Mohm A kg g lb oz t ton"
    " L mL N kN h mi km pt gal mA mV kV s min W kW hp Hz cSt MPa mbar inHg qt cwt mohm uF % cycles"
)
"""Every unit that an entry may hold."""
NO_AMOUNTS = {
    "SWG", "AWG", "drill number", "HRC", "mpg",
    "1/4 in drive", "3/8 in drive", "1/2 in drive", "3/4 in drive", "1 in drive",
}  # fmt: skip
ALL_SYMBOLS = [row["symbol"] for row in read_rows("units")]


@pytest.mark.parametrize("symbol", ENTRY_UNITS.split())
def test_every_unit_of_an_entry_has_a_factor(symbol: str) -> None:
    assert to_si(Decimal(1), symbol) is not None


@pytest.mark.parametrize(
    ("value", "unit", "si"),
    [
        ("7.2", "mm", "0.0072"),
        ("4", "thou", "0.0001016"),
        ("188", "lbf·ft", "254.8937742863032752"),
        ("20", "degC", "293.15"),
        ("-40", "degF", "233.15"),
        ("4318", "h", "15544800"),
        ("20", "tpi", "787.401574803"),
        ("7500", "rpm", "785.398163397"),
        ("180", "deg", "3.14159265359"),
        ("12", "V", "12"),
        ("4.7", "kohm", "4700"),
    ],
)
def test_values_in_si(value: str, unit: str, si: str) -> None:
    found = to_si(Decimal(value), unit)
    assert found is not None
    assert found == Decimal(si)


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity", "1E+100", "1E-100", "sNaN"])
def test_what_is_no_amount_has_no_si_value(value: str) -> None:
    assert to_si(Decimal(value), "mm") is None
    with pytest.raises(NotebookError, match="no amount"):
        convert(Decimal(value), "mm", "in")


def test_what_is_no_unit_has_no_si_value() -> None:
    assert to_si(Decimal(10), "SWG") is None
    assert to_si(Decimal(10), "smoot") is None


@pytest.mark.parametrize("old", ALL_SYMBOLS)
def test_there_and_back_is_the_same_to_twelve_digits(old: str) -> None:
    unit = find_unit(old)
    assert unit is not None
    for row in read_rows("units"):
        if row["quantity"] == unit.quantity:
            there = convert(Decimal("12.5"), old, row["symbol"])
            back = convert(there, row["symbol"], old)
            assert abs(back - Decimal("12.5")) < Decimal("1e-8"), row["symbol"]


@pytest.mark.parametrize(("tpi", "pitch_mm"), [("20", "1.27"), ("26", "0.976923076923"), ("8", "3.175")])
def test_threads_an_inch_and_pitch_turn_into_each_other(tpi: str, pitch_mm: str) -> None:
    assert convert(Decimal(tpi), "tpi", "mm") == Decimal(pitch_mm)
    assert abs(convert(Decimal(pitch_mm), "mm", "tpi") - Decimal(tpi)) < Decimal("1e-9")


@pytest.mark.parametrize(
    ("value", "old", "new", "says"),
    [("1", "mm", "bar", "does not turn"), ("1", "mm", "smoot", "No unit"), ("0", "mm", "tpi", "pitch of nothing")],
)
def test_a_conversion_that_makes_no_sense_is_refused(value: str, old: str, new: str, says: str) -> None:
    with pytest.raises(NotebookError, match=says) as caught:
        convert(Decimal(value), old, new)
    assert caught.value.exit_status == WRONG_USE
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("words", "units"),
    [
        ("mil", ("mm", "thou", "mL")),
        ("pounds", ("lb", "lbf", "psi", "lbf·ft")),
        ("foot pounds", ("lbf·ft",)),
        ("Foot-pounds", ("lbf·ft",)),
        ("tenths", ("0.1 thou", "0.1 mm")),
        ("kilos", ("kg", "kgf")),
        ("degrees", ("deg", "degC", "degF")),
        ("tons", ("ton", "US ton", "tf", "tonf")),
        ("pints", ("pt", "US pt")),
        ("kay", ("km", "kohm")),
        ("newtons", ("N", "N·m")),
        ("nm", ("N·m",)),
        ("Nm", ("N·m",)),
        ("N·m", ("N·m",)),
        ("kilohms", ("kohm",)),
        ("megs", ("Mohm",)),
        ("threads to the inch", ("tpi",)),
        ("swg", ("SWG",)),
        ("bananas", ()),
        ("", ()),
    ],
)
def test_words_give_every_unit_they_may_mean(words: str, units: tuple[str, ...]) -> None:
    assert unit_of(words) == units


def test_a_second_meaning_says_when_it_holds() -> None:
    for row in read_rows("units_speech"):
        for form in words_of(row["spoken_forms"]):
            senses = senses_of(form)
            assert senses
            assert len([sense for sense in senses if not sense.when]) <= 1, form


def test_every_spoken_unit_is_in_the_table_or_known_to_be_no_amount() -> None:
    for row in read_rows("units_speech"):
        assert find_unit(row["unit"]) is not None or row["unit"] in NO_AMOUNTS, row


def test_no_spelling_of_a_unit_belongs_to_two() -> None:
    names = [name for row in read_rows("units") for name in (row["symbol"], *words_of(row["aliases"]))]
    assert len(set(names)) == len(names)


@given(st.text(max_size=30))
def test_no_words_break_the_look_up(words: str) -> None:
    assert isinstance(unit_of(words), tuple)


@given(st.decimals(allow_nan=True, allow_infinity=True), st.sampled_from(ALL_SYMBOLS))
def test_no_number_breaks_the_conversion(value: Decimal, symbol: str) -> None:
    found = to_si(value, symbol)
    assert found is None or found.is_finite()
