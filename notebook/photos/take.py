"""Pictures taken in: what a file says of itself, and a thumbnail of it.

In: a picture file (JPEG, PNG, HEIC or HEIF, WebP) and the zone of the job. Out: its values and
thumbnail, or a problem. Never writes, never keeps anything of the picture's position, never
decodes what is too large.
"""

from __future__ import annotations

import errno
import hashlib
import os
import stat
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pillow_heif
from PIL import Image, UnidentifiedImageError

from notebook.errors import NotebookError, Problem
from notebook.nouns import Photo
from notebook.photos.card import card_said, read_codes
from notebook.photos.labels import label_said
from notebook.photos.when import read_moment, read_text, read_zone
from notebook.photos.whole import OTHER_SUFFIX, is_cut_copy, name_suffix, read_png_change

LARGEST_FILE_BYTES = 60_000_000
LARGEST_PICTURE_PX = 100_000_000
THUMBNAIL_PX = 640
"""Longest side."""
THUMBNAIL_QUALITY = 82

_MAKE, _MODEL, _ORIENTATION, _EXIF_FOLDER, _SERIAL = 0x010F, 0x0110, 0x0112, 0x8769, 0xA431
_FORMATS = {"JPEG": "JPEG", "MPO": "JPEG", "PNG": "PNG", "HEIF": "HEIF", "WEBP": "WEBP"}
"""Pillow's name to ours; a JPEG that holds a second picture is MPO to Pillow."""
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_UNTOUCHED = "Nothing was changed, and the rest goes on."

# With embedded thumbnails allowed, half a HEIC would pass for a whole one.
pillow_heif.register_heif_opener(thumbnails=False)
_opening = threading.Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One picture as it was taken in; the values of a Photo, and its thumbnail."""

    name: str
    """File name as it came."""
    sha256: str
    """Of the bytes as they came."""
    taken: datetime | None
    """By the camera's own clock, in UTC; None where the picture does not say."""
    taken_how: str
    camera: str
    """Make, model and serial as the file says, else the folder it came from."""
    width_px: int
    height_px: int
    picture_format: str
    """`JPEG`, `PNG`, `HEIF`, `WEBP`."""
    card_shown: datetime | None = None
    """The notebook's time on the sync card in the picture; None where there is no card in it."""
    labels_shown: tuple[str, ...] = ()
    """What the labels of bags and trays in the picture say: job and place."""
    thumbnail: bytes = field(repr=False)
    """JPEG the right way up, longest side 640 px, with no EXIF, comment or position in it."""

    def as_photo(self, photo_id: str) -> Photo:
        """Give the photo of the log that these values make."""
        return Photo(
            id=photo_id,
            name=self.name,
            sha256=self.sha256,
            taken=self.taken,
            taken_how=self.taken_how,
            camera=self.camera,
            width_px=self.width_px,
            height_px=self.height_px,
            picture_format=self.picture_format,
            card_shown=self.card_shown,
            labels_shown=self.labels_shown,
        )


