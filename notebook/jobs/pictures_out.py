"""Gives the photos of a job out: a contact sheet, a marked copy, the one that is meant; and links them by hand.

In: a stored job. Out: pages, bytes, a photo. The original is never touched.
"""

from __future__ import annotations

from pathlib import Path

from notebook.archive.store import Archive
from notebook.documents.words import part_name
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError, one_line
from notebook.jobs.derive import reread_job
from notebook.jobs.mending import find_remark
from notebook.nouns import Job, Log, Photo
from notebook.shop import Shop


def find_photo(log: Log, which: str) -> Photo:
    """Give a photo of a job by its name, or by the start of its id or of its SHA-256."""
    found = [p for p in log.photos if p.name == which] or [
        p for p in log.photos if len(which) >= 4 and (p.id.startswith(which) or p.sha256.startswith(which))
    ]
    if len(found) != 1:
        names = ", ".join(one_line(p.name) for p in log.photos[:6])
        raise NotebookError(
            f"There is no photo {one_line(which)} in job {log.job.number}." if not found else f"{one_line(which)} fits {len(found)} photos.",
            f"Its photos: {names}{' ...' if len(log.photos) > 6 else ''}." if not found else "Give the start of its id, as teardown log --json shows it.",
            NOTHING_FOUND if not found else WRONG_USE,
        )  # fmt: skip
    return found[0]


def original_path(log: Log, photo: Photo) -> Path:
    """Give where the original of a photo lies."""
    folder = log.folder / "photos" if log.folder is not None else None
    found = sorted(p for p in folder.glob(f"{photo.sha256}.*") if not p.name.endswith(".small.jpg")) if folder else []
    if not found:
        raise NotebookError(f"The picture {one_line(photo.name)} is no longer in the shop folder.", "Add it again.")
    return found[0]


def link_photo_by_hand(
    archive: Archive, shop: Shop, job: Job, photo: Photo, remarks: tuple[str, ...], *, loose: bool, free: bool
) -> Log:
    """Link a photo to the remarks named, keep it loose, or let it be linked by itself again."""
    log = archive.load_log(job)
    if free:
        archive.free_photo(photo.id)
    else:
        archive.link_by_hand(photo.id, [] if loose else [find_remark(log, which).id for which in remarks])
    return reread_job(archive, job, shop=shop)


def describe_photo(log: Log, photo: Photo) -> tuple[str, ...]:
    """Say in up to three lines which part a photo shows, what was said, and how that is known."""
    links = [k for k in log.links if k.photo_id == photo.id]
    if not links:
        return ("(of no remark)",)
    remark = next(r for r in log.remarks if r.id == links[0].remark_id)
    named = [part_name(e) for e in remark.entries if getattr(e, "component", None) and not e.struck]
    parts = ", ".join(dict.fromkeys(named))
    more = f", and {len(links) - 1} more" if len(links) > 1 else ""
    sure = f"by {links[0].how}" + ("" if links[0].how == "hand" else f", {links[0].confidence:.2f}")
    return tuple(line for line in (one_line(parts), f"{remark.order}: {one_line(remark.text)}", sure + more) if line)


def contact_sheet(log: Log, path: Path) -> list[Path]:
    """Write the contact sheet of a job as JPEG or PDF; give the files written."""
    from notebook.photos.look import SheetPicture, make_contact_sheet, save_contact_sheet

    if not log.photos or log.folder is None:
        raise NotebookError(
            f"There is no photo in job {log.job.number}.", "Take some in with teardown add.", NOTHING_FOUND
        )
    place = {r.id: r.order for r in log.remarks}
    first = {k.photo_id: place[k.remark_id] for k in reversed(log.links) if k.remark_id in place}
    ordered = sorted(enumerate(log.photos), key=lambda p: (first.get(p[1].id, len(place) + 1), p[0]))
    pictures = [
        SheetPicture(
            thumbnail=log.folder / "photos" / f"{photo.sha256}.small.jpg",
            name=one_line(photo.name),
            lines=describe_photo(log, photo),
        )
        for _, photo in ordered
    ]
    plate = f" {log.job.machine.plate}" if log.job.machine.plate else ""
    title = one_line(f"Job {log.job.number}, {log.job.machine.kind}{plate}, {log.job.opened:%Y-%m-%d}")
    return save_contact_sheet(make_contact_sheet(title, pictures), path)
