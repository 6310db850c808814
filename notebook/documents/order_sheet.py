"""The order list of one job or several: what to order, how many, what size, why, and how far it is.

In: lines to order, the log or logs they are of. Out: the list as values, as CSV and as text for a terminal.
What the owner approved and what the work implies stands first; the rest is shown only when asked for.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from notebook.documents.deciding_words import STATES, said_by
from notebook.documents.paper import Head, capital, count_words, day_words, list_words
from notebook.errors import one_line
from notebook.log.order_list import OrderLine
from notebook.nouns import Job
from notebook.shop import PaperSettings

COLUMNS = ("job", "machine", "sort", "part", "which", "quantity", "size", "reason", "state", "remarks")


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One line of the list, in words."""

    job: str
    machine: str
    sort: str
    part: str
    which: str
    quantity: str
    """Empty where nobody said how many."""
    size: str
    reason: str
    state: str
    remarks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderSheet:
    """The whole list."""

    head: Head
    parts: tuple[OrderRow, ...]
    consumables: tuple[OrderRow, ...]
    left_out: int
    """How many lines wait for the owner and are not shown."""
    several_jobs: bool
    note: str

    @property
    def rows(self) -> tuple[OrderRow, ...]:
        """Give every row, parts first."""
        return (*self.parts, *self.consumables)


def make_order_sheet(
    jobs: Sequence[Job], lines: Sequence[OrderLine], day: datetime, settings: PaperSettings, *, left_out: int = 0
) -> OrderSheet:
    """Make the list of the lines given; `day` is the date it stands for."""
    machines = {j.number: j.machine.kind for j in jobs}
    rows = [_row(line, machines.get(line.job_number, "")) for line in lines]
    numbers = [one_line(j.number) for j in jobs]
    facts = [("Machine", one_line(list_words(list(dict.fromkeys(j.machine.kind for j in jobs)), most=6)))]
    if len(jobs) == 1 and jobs[0].machine.plate:
        facts.append(("Plate or tag", one_line(jobs[0].machine.plate)))
    facts.append(("As of", day_words(day)))
    note = (
        f"{count_words(left_out, 'line')} more {'waits' if left_out == 1 else 'wait'} for the owner's word."
        if left_out
        else ""
    )
    return OrderSheet(
        head=Head(
            title="Order list", shop=one_line(settings.name), address=tuple(one_line(a) for a in settings.address),
            mark="mark.jpg" if settings.mark else None, job=list_words(numbers, most=6),
            machine=one_line(list_words(list(dict.fromkeys(j.machine.kind for j in jobs)), most=4)), date=day_words(day), facts=tuple(facts),
        ),
        parts=tuple(r for r, line in zip(rows, lines, strict=True) if line.sort == "part"),
        consumables=tuple(r for r, line in zip(rows, lines, strict=True) if line.sort == "consumable"),
        left_out=left_out, several_jobs=len(jobs) > 1, note=note,
    )  # fmt: skip


def _row(line: OrderLine, machine: str) -> OrderRow:
    return OrderRow(
        job=one_line(line.job_number), machine=one_line(machine), sort=line.sort, part=capital(one_line(line.component)),
        which=one_line(line.position or ""), quantity=str(line.quantity) if line.quantity is not None else "", size=one_line(line.size or ""),
        reason=one_line(line.reason), state=said_by(line.decision) if line.decision else STATES.get(line.state, "needed for the work"), remarks=", ".join(str(n) for n in line.orders),
    )  # fmt: skip


def order_csv(sheet: OrderSheet) -> str:
    """Write the list as CSV; a cell that a spreadsheet would take for a formula is led by an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in sheet.rows:
        writer.writerow([plain_cell(cell) for cell in cells_of(row)])
    return out.getvalue()


def cells_of(row: OrderRow) -> list[str]:
    """Give the cells of a row, in the order of COLUMNS."""
    return [
        row.job, row.machine, row.sort, row.part, row.which, row.quantity, row.size, row.reason, row.state, row.remarks
    ]  # fmt: skip


def plain_cell(cell: str) -> str:
    """Keep a spreadsheet from running what was said as a formula."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t")) else cell


def order_text(sheet: OrderSheet) -> str:
    """Write the list for a terminal."""
    out = [f"Order list, job {sheet.head.job}, {sheet.head.machine}, {sheet.head.date}"]
    for title, rows in (("Parts", sheet.parts), ("Consumables", sheet.consumables)):
        if rows:
            out += ["", title]
        for row in rows:
            which = f" ({row.which})" if row.which else ""
            size = f", {row.size}" if row.size else ""
            job = f"  {row.job}" if sheet.several_jobs else ""
            out.append(f"  {row.quantity or '?':>3}  {row.part}{which}{size}: {row.reason}  [{row.state}]{job}")
    if not sheet.rows:
        out += ["", "Nothing to order."]
    if any(not row.quantity for row in sheet.rows):
        out += ["", "? nobody said how many"]
    if sheet.note:
        out += ["", f"{sheet.note} Show it with --all."]
    return "\n".join(out) + "\n"
