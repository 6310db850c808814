"""Numbers as they are said: every number that num2words can say is read back, and the ways of the trade besides."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from num2words import num2words

from notebook.entries import Measurement
from notebook.reading.numbers import read_number
from notebook.reading.reader import Reader
from notebook.reading.words import split_words


def read(text: str) -> Fraction | None:
    """Give the value of the number that begins the text, when it covers the whole of it."""
    tokens = split_words(text)
    found = read_number(tokens, 0)
    return found.value if found is not None and found.end == len(tokens) else None


@given(st.integers(0, 1_000_000))
@example(0)
@example(100)
@example(1_000)
@example(41_200)
@example(1_000_000)
def test_whole_numbers_come_back(number: int) -> None:
    """Source of the words: num2words, English."""
    assert read(num2words(number)) == number


@given(st.integers(0, 99_999), st.integers(1, 3))
@example(5, 2)
@example(72, 1)
def test_decimals_come_back(digits: int, places: int) -> None:
    """Source of the words: num2words, which says each place of a decimal by itself."""
    value = Fraction(digits, 10**places)
    said = num2words(str(float(value)) if value.denominator > 1 else int(value))
    assert read(said) == value


@settings(deadline=None)
@given(st.integers(1, 39))
def test_ordinals_are_no_amounts(number: int) -> None:
    """ "The third one is worn": an ordinal (num2words) names one of several and is never measured."""
    said = num2words(number, to="ordinal")
    entries = Reader().read(f"the {said} tooth is worn").entries
    assert not [e for e in entries if isinstance(e, Measurement)]


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("seven point two", "7.2"), ("nought point oh five", "0.05"), ("point oh eight", "0.08"), ("three eighths", "3/8"), ("an eighth", "1/8"),
        ("two and a half", "5/2"), ("one and three quarters", "7/4"), ("one twenty", "120"), ("two forty", "240"), ("forty-one thousand two hundred", "41200"),
        ("41,200", "41200"), ("twelve hundred", "1200"), ("a hundred and five", "105"), ("seven sixteenths", "7/16"),
        ("nine and a half thousand", "9500"), ("one and a sixteenth", "17/16"), ("five thirty-seconds", "5/32"),
    ],
)  # fmt: skip
def test_as_a_mechanic_says_it(said: str, value: str) -> None:
    """Common practice (no source)."""
    assert read(said) == Fraction(value)


@settings(deadline=None)
@given(st.integers(1, 999), st.sampled_from(["mm", "thou", "newton metres", "hours"]))
def test_an_amount_said_and_printed_is_the_same(number: int, unit: str) -> None:
    """The same remark with the number in words (num2words) and in digits is read into the same value and unit."""
    said = Reader().read(f"the gap is {num2words(number)} {unit}").entries
    printed = Reader().read(f"the gap is {number} {unit}").entries
    assert [e.to_json().get("value") for e in said] == [e.to_json().get("value") for e in printed]
    assert [e.to_json().get("unit") for e in said] == [e.to_json().get("unit") for e in printed]
