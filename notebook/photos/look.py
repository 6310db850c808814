"""Pictures to look at: a copy that may leave the shop, marks on it, a contact sheet.

In: a kept original or its bytes, and marks in words or numbers. Out: pictures made anew. Never touches the original;
nothing of its EXIF, position included, goes into what is made, unless the position is asked for.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Literal

from PIL import Image, ImageDraw, ImageFont, ImageOps

from notebook.errors import WRONG_USE, NotebookError
from notebook.photos.take import open_kept

MARK_COLOUR, EDGE_COLOUR = (255, 208, 0), (0, 0, 0)
"""Yellow on black: seen on bright metal and on grease, by every eye."""
QUALITY = 90
_ACROSS = {"left": 0.2, "right": 0.8}
_DOWN = {"top": 0.2, "upper": 0.2, "bottom": 0.8, "lower": 0.8}
_MIDDLE = {"middle", "centre", "center"}
_POSITION_FOLDER = 0x8825

SHEET_PX = (1654, 2339)
"""A4 at 200 points an inch."""
_SHEET_DPI = 200
_LONGEST_LINE = 300
_COLUMNS, _ROWS, _MARGIN_PX, _GAP_PX, _HEAD_PX, _CAPTION_PX = 3, 4, 70, 24, 90, 118


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureMark:
    """An arrow to a place, or a ring around it; x and y are shares of width and height from the top left."""

    shape: Literal["arrow", "ring"]
    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPicture:
    """One picture of a contact sheet and what stands beneath it."""

    thumbnail: Path
    name: str
    lines: tuple[str, ...]


def read_place(said: str) -> tuple[float, float]:
    """Read where a mark goes: "0.4,0.6" as shares, "40%,60%", or words: "top left", "middle", "lower right"."""
    numbers = re.fullmatch(r"\s*(\d*\.?\d+)\s*(%?)\s*,\s*(\d*\.?\d+)\s*(%?)\s*", said)
    if numbers:
        x = float(numbers[1]) / (100 if numbers[2] else 1)
        y = float(numbers[3]) / (100 if numbers[4] else 1)
        if 0 <= x <= 1 and 0 <= y <= 1:
            return x, y
    else:
        words = [w for w in re.findall(r"[a-z]+", said.lower()) if w not in {"the", "at", "in", "on", "of"}]
        if words and set(words) <= _ACROSS.keys() | _DOWN.keys() | _MIDDLE:
            across = [_ACROSS[word] for word in words if word in _ACROSS]
            down = [_DOWN[word] for word in words if word in _DOWN]
            return across[0] if across else 0.5, down[0] if down else 0.5
    raise NotebookError(f"{said!r} is no place in a picture.", 'Write "0.4,0.6", "40%,60%" or "top left".', WRONG_USE)


def copy_without_position(path: Path, marks: Sequence[PictureMark] = (), *, keep_position: bool = False) -> bytes:
    """Make a JPEG copy the right way up, with the marks drawn on it, and with nothing of what the camera wrote."""
    picture = open_kept(path)
    position = dict(picture.getexif().get_ifd(_POSITION_FOLDER)) if keep_position else {}
    upright = ImageOps.exif_transpose(picture) if picture.format != "HEIF" else picture
    plain = upright.convert("RGB")
    plain.info.clear()
    draw_marks(plain, marks)
    out = BytesIO()
    if position:
        exif = Image.Exif()
        exif.get_ifd(_POSITION_FOLDER).update(position)
        plain.save(out, "JPEG", quality=QUALITY, exif=exif)
    else:
        plain.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def draw_marks(picture: Image.Image, marks: Sequence[PictureMark]) -> None:
    """Draw arrows and rings, thick enough to be seen on paper."""
    draw = ImageDraw.Draw(picture)
    width, height = picture.size
    size = min(width, height)
    thick = max(3, size // 110)
    for mark in marks:
        x, y = mark.x * width, mark.y * height
        if mark.shape == "ring":
            reach = size * 0.11
            for colour, line in ((EDGE_COLOUR, thick + max(2, thick // 2) * 2), (MARK_COLOUR, thick)):
                spare = line / 2
                draw.ellipse(
                    (x - reach - spare, y - reach - spare, x + reach + spare, y + reach + spare),
                    outline=colour,
                    width=line,
                )
        else:
            _draw_arrow(draw, x, y, width, height, thick)


def _draw_arrow(draw: ImageDraw.ImageDraw, x: float, y: float, width: int, height: int, thick: int) -> None:
    """Draw an arrow whose tip is at the place, coming from the side where there is more room."""
    size = min(width, height)
    dx, dy = (1.0 if x < width / 2 else -1.0), (1.0 if y < height / 2 else -1.0)
    along = (dx / math.sqrt(2), dy / math.sqrt(2))
    across = (-along[1], along[0])
    for colour, more in ((EDGE_COLOUR, max(2, thick // 2)), (MARK_COLOUR, 0)):
        head, half, tail, shaft = size * 0.07 + more, size * 0.032 + 1.4 * more, size * 0.25 + more, thick / 2 + more
        tip = (x - along[0] * more * 1.5, y - along[1] * more * 1.5)

        def at(forward: float, aside: float, tip: tuple[float, float] = tip) -> tuple[float, float]:
            return tip[0] + along[0] * forward + across[0] * aside, tip[1] + along[1] * forward + across[1] * aside

        draw.polygon(
            [
                at(0, 0),
                at(head, half),
                at(head, shaft),
                at(tail, shaft),
                at(tail, -shaft),
                at(head, -shaft),
                at(head, -half),
            ],
            fill=colour,
        )


def make_contact_sheet(title: str, pictures: Sequence[SheetPicture]) -> list[Image.Image]:
    """Lay pictures out on A4 pages, twelve a page, each with its lines beneath and the page numbered."""
    a_page = _COLUMNS * _ROWS
    groups = [pictures[n : n + a_page] for n in range(0, len(pictures), a_page)] or [[]]
    return [_make_page(title, group, n, len(groups)) for n, group in enumerate(groups, 1)]


def save_contact_sheet(pages: Sequence[Image.Image], path: Path) -> list[Path]:
    """Write the pages as one PDF, or as JPEG (one file a page); give the files written."""
    if path.suffix.lower() == ".pdf":
        pages[0].save(path, "PDF", save_all=True, append_images=list(pages[1:]), resolution=_SHEET_DPI, quality=QUALITY)
        return [path]
    if path.suffix.lower() not in {".jpg", ".jpeg"}:
        raise NotebookError(f"{path.name} is neither JPEG nor PDF by its name.", "End it in .jpg or .pdf.", WRONG_USE)
    written = []
    for n, page in enumerate(pages, 1):
        target = path if len(pages) == 1 else path.with_name(f"{path.stem}-{n}{path.suffix}")
        page.save(target, "JPEG", quality=QUALITY, dpi=(_SHEET_DPI, _SHEET_DPI))
        written.append(target)
    return written


def _make_page(title: str, pictures: Sequence[SheetPicture], number: int, pages: int) -> Image.Image:
    page = Image.new("RGB", SHEET_PX, "white")
    draw = ImageDraw.Draw(page)
    large, bold, plain = (_font(30), _font(23), _font(21))
    width = (SHEET_PX[0] - 2 * _MARGIN_PX - (_COLUMNS - 1) * _GAP_PX) // _COLUMNS
    cell = (SHEET_PX[1] - 2 * _MARGIN_PX - _HEAD_PX - (_ROWS - 1) * _GAP_PX) // _ROWS
    foot = f"page {number} of {pages}"
    draw.text((SHEET_PX[0] - _MARGIN_PX - draw.textlength(foot, plain), _MARGIN_PX), foot, "black", plain)
    draw.text(
        (_MARGIN_PX, _MARGIN_PX - 8), _fit(draw, title, large, SHEET_PX[0] - 2 * _MARGIN_PX - 220), "black", large
    )
    draw.line((_MARGIN_PX, _MARGIN_PX + 44, SHEET_PX[0] - _MARGIN_PX, _MARGIN_PX + 44), "black", 3)
    for n, each in enumerate(pictures):
        left = _MARGIN_PX + n % _COLUMNS * (width + _GAP_PX)
        top = _MARGIN_PX + _HEAD_PX + n // _COLUMNS * (cell + _GAP_PX)
        box = (width, cell - _CAPTION_PX)
        try:
            with Image.open(each.thumbnail) as small:
                fitted = ImageOps.contain(small.convert("RGB"), box)
            page.paste(fitted, (left + (box[0] - fitted.width) // 2, top + (box[1] - fitted.height) // 2))
        except OSError:
            draw.text((left, top), "(picture cannot be read)", "black", plain)
        draw.rectangle((left, top, left + box[0], top + box[1]), outline=(150, 150, 150))
        at = top + box[1] + 6
        draw.text((left, at), _fit(draw, each.name, bold, width), (70, 70, 70), bold)
        for line in each.lines[:3]:
            at += 27
            draw.text((left, at), _fit(draw, line, plain, width), "black", plain)
    return page


def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def _fit(draw: ImageDraw.ImageDraw, text: str, font: ImageFont.FreeTypeFont | ImageFont.ImageFont, width: int) -> str:
    text = text[:_LONGEST_LINE]
    if draw.textlength(text, font) <= width:
        return text
    fits, too_long = 0, len(text)
    while too_long - fits > 1:
        middle = (fits + too_long) // 2
        if draw.textlength(text[:middle] + "…", font) <= width:
            fits = middle
        else:
            too_long = middle
    return text[:fits].rstrip() + "…"
