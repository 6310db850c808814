"""Keeps sound: an original byte for byte under its SHA-256, a remark as FLAC bit for bit.

In: a file, or 16-bit samples at 16 kHz. Out: files in the job's folder, written beside, synced and renamed.
Never changes what it was given.
"""

from __future__ import annotations

import errno
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from notebook.errors import NotebookError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RATE_HZ = 16000
FRAME_SAMPLES = 4096
LONGEST_SUFFIX = 8


def keep_original_sound(path: Path, folder: Path, sha256: str) -> Path:
    """Copy a sound file into a folder under its SHA-256; one that is there already, whole, stays as it is."""
    suffix = path.suffix.lower() if path.suffix[1:].isalnum() and len(path.suffix) <= LONGEST_SUFFIX else ""
    kept = folder / f"{sha256}{suffix}"
    if kept.is_file() and kept.stat().st_size == path.stat().st_size:
        return kept

    def copy(out: BinaryIO) -> None:
        with path.open("rb") as source:
            shutil.copyfileobj(source, out, 1 << 20)

    _write_whole(kept, copy)
    return kept


def write_flac(path: Path, samples: NDArray[np.int16]) -> None:
    """Write mono 16 kHz samples as FLAC, synced to the disk before it gets its name."""
    import av
    import numpy as np

    def encode(out: BinaryIO) -> None:
        with av.open(out, "w", format="flac") as box:
            stream = box.add_stream("flac", rate=RATE_HZ, layout="mono")
            stream.format = "s16"
            for at in range(0, len(samples), FRAME_SAMPLES):
                piece = np.ascontiguousarray(samples[at : at + FRAME_SAMPLES]).reshape(1, -1)
                frame = av.AudioFrame.from_ndarray(piece, format="s16", layout="mono")
                frame.sample_rate = RATE_HZ
                box.mux(stream.encode(frame))
            box.mux(stream.encode(None))

    _write_whole(path, encode)


def _write_whole(path: Path, write: Callable[[BinaryIO], None]) -> None:
    """Write beside, sync, rename, sync the folder: the name never stands for half a file."""
    with _full_disk_said(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as out:
                write(out)
                out.flush()
                os.fsync(out.fileno())
            Path(beside).replace(path)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise
        _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _full_disk_said(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise NotebookError(
                "The disk is full; what was stored before is safe, and no half file was left.",
                "Free some room and run the same command again.",
            ) from error
        raise NotebookError(
            f"The sound could not be kept in {path.parent} ({error.strerror or error}); nothing was changed.",
            "Check the rights of the shop folder.",
        ) from error