class _NotTakenError(Exception):
    """Why a picture is not taken in, and what to do."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


def take_photo(path: Path, zone: str, *, now: datetime | None = None) -> Taken | Problem:
    """Read one picture whole, and give what it says and a thumbnail, or the problem with it.

    `zone` names the zone that a camera's clock is taken to be in where the picture does not say;
    a name that is none raises NotebookError. With `now`, a time far ahead of it is not believed.
    """
    place = read_zone(zone)
    try:
        content, changed = _read_file(path)
        picture = _open_picture(content)
        width, height, shrunk = _load_picture(picture, content)
        tags = _read_tags(picture)
        picture_format = _FORMATS[str(picture.format)]
        # pillow-heif has turned the picture already
        orientation = 1 if picture_format == "HEIF" else tags.get(_ORIENTATION)
        if orientation in (5, 6, 7, 8):
            width, height = height, width
        thumbnail = _make_thumbnail(shrunk, orientation)
    except _NotTakenError as why:
        return Problem(about=_plain(str(path)), message=f"{why.message} {_UNTOUCHED}", remedy=why.remedy)
    text = {k: v for k, v in picture.info.items() if isinstance(k, str) and isinstance(v, str)}
    codes = read_codes(shrunk)
    moment = read_moment(tags, text, read_png_change(content), changed, place, now)
    return Taken(
        name=_plain(path.name),
        sha256=hashlib.sha256(content).hexdigest(),
        taken=moment.taken,
        taken_how=moment.how,
        camera=_name_camera(tags, path),
        width_px=width,
        height_px=height,
        picture_format=picture_format,
        card_shown=card_said(codes),
        labels_shown=tuple(said for code in codes if (said := label_said(code))),
        thumbnail=thumbnail,
    )


def make_print(path: Path, longest_px: int) -> bytes | Problem:
    """Give a picture for paper: JPEG the right way up, longest side at most so many px, with no EXIF and no position in it.

    The same file gives the same bytes every time. A picture that is missing or broken is a problem.
    """
    try:
        content, _ = _read_file(path)
        picture = _open_picture(content)
        _, _, shrunk = _load_picture(picture, content, longest_px)
        is_turned = _FORMATS[str(picture.format)] == "HEIF"  # pillow-heif has turned the picture already
        return _make_thumbnail(shrunk, 1 if is_turned else _read_tags(picture).get(_ORIENTATION))
    except _NotTakenError as why:
        return Problem(about=_plain(path.name), message=why.message, remedy="The document is made without it.")


def picture_size(jpeg: bytes) -> tuple[int, int]:
    """Give width and height of a print, in px."""
    with Image.open(BytesIO(jpeg), formats=("JPEG",)) as picture:
        return picture.size


def open_kept(path: Path) -> Image.Image:
    """Open and decode a kept original whole; raise NotebookError where it cannot be."""
    try:
        content, _ = _read_file(path)
        picture = _open_picture(content)
        picture.load()
    except _NotTakenError as why:
        raise NotebookError(why.message, why.remedy) from why
    except Exception as why:  # a foreign file makes the decoders raise nearly anything
        raise NotebookError("The picture is cut off or damaged.", "Take it in again from the camera.") from why
    return picture


def peek_moment(path: Path, zone: str) -> datetime | None:
    """Give when a picture was taken by its head alone; None where it does not say or cannot be read."""
    place = read_zone(zone)
    try:
        with _our_limits(), Image.open(path, formats=("JPEG", "PNG", "HEIF", "WEBP")) as picture:
            exif = picture.getexif()
            tags: dict[int, Any] = {**exif, **exif.get_ifd(_EXIF_FOLDER)}
        changed = _to_moment(path.stat().st_mtime_ns)
    except Exception:  # it is told when it is taken in
        return None
    return read_moment(tags, {}, None, changed, place).taken


def _read_file(path: Path) -> tuple[bytes, datetime | None]:
    """Read the bytes once, so that hash and picture are of the same, and the time of change."""
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            if not os.access(path, os.R_OK | os.X_OK):
                raise PermissionError(errno.EACCES, "not allowed")
            raise _NotTakenError(
                "It is a folder, not a picture.", "Name the pictures in it, or let the folder be searched."
            )
        if not stat.S_ISREG(found.st_mode):
            raise _NotTakenError("It is a device or a pipe, not a file.", "Name a picture file.")
        if found.st_size > LARGEST_FILE_BYTES:
            raise _too_large(f"{found.st_size / 1e6:.0f} MB, over {LARGEST_FILE_BYTES / 1e6:.0f} MB")
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise _NotTakenError("There is no such file.", "Check the name and the card, then add it again.") from None
    except PermissionError:
        raise _NotTakenError("You are not allowed to read it.", "Get leave to read it, then add it again.") from None
    except (OSError, ValueError) as why:
        said = why.strerror if isinstance(why, OSError) and why.strerror else str(why)
        raise _NotTakenError(
            f"It could not be read ({said}).", "Check the card or the cable, then add it again."
        ) from why
    if not content:
        raise _NotTakenError("The file is empty.", "Copy it from the camera again.")
    if len(content) > LARGEST_FILE_BYTES:
        raise _too_large(f"growing, and over {LARGEST_FILE_BYTES / 1e6:.0f} MB")
    return content, _to_moment(found.st_mtime_ns)


def _open_picture(content: bytes) -> Image.Image:
    """Read the head of the picture; nothing is decoded yet."""
    try:
        with _our_limits():
            picture = Image.open(BytesIO(content), formats=("JPEG", "PNG", "HEIF", "WEBP"))
    except Image.DecompressionBombError:
        raise _too_large(f"over {LARGEST_PICTURE_PX / 1e6:.0f} megapixels") from None
    except UnidentifiedImageError:
        if name_suffix(content[:12]) != OTHER_SUFFIX:
            raise _cut_or_damaged() from None
        raise _NotTakenError(
            "It is not a JPEG, PNG, HEIC or WebP picture, whatever its name says.",
            "Look what it is; save it as JPEG if it is another kind of picture.",
        ) from None
    except Exception as why:  # a foreign file makes the openers raise nearly anything
        raise _cut_or_damaged() from why
    width, height = picture.size
    if width * height > LARGEST_PICTURE_PX:
        raise _too_large(f"{width} by {height}, over {LARGEST_PICTURE_PX / 1e6:.0f} megapixels")
    return picture


def _load_picture(picture: Image.Image, content: bytes, longest_px: int = THUMBNAIL_PX) -> tuple[int, int, Image.Image]:
    """Decode all of the picture: only that tells a whole one. Give its size as stored, and it shrunk."""
    width, height = picture.size
    small = _shrink_size(width, height, longest_px)
    if is_cut_copy(content):
        raise _cut_or_damaged()
    try:
        # Draft mode decodes a JPEG at half, a quarter or an eighth, still reading all of it.
        picture.draft("RGB", small)
        picture.load()
        if picture.format == "HEIF":  # only decoding tells the true size
            width, height = picture.size
        return width, height, _to_plain_rgb(picture, _shrink_size(width, height, longest_px))
    except MemoryError:
        raise _NotTakenError("There is not the memory to decode it.", "Make a smaller copy and add that.") from None
    except Exception as why:  # a foreign file makes the decoders raise nearly anything
        raise _cut_or_damaged() from why


def _make_thumbnail(shrunk: Image.Image, orientation: object) -> bytes:
    turn = _TURNS.get(orientation) if isinstance(orientation, int) else None
    upright = shrunk if turn is None else shrunk.transpose(turn)
    upright.info.clear()  # Pillow would write a comment it finds here
    out = BytesIO()
    upright.save(out, "JPEG", quality=THUMBNAIL_QUALITY)
    return out.getvalue()


@contextmanager
def _our_limits() -> Iterator[None]:
    """Set our own limit of pixels while a picture is opened, and put Pillow's back."""
    with _opening, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        before = Image.MAX_IMAGE_PIXELS
        Image.MAX_IMAGE_PIXELS = LARGEST_PICTURE_PX
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS = before


