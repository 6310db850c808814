"""Sees to it that only one bench has a job open; a kill lets go of it.

In: the folder of live sound. Out: a lock held by the system as long as this program lives.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from notebook.errors import NotebookError, one_line


class BenchLock:
    """The lock of one job."""

    def __init__(self, folder: Path, number: str) -> None:
        """Take it; raises NotebookError when another bench holds it or the folder cannot be written."""
        try:
            folder.mkdir(parents=True, exist_ok=True)
            self._handle = os.open(folder / "bench.lock", os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as error:
            raise NotebookError(
                f"The job's folder cannot be written ({error.strerror}); nothing was opened.",
                "Free some room or check the rights of the shop folder.",
            ) from error
        try:
            _lock(self._handle)
        except OSError as error:
            os.close(self._handle)
            raise NotebookError(
                f"Another bench has job {one_line(number)} open; it goes on.", "Close that one, or go to it."
            ) from error

    def release(self) -> None:
        """Let go of it."""
        with suppress(OSError):
            os.close(self._handle)


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
