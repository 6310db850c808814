"""Forgets a job for good: its words, entries, sound and pictures.

In: a job. Out: nothing is left of it in the shop folder, and the backups that still hold it are named.
Files are overwritten before they are taken away; a disk that moves its blocks about may keep old ones all the same.
"""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from notebook.archive.care import MadeBackup, backups_with, forget_rows
from notebook.archive.store import Archive
from notebook.errors import NotebookError
from notebook.jobs.derive import follow_machine
from notebook.nouns import Job
from notebook.shop import Shop

_BLOCK_BYTES = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """A backup that holds a job, and whether it is still where it was put."""

    backup: MadeBackup
    is_there: bool


def still_held_in(archive: Archive, job: Job) -> list[Holding]:
    """Give the backups that hold a job."""
    return [Holding(backup=b, is_there=Path(b.path).is_file()) for b in backups_with(archive, job.id)]


def forget_job(archive: Archive, shop: Shop, job: Job) -> None:
    """Take a job out of the archive and the shop folder for good."""
    forget_rows(archive, job.id)
    follow_machine(archive, job.machine.id)
    folder = shop.job_folder(job.id)
    try:
        for path in sorted(folder.rglob("*")):
            if path.is_file() and not path.is_symlink():
                _overwrite(path)
        if folder.exists():
            shutil.rmtree(folder)
    except OSError as error:
        raise NotebookError(
            f"The job is out of the archive, but files of it stay in {folder} ({error.strerror}).",
            "Take that folder away by hand.",
        ) from error


def _overwrite(path: Path) -> None:
    size = path.stat().st_size
    with suppress(OSError):
        path.chmod(0o600)
    with path.open("r+b") as file:
        for start in range(0, size, _BLOCK_BYTES):
            file.write(b"\0" * min(_BLOCK_BYTES, size - start))
        file.flush()
        os.fsync(file.fileno())
