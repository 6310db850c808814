"""The sync card: the notebook's time as a QR code on a screen, and read back from a picture of it.

In: a moment, or a picture. Out: the lines to show on a terminal, or the moment in the picture. Never asks a clock.

The code says "TEARDOWN TIME" and the time in UTC to the second, and nothing else. On a terminal each module is two
spaces with a background colour: half blocks fail where lines have gaps.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime

import numpy as np
import zxingcpp
from numpy.typing import NDArray
from PIL import Image

_SAYS = re.compile(r"TEARDOWN TIME (\d{8}T\d{6})Z")
_WHITE, _BLACK, _PLAIN = "\x1b[48;2;255;255;255m", "\x1b[48;2;0;0;0m", "\x1b[0m"
_QUIET_MODULES = 4
"""ISO/IEC 18004 wants a light edge of four modules; on a terminal three do, and fit 80 columns."""
_TERMINAL_QUIET_MODULES = 3
_LOOK_PX = 1280
"""Longest side of the picture that is looked at."""


def draw_code(text: str, quiet_modules: int = _QUIET_MODULES) -> NDArray[np.bool_]:
    """Give a QR code as modules, True where it is dark, with a quiet edge."""
    code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode).to_image(add_quiet_zones=False)
    dark: NDArray[np.bool_] = np.array(code) < 128
    return np.pad(dark, quiet_modules)


def write_card(moment: datetime) -> str:
    """Give what the card says at a moment."""
    return f"TEARDOWN TIME {moment.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def show_code(text: str) -> list[str]:
    """Give a QR code as lines for a terminal, two spaces a module."""
    lines = []
    for row in draw_code(text, _TERMINAL_QUIET_MODULES):
        line, colour = "", ""
        for dark in row:
            wanted = _BLACK if dark else _WHITE
            line += ("" if wanted == colour else wanted) + "  "
            colour = wanted
        lines.append(line + _PLAIN)
    return lines


def picture_code(text: str, module_px: int = 12) -> Image.Image:
    """Give a QR code as a picture, to print or to show large."""
    dark = draw_code(text)
    return Image.fromarray(np.where(np.kron(dark, np.ones((module_px, module_px), dtype=bool)), 0, 255).astype("uint8"))


def read_codes(picture: Image.Image) -> tuple[str, ...]:
    """Give the words of every QR code in a picture."""
    grey = picture.convert("L")
    grey.thumbnail((_LOOK_PX, _LOOK_PX))
    found = zxingcpp.read_barcodes(
        grey, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode), try_downscale=False, try_invert=False
    )
    return tuple(code.text for code in found)


def card_said(texts: Sequence[str]) -> datetime | None:
    """Give the notebook's time off the words of codes; None where none is the card's."""
    for text in texts:
        said = _SAYS.fullmatch(text)
        if said:
            try:
                return datetime.strptime(said[1] + "+0000", "%Y%m%dT%H%M%S%z").astimezone(UTC)
            except ValueError:
                return None
    return None


def read_card(picture: Image.Image) -> datetime | None:
    """Read the notebook's time off a picture of the card; None where there is none in it."""
    return card_said(read_codes(picture))
