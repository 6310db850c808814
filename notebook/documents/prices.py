"""A price list that the user brings, and what a job comes to by it.

In: the text of a CSV with the columns part and price, the lines to price, hours, tax. Out: priced lines and totals,
and beside them what is wrong with the list. Money is exact; a line without a price says so and counts as nothing.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from notebook.errors import WRONG_USE, NotebookError, Problem, one_line

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceList:
    """Price of one piece, by the part's name in lower case."""

    prices: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedLine:
    """One line of an estimate."""

    what: str
    quantity: str
    each: str
    total: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """What the work comes to, in words ready to print."""

    lines: tuple[PricedLine, ...]
    net: str
    tax_name: str
    tax: str
    total: str
    missing: tuple[str, ...]
    """Parts that the list has no price for."""


def read_prices(text: str, file: str) -> tuple[PriceList, list[Problem]]:
    """Read a price list; a row that is wrong becomes a problem with its line. Raises NotebookError without the columns part and price."""
    rows = csv.DictReader(text.lstrip("\ufeff").splitlines())
    names = [(n or "").strip().lower() for n in rows.fieldnames or ()]
    if "part" not in names or "price" not in names:
        raise NotebookError(
            f"{one_line(file)} is no price list: it has no columns part and price.",
            "Begin it with the line: part,price",
            WRONG_USE,
        )
    rows.fieldnames = names
    prices: dict[str, Decimal] = {}
    problems: list[Problem] = []
    for line, row in enumerate(rows, 2):
        part, said = (row.get("part") or "").strip().lower(), (row.get("price") or "").strip()
        try:
            price = Decimal(said.replace(",", "."))
            if not part or not price.is_finite() or price < 0:
                raise InvalidOperation
        except InvalidOperation:
            problems.append(
                Problem(about=f"{file}, line {line}", message="is no part with a price.", remedy="The rest is used.")
            )
            continue
        prices[part] = price
    return PriceList(prices=prices), problems


def price_work(
    wanted: Sequence[tuple[str, int | None, str]], hours: Decimal, prices: PriceList, names_of: Callable[[str], Sequence[str]], *,
    currency: str, hourly_rate: Decimal, tax_name: str, tax_percent: Decimal,
) -> Estimate:  # fmt: skip
    """Price lines of (part, how many, note): each by its own name, else by a name it answers to; one where nobody said how many."""
    lines, net, missing = [], Decimal(0), []
    for part, count, note in wanted:
        price = next((prices.prices[n] for n in (part.lower(), *names_of(part)) if n in prices.prices), None)
        number = count if count is not None else 1
        if price is None:
            missing.append(part)
            lines.append(PricedLine(what=part, quantity=str(number), each="", total="price to follow", note=note))
            continue
        amount = round_money(price * number)
        net += amount
        lines.append(
            PricedLine(
                what=part, quantity=str(number), each=money(price, currency), total=money(amount, currency), note=note
            )
        )
    if hourly_rate > 0 and hours > 0:
        amount = round_money(hourly_rate * hours)
        net += amount
        lines.append(
            PricedLine(
                what="labour, estimated from the clock", quantity=f"{hours} h", each=money(hourly_rate, currency), total=money(amount, currency)
            )
        )  # fmt: skip
    tax = round_money(net * tax_percent / 100)
    return Estimate(
        lines=tuple(lines), net=money(net, currency), tax_name=f"{tax_name} {tax_percent.normalize():f} %" if tax_percent else "",
        tax=money(tax, currency), total=money(net + tax, currency), missing=tuple(dict.fromkeys(missing)),
    )  # fmt: skip


def round_money(amount: Decimal) -> Decimal:
    """Round to a hundredth, halves up."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def money(amount: Decimal, currency: str) -> str:
    """Write an amount with two places and its currency."""
    return f"{currency} {round_money(amount):,.2f}".strip()
