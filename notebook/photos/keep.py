"""Pictures kept in the job's folder, byte for byte, by what is in them.

In: a picture as it came, its SHA-256, the folder for the job's photos. Out: where it is kept.
Never changes the original, never leaves half a file under a final name.
"""

from __future__ import annotations

import errno
import hashlib
import os
import secrets
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from notebook.errors import NotebookError, one_line
from notebook.photos.whole import name_suffix

_BLOCK_BYTES = 1 << 20
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


def keep_original(path: Path, folder: Path, sha256: str) -> Path:
    """Copy a picture into the folder under its SHA-256 and give the place; a twin is kept once.

    The suffix follows the first bytes and not the name, so that twins meet under one name.
    Raises NotebookError when the disk is full, the picture is gone, or its bytes are no longer
    those of `sha256`; then nothing new is in the folder.
    """
    try:
        with path.open("rb") as source:
            kept = folder / f"{sha256}{name_suffix(source.read(12))}"
            if _holds(kept, sha256):
                return kept
            source.seek(0)
            _place(iter(lambda: source.read(_BLOCK_BYTES), b""), kept, sha256)
    except OSError as why:
        raise _tell_failure(path, why) from why
    return kept


def keep_thumbnail(thumbnail: bytes, folder: Path, sha256: str) -> Path:
    """Put the thumbnail of the picture with this SHA-256 beside it and give the place.

    A thumbnail made again replaces the one before. Raises NotebookError when the disk is full.
    """
    kept = folder / f"{sha256}.small.jpg"
    try:
        _place(iter((thumbnail,)), kept, hashlib.sha256(thumbnail).hexdigest())
    except OSError as why:
        raise _tell_failure(kept, why) from why
    return kept


def _place(blocks: Iterator[bytes], kept: Path, sha256: str) -> None:
    """Write beside, check what was written, rename, and make the rename last."""
    kept.parent.mkdir(parents=True, exist_ok=True)
    part = kept.with_name(f".{sha256[:16]}.{secrets.token_hex(4)}.part")
    try:
        with part.open("xb") as target:
            for block in blocks:
                target.write(block)
            _make_lasting(target)
        if not _holds(part, sha256):
            raise NotebookError(
                "A picture changed while it was being copied, or the disk gave back other bytes; nothing was kept.",
                "Wait until the card or the phone is done, then add it again.",
            )
        part.replace(kept)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    _make_folder_lasting(kept.parent)


def _make_lasting(target: BinaryIO) -> None:
    target.flush()
    os.fsync(target.fileno())


def _make_folder_lasting(folder: Path) -> None:
    if os.name == "nt":  # Windows opens no folder as a file and writes its names through by itself
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _holds(path: Path, sha256: str) -> bool:
    try:
        with path.open("rb") as kept:
            return hashlib.file_digest(kept, "sha256").hexdigest() == sha256
    except FileNotFoundError:
        return False


def _tell_failure(path: Path, why: OSError) -> NotebookError:
    name = one_line(path.name)
    if why.errno in _FULL:
        return NotebookError(
            f"The disk is full: {name} was not kept. What was kept before is safe, and so is the picture you gave.",
            "Make room on the disk and add it again.",
        )
    return NotebookError(
        f"{name} could not be kept ({why.strerror or why}). What was kept before is safe.",
        "Check the card and the shop folder, then add it again.",
    )
