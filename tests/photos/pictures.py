"""Pictures made for tests, with what a camera writes into them."""

from __future__ import annotations

import struct
import zlib
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import Image

pillow_heif.register_heif_opener()

Pixels = NDArray[np.uint8]
SUFFIX_FORMATS = {".jpg": "JPEG", ".png": "PNG", ".webp": "WEBP", ".heic": "HEIF"}
RED, GREEN, BLUE, WHITE = (220, 30, 30), (30, 180, 30), (30, 30, 220), (240, 240, 240)


def make_exif(
    *,
    original: str | None = None,
    fraction: str | None = None,
    offset: str | None = None,
    more: dict[int, Any] | None = None,
    camera: dict[int, Any] | None = None,
    position: bool = False,
) -> Image.Exif:
    """Make EXIF; `more` goes into the Exif folder and `camera` into the first, by tag number."""
    exif = Image.Exif()
    for tag, value in (camera or {}).items():
        exif[tag] = value
    inner = exif.get_ifd(0x8769)
    for tag, value in {0x9003: original, 0x9291: fraction, 0x9011: offset, **(more or {})}.items():
        if value is not None:
            inner[tag] = value
    if position:
        gps = exif.get_ifd(0x8825)
        gps.update({1: "N", 2: (51.0, 30.0, 12.0), 3: "W", 4: (0.0, 7.0, 5.0), 29: "2026:03:04"})
    return exif


def draw_corners(width: int = 320, height: int = 200) -> Pixels:
    """Draw a picture whose four quarters are red, green (above), blue and white (below)."""
    pixels = np.zeros((height, width, 3), dtype=np.uint8)
    half_h, half_w = height // 2, width // 2
    pixels[:half_h, :half_w], pixels[:half_h, half_w:] = RED, GREEN
    pixels[half_h:, :half_w], pixels[half_h:, half_w:] = BLUE, WHITE
    return pixels


def draw_noise(width: int = 400, height: int = 300, seed: int = 7) -> Pixels:
    return np.random.default_rng(seed).integers(0, 255, (height, width, 3), dtype=np.uint8)


def save_picture(path: Path, pixels: Pixels | None = None, exif: Image.Exif | None = None, **options: Any) -> Path:
    """Save a picture in the format of its suffix."""
    picture = Image.fromarray(draw_corners() if pixels is None else pixels)
    if exif is not None:
        options["exif"] = exif.tobytes()
    picture.save(path, SUFFIX_FORMATS[path.suffix.lower()], **options)
    return path


def picture_bytes(picture_format: str, pixels: Pixels | None = None) -> bytes:
    out = BytesIO()
    Image.fromarray(draw_noise(64, 48) if pixels is None else pixels).save(out, picture_format)
    return out.getvalue()


def png_chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def corner_colours(picture: Image.Image) -> list[tuple[int, ...]]:
    """Give the colour well inside each quarter: above left, above right, below left, below right."""
    rgb = picture.convert("RGB")
    w, h = rgb.size
    places = [(w // 4, h // 4), (3 * w // 4, h // 4), (w // 4, 3 * h // 4), (3 * w // 4, 3 * h // 4)]
    return [tuple(np.asarray(rgb)[y, x].tolist()) for x, y in places]
