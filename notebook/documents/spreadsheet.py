"""The order list as a spreadsheet.

In: an order sheet. Out: the bytes of an XLSX file, the same every time. Cells are text and numbers, never formulas.
"""

from __future__ import annotations

import io
import re
import zipfile
from datetime import datetime

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Font

from notebook.documents.order_sheet import COLUMNS, OrderSheet, cells_of

_WIDTHS_CHARS = (10, 20, 12, 26, 16, 10, 18, 44, 24, 12)
_FIXED = (1980, 1, 1, 0, 0, 0)


def order_xlsx(sheet: OrderSheet, day: datetime) -> bytes:
    """Write the list; `day` stands as the time it was made, so that twice gives the same bytes."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Order list"
    page.append([name.capitalize() for name in COLUMNS])
    for row in sheet.rows:
        page.append([_cell(text, is_number=at == 5) for at, text in enumerate(cells_of(row))])
    for cells in page.iter_rows():
        for cell in cells:
            if isinstance(cell, Cell):
                if isinstance(cell.value, str):
                    cell.data_type = "s"  # a leading "=" would make it a formula
                cell.alignment = Alignment(wrap_text=True, vertical="top")
                if cell.row == 1:
                    cell.font = Font(bold=True)
    for at, width in enumerate(_WIDTHS_CHARS):
        page.column_dimensions["ABCDEFGHIJ"[at]].width = width
    page.freeze_panes = "A2"
    page.print_title_rows = "1:1"
    page.page_setup.orientation = "landscape"
    page.page_setup.fitToHeight = 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    made = day.replace(tzinfo=None, microsecond=0)
    book.properties.creator = ""
    book.properties.created = made
    out = io.BytesIO()
    book.save(out)
    return _fix_times(out.getvalue(), made)


def _cell(text: str, *, is_number: bool) -> str | int:
    if is_number and text.isdecimal() and len(text) < 9:
        return int(text)
    return str(ILLEGAL_CHARACTERS_RE.sub("", text))


def _fix_times(written: bytes, made: datetime) -> bytes:
    """Put fixed times in the archive and in its properties, where the library puts those of now."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(written)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(
                    rb"(?<=W3CDTF\">)[^<]*(?=</dcterms:modified>)", f"{made.isoformat()}Z".encode(), content
                )
            entry = zipfile.ZipInfo(name, _FIXED)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, content)
    return out.getvalue()