def _read_tags(picture: Image.Image) -> dict[int, Any]:
    """Give the EXIF values of the picture and of its camera by number; none where they are broken."""
    tags: dict[int, Any] = {}
    try:
        with _our_limits():
            exif = picture.getexif()
            tags.update(exif)
            tags.update(exif.get_ifd(_EXIF_FOLDER))
    except Exception:  # broken EXIF makes the reader raise nearly anything; the picture may still be good
        return tags
    return tags


def _shrink_size(width: int, height: int, longest_px: int) -> tuple[int, int]:
    longest = max(width, height)
    if longest <= longest_px:
        return width, height
    return max(1, round(width * longest_px / longest)), max(1, round(height * longest_px / longest))


def _to_plain_rgb(picture: Image.Image, size: tuple[int, int]) -> Image.Image:
    """Shrink, and lay what is see-through on white."""
    if picture.mode.startswith("I;16"):  # Pillow would clip 16-bit grey at 255, not scale it
        picture = picture.point(lambda level: level / 256).convert("L")
    elif picture.mode in {"P", "PA", "1"}:
        picture = picture.convert("RGBA" if picture.has_transparency_data else "RGB")
    shrunk = picture.resize(size, Image.Resampling.HAMMING, reducing_gap=2.0)
    if shrunk.has_transparency_data:
        over = shrunk.convert("RGBA")
        shrunk = Image.new("RGB", size, "white")
        shrunk.paste(over, mask=over.getchannel("A"))
    return shrunk.convert("RGB")


def _name_camera(tags: dict[int, Any], path: Path) -> str:
    make, model, serial = (read_text(tags.get(tag))[:80] for tag in (_MAKE, _MODEL, _SERIAL))
    if model and make and model.casefold().startswith(make.casefold()):
        make = ""
    named = " ".join(part for part in (make, model, serial and f"serial {serial}") if part)
    return named or "folder " + _plain("/".join(path.absolute().parent.parts[-2:]))


def _to_moment(since_1970_ns: int) -> datetime | None:
    try:
        return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=since_1970_ns // 1000)
    except OverflowError:
        return None


def _plain(name: str) -> str:
    """Give a file name that any store can hold; bytes that are no text become a question mark in a box."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _too_large(how: str) -> _NotTakenError:
    return _NotTakenError(
        f"It is {how}, which is more than is taken in; it was not opened.", "Make a smaller copy and add that."
    )


def _cut_or_damaged() -> _NotTakenError:
    return _NotTakenError("The picture is cut off or damaged.", "Copy it from the camera again; keep the camera's own.")
