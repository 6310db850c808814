"""Every table is whole: sources, confidence, exact numbers, nothing twice, nothing of the place it was made."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import pytest

from notebook.errors import WRONG_USE, NotebookError
from notebook.tables.rows import TABLES, decimal_of, exact, fraction_of, read_rows, words_of

ROWS = {
    "cautions": 68,
    "constant_pitch": 11,
    "engagement_rules": 8,
    "hex_keys": 152,
    "iso10825_modes": 36,
    "iso15243_modes": 21,
    "spanners": 175,
    "thread_lookalikes": 83,
    "threads": 463,
    "torque_guide": 216,
    "units": 100,
    "units_speech": 111,
}
KEY_COLUMNS = {
    "cautions": ("operation",),
    "constant_pitch": ("system", "tpi"),
    "engagement_rules": ("pairing",),
    "hex_keys": ("screw_type", "standard", "thread"),
    "iso10825_modes": ("clause", "term"),
    "iso15243_modes": ("clause", "submode"),
    "spanners": ("system", "thread", "part"),
    "thread_lookalikes": ("thread_a", "thread_b"),
    "threads": ("designation",),
    "torque_guide": ("thread", "pitch_mm", "property_class"),
    "units": ("symbol",),
    "units_speech": ("spoken_forms", "unit"),
}


def test_no_table_is_forgotten() -> None:
    assert {name: len(read_rows(name)) for name in TABLES} == ROWS


@pytest.mark.parametrize("table", TABLES)
def test_every_row_names_its_source_and_its_confidence(table: str) -> None:
    for row in read_rows(table):
        assert row["source"].strip(), row
        assert row["confidence"] in {"high", "medium", "low"}, row


@pytest.mark.parametrize("table", TABLES)
def test_no_row_stands_twice_and_no_cell_is_missing(table: str) -> None:
    keys = [tuple(row[c] for c in KEY_COLUMNS[table]) for row in read_rows(table)]
    assert len(set(keys)) == len(keys)
    for row in read_rows(table):
        assert None not in row
        assert all(isinstance(cell, str) and cell == cell.strip() for cell in row.values()), row


@pytest.mark.parametrize("table", TABLES)
def test_no_cell_names_a_path_or_a_web_address(table: str) -> None:
    for row in read_rows(table):
        assert not re.search(r"(?:^|\s)/\w+/|https?:|www\.|\\", " ".join(row.values())), row


def test_numbers_of_the_tables_are_exact_and_positive() -> None:
    for table in TABLES:
        for row in read_rows(table):
            for column, cell in row.items():
                if cell and re.search(r"_(?:mm|mm2|N|MPa|deg)$", column) and column != "major_difference_mm":
                    number = exact(cell)
                    assert number is not None
                    assert number >= 0, (table, row)


def test_a_table_there_is_not_is_said_so() -> None:
    with pytest.raises(NotebookError, match=r"no table 'gears'.*The tables are") as caught:
        read_rows("gears")
    assert caught.value.exit_status == WRONG_USE


def test_rows_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        read_rows("threads")[0]["designation"] = "M99"  # type: ignore[index]


@pytest.mark.parametrize(
    ("value", "decimal"),
    [
        (Fraction(1, 8), "0.125"),
        (Fraction(254, 10) / 20, "1.27"),
        (Fraction(-7, 4), "-1.75"),
        (Fraction(1000), "1000"),
        (Fraction(1, 3), "0.333333333333"),
        (Fraction(200, 3), "66.6666666667"),
    ],
)
def test_fractions_become_exact_decimals_or_twelve_digits(value: Fraction, decimal: str) -> None:
    assert decimal_of(value) == Decimal(decimal)


def test_small_readers() -> None:
    assert fraction_of("1 1/8") == Fraction(9, 8)
    assert fraction_of("1.370") == Fraction(137, 100)
    assert words_of("a; b ;; c") == ("a", "b", "c")
    assert exact("") is None


def test_cautions_are_plain_and_graded() -> None:
    for row in read_rows("cautions"):
        assert row["level"] in {"high", "medium", "low"}
        assert words_of(row["keywords"])
        assert 20 < len(row["caution"]) < 240
        assert row["caution"].endswith((".", "now."))


def test_every_torque_row_carries_its_caution() -> None:
    assert all("the maker's figure overrules" in row["caution"] for row in read_rows("torque_guide"))
