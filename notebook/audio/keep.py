"""Keep sound: an original byte for byte under its SHA-256, a remark as FLAC bit for bit.

In: a file, or 16-bit samples at 16 kHz. Out: files in the job's folder, written beside, synced and renamed.
Never changes what it was given, never leaves half a file under a final name.
"""

from __future__ import annotations

import errno
import hashlib
import os
import secrets
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from notebook.errors import NotebookError, one_line

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RATE_HZ = 16000
FRAME_SAMPLES = 4096
LONGEST_SUFFIX = 8
BLOCK_BYTES = 1 << 20
STALE_AFTER_S = 24 * 3600.0
"""A part file older than this was left by a run that was killed; a younger one may belong to another that still runs."""
_PART_PREFIX = ".teardown-"
"""Sound may be written into any folder a person names, where other programs have part files of their own."""
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


def keep_original_sound(path: Path, folder: Path, sha256: str) -> Path:
    """Copy a sound file into a folder under its SHA-256 and give the place; a twin is kept once, whatever its name.

    One that is there already is read through, and put right when it has rotted. Raises NotebookError when the disk is
    full, the file is gone, or its bytes are no longer those of `sha256`; then nothing new is in the folder.
    """
    suffix = path.suffix.lower() if path.suffix[1:].isalnum() and len(path.suffix) <= LONGEST_SUFFIX else ""
    try:
        for twin in sorted(folder.glob(f"{sha256}*")):
            if twin.stem == sha256 and _sha256_of(twin) == sha256:
                return twin
        kept = folder / f"{sha256}{suffix}"
        with path.open("rb") as source:
            _write_whole(kept, lambda out: _copy(source, out, sha256))
    except OSError as error:
        raise _tell_failure(path.name, error) from error
    return kept


def write_flac(path: Path, samples: NDArray[np.int16]) -> None:
    """Write mono 16 kHz samples as FLAC, synced to the disk before it gets its name; raise NotebookError if it cannot."""
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

    try:
        _write_whole(path, encode)
    except OSError as error:
        raise _tell_failure(path.name, error) from error


def _copy(source: BinaryIO, out: BinaryIO, sha256: str) -> None:
    digest = hashlib.sha256()
    while block := source.read(BLOCK_BYTES):
        digest.update(block)
        out.write(block)
    if digest.hexdigest() != sha256:
        raise NotebookError(
            "The sound file changed while it was being copied; nothing was kept.",
            "Wait until the recorder or the phone is done with it, then add it again.",
        )


def _write_whole(path: Path, write: Callable[[BinaryIO], None]) -> None:
    """Write beside, sync, rename, sync the folder: the name never stands for half a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    _clear_stale(path.parent)
    beside = path.with_name(f"{_PART_PREFIX}{secrets.token_hex(8)}.part")
    try:
        with beside.open("xb") as out:
            write(out)
            out.flush()
            os.fsync(out.fileno())
        beside.replace(path)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
    _sync_folder(path.parent)


def _clear_stale(folder: Path) -> None:
    for left in folder.glob(f"{_PART_PREFIX}*.part"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > STALE_AFTER_S:
                left.unlink()


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":  # Windows opens no folder as a file and writes its names through by itself
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _sha256_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _tell_failure(name: str, error: OSError) -> NotebookError:
    if error.errno in _FULL:
        return NotebookError(
            f"The disk is full: {one_line(name)} was not kept. What was stored before is safe, and no half file was left.",
            "Free some room and run the same command again.",
        )
    return NotebookError(
        f"{one_line(name)} could not be kept ({error.strerror or error}). What was stored before is safe.",
        "Check the file and the folder it goes to, then run the same command again.",
    )
