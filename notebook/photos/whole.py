"""What the bytes of a picture file tell before anything is decoded.

In: the bytes of a file. Out: its kind as a suffix, whether the copy stopped half way, the change
time of a PNG. Never decodes.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

OTHER_SUFFIX = ".picture"
"""Of what begins like none of the kinds that are taken in."""

_PNG_HEAD = b"\x89PNG\r\n\x1a\n"
_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs", b"mif1", b"msf1"}
_EMPTY_TAIL_BYTES = 512
_JPEG_TAIL_BYTES = 4096
"""Some cameras write a little after the end mark."""
_JPEG_END = b"\xff\xd9"


def name_suffix(head: bytes) -> str:
    """Give the suffix that goes with the first 12 bytes of a picture."""
    if head.startswith(b"\xff\xd8\xff"):
        return ".jpg"
    if head.startswith(_PNG_HEAD):
        return ".png"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return ".webp"
    if head[4:8] == b"ftyp" and head[8:12] in _HEIF_BRANDS:
        return ".heic"
    return OTHER_SUFFIX


def is_cut_copy(content: bytes) -> bool:
    """Tell a copy that stopped: the end is not there, or its length was set aside and never filled.

    Decoders take the zeros for picture, and read no further than the picture itself. A PNG has an end
    chunk, a HEIF lengths; of all others the tail is looked at (after the end mark of a JPEG some
    cameras fill up with zeros, and that is a whole picture).
    """
    if content.startswith(_PNG_HEAD):
        return b"IEND" not in (kind for kind, _ in _list_chunks(content))
    if name_suffix(content[:12]) == ".heic" and _has_box_past_end(content):
        return True
    body = content.rstrip(b"\0")
    return len(content) - len(body) >= _EMPTY_TAIL_BYTES and not body.endswith(_JPEG_END)


def is_whole_file(path: Path) -> bool:
    """Tell whether a picture on its way has its end: the end mark, or the length that its head tells."""
    try:
        content = path.read_bytes()
    except OSError:
        return False
    if not content or is_cut_copy(content):
        return False
    suffix = name_suffix(content[:12])
    if suffix == ".jpg":
        return _JPEG_END in content[-_JPEG_TAIL_BYTES:] or content.rstrip(b"\0").endswith(_JPEG_END)
    if suffix == ".webp":
        return len(content) >= int.from_bytes(content[4:8], "little") + 8
    return True


def read_png_change(content: bytes) -> datetime | None:
    """Read the chunk tIME (PNG, third edition, 11.3.5: in UTC); None where there is none or no PNG."""
    if not content.startswith(_PNG_HEAD):
        return None
    for kind, body in _list_chunks(content):
        if kind == b"tIME" and len(body) == 7:
            year, month, day, hour, minute, second = struct.unpack(">H5B", body)
            try:
                return datetime(year, month, day, hour, minute, second, tzinfo=UTC)
            except ValueError:
                return None
    return None


def _has_box_past_end(content: bytes) -> bool:
    """Tell whether an outer box of a HEIF goes on past the end (ISO/IEC 14496-12, 4.2: boxes)."""
    at = 0
    while at + 8 <= len(content):
        length = int.from_bytes(content[at : at + 4])
        if length == 1:  # the length is the eight bytes after the kind
            length = int.from_bytes(content[at + 8 : at + 16])
        if length < 8:  # 0 is "to the end"; less is no box, and the decoder's to judge
            return False
        at += length
    return at > len(content)


def _list_chunks(content: bytes) -> Iterator[tuple[bytes, memoryview]]:
    """Give kind and body of each whole chunk of a PNG, up to its end chunk."""
    at, whole = len(_PNG_HEAD), memoryview(content)
    while at + 12 <= len(content):
        length, kind = struct.unpack(">I4s", whole[at : at + 8])
        end = at + 8 + length
        if end + 4 > len(content):
            return
        yield kind, whole[at + 8 : end]
        if kind == b"IEND":
            return
        at = end + 4
