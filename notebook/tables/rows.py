"""Rows of the tables that lie beside this module.

In: the name of a table. Out: its rows, read once, with numbers exact.
Never opens anything outside the package and never changes a row.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from decimal import Context, Decimal
from fractions import Fraction
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Literal, cast

from notebook.errors import WRONG_USE, NotebookError

Row = Mapping[str, str]
"""One line of a table: column to text, empty where the table is silent."""

Confidence = Literal["high", "medium", "low"]
"""High: agrees with an independent table or a formula. Medium: one source, or recalled and fitting a rule.
Low: recalled only, or sources disagree. Anything but high is to be shown."""

TABLES = (
    "cautions",
    "constant_pitch",
    "engagement_rules",
    "hex_keys",
    "iso10825_modes",
    "iso15243_modes",
    "spanners",
    "thread_lookalikes",
    "threads",
    "torque_guide",
    "units",
    "units_speech",
)


@cache
def read_rows(table: str) -> tuple[Row, ...]:
    """Give all rows of a table, in its order; raises NotebookError for a table there is not."""
    if table not in TABLES:
        raise NotebookError(f"There is no table {table!r}.", f"The tables are {', '.join(TABLES)}.", WRONG_USE)
    text = resources.files("notebook.tables").joinpath(f"{table}.csv").read_text("utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(text.splitlines()))


def exact(text: str) -> Decimal | None:
    """Read a printed decimal exactly; None where the table is silent."""
    return Decimal(text) if text else None


def needed(text: str) -> Decimal:
    """Read a printed decimal exactly where the table may not be silent."""
    return Decimal(text)


def confidence_of(row: Row) -> Confidence:
    """Give how far a row is to be trusted."""
    return cast("Confidence", row["confidence"])


def words_of(text: str) -> tuple[str, ...]:
    """Split a cell that holds several things, parted by semicolons."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


def fraction_of(text: str) -> Fraction:
    """Read a printed inch size: "3/8", "1 1/8", "2", "1.370"."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


def decimal_of(value: Fraction, *, is_rounded: bool = False, digits: int = 12) -> Decimal:
    """Give a fraction as a decimal: exact where it ends, else (or where asked) rounded to so many digits."""
    rest, twos, fives = value.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    if rest == 1 and not is_rounded:
        places = max(twos, fives)
        return Decimal(f"{value.numerator * 10**places // value.denominator}E-{places}")
    return Context(prec=digits).divide(Decimal(value.numerator), Decimal(value.denominator))
