"""Opens jobs and finds them again by number or id.

In: what was said about a machine. Out: jobs, stored. Never reads a remark.
"""

from __future__ import annotations

import uuid
from datetime import datetime
from pathlib import Path

from notebook.archive.store import Archive, new_id
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError, one_line
from notebook.nouns import Job, Machine
from notebook.reading.names import names_of
from notebook.shop import Shop

_SPACE = uuid.UUID("d8b1f0d1-0c3e-4f0e-8f3b-1e0a2c5a7b44")
LONGEST_NUMBER = 200


def open_archive(shop: Shop) -> Archive:
    """Open the archive of a shop with the vocabulary's names."""
    return Archive(shop.folder, names_of)


def open_job(
    archive: Archive, shop: Shop, *, number: str, machine: str, plate: str | None = None, owner_ref: str | None = None,
    reading: str | None = None, opened: datetime,
) -> Job:  # fmt: skip
    """Open a new job; raises NotebookError when the number is no number or already used, or the machine has no name."""
    number = number.strip()
    if not number or len(number) > LONGEST_NUMBER or not number.isprintable():
        raise NotebookError(
            f"{one_line(repr(number[:60]))} is no job number; nothing was opened.",
            f"Give letters and digits on one line, at most {LONGEST_NUMBER}.",
            WRONG_USE,
        )
    if archive.find_jobs(number):
        raise NotebookError(
            f"There is already a job {number}; nothing was opened.",
            "Give another number, or go on with that job.",
            WRONG_USE,
        )
    kind, plate, owner_ref, reading = (_said(words) for words in (machine, plate, owner_ref, reading))
    if kind is None:
        raise NotebookError("The machine has no name; nothing was opened.", 'Say what it is: "winch".', WRONG_USE)
    known = archive.machine_with_plate(plate) if plate else None
    job = Job(
        id=new_id(), number=number, machine=known or Machine(id=new_id(), kind=kind, plate=plate), owner_ref=owner_ref,
        reading=reading, opened=opened,
    )  # fmt: skip
    make_folders(shop.job_folder(job.id))
    archive.add_job(job)
    return job


def _said(words: str | None) -> str | None:
    """Give words on one line; None for nothing said."""
    return (one_line(words).strip() or None) if words is not None else None


def make_folders(folder: Path) -> None:
    """Make the folders of a job."""
    try:
        for name in ("sound", "photos"):
            (folder / name).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise NotebookError(
            f"The job's folder cannot be made ({error.strerror}); nothing was stored.",
            "Free some room or check the rights of the shop folder.",
        ) from error


def find_job(archive: Archive, number: str) -> Job:
    """Give the one job under a number or id; raises NotebookError for none or several."""
    found = archive.find_jobs(number)
    if not found:
        numbers = [j.number for j in archive.all_jobs()]
        near = (
            f"There are: {', '.join(numbers[:8])}." if numbers else "Open one with: teardown new NUMBER --machine TEXT"
        )
        raise NotebookError(f"There is no job {one_line(number)}.", near, NOTHING_FOUND)
    if len(found) > 1:
        listed = "; ".join(f"{j.id} ({j.machine.kind}, {j.opened:%Y-%m-%d})" for j in found)
        raise NotebookError(
            f"{len(found)} jobs have the number {one_line(number)}.", f"Name one by its id: {listed}", WRONG_USE
        )
    return found[0]


def lasting_id(*parts: str) -> str:
    """Give the id that the same source always gets, so that taking in twice changes nothing."""
    return str(uuid.uuid5(_SPACE, "|".join(parts)))
