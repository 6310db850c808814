"""Places of the shop: what is in them now, and emptying one by hand.

In: the archive. Out: places over all open jobs. Emptying is a remark in words like any other, so that it stays on record.
"""

from __future__ import annotations

from datetime import datetime

from notebook.archive.store import Archive, new_id
from notebook.errors import NOTHING_FOUND, NotebookError, one_line
from notebook.jobs.derive import reread_job
from notebook.jobs.opening import lasting_id
from notebook.log.places import Place, find_place, follow_places, plain_place
from notebook.nouns import Job, Remark, Sitting
from notebook.shop import Shop


def shop_places(archive: Archive) -> tuple[Place, ...]:
    """Give what is in every place now, over all open jobs."""
    return follow_places([archive.load_log(job) for job in reversed(archive.all_jobs()) if job.closed is None])


def known_place(places: tuple[Place, ...], name: str) -> Place:
    """Give a place that holds something; raises NotebookError with those there are."""
    found = find_place(places, name)
    if found is None:
        near = ", ".join(p.name for p in places[:12])
        raise NotebookError(
            f"No open job has anything in {one_line(plain_place(name) or name)}.",
            f"There is something in: {near}." if near else "Nothing was put anywhere yet.", NOTHING_FOUND,
        )  # fmt: skip
    return found


def empty_place(archive: Archive, shop: Shop, place: Place, *, person: str | None, now: datetime) -> None:
    """Note in every job that has things there that the place was emptied."""
    jobs = {k.job_id: k.job_number for k in place.things}
    for job in archive.all_jobs():
        if job.id in jobs:
            _say(archive, shop, job, f"Emptied {place.name}.", person, now)


def _say(archive: Archive, shop: Shop, job: Job, words: str, person: str | None, now: datetime) -> None:
    key = f"typed:{new_id()}"
    sitting = Sitting(
        id=lasting_id(job.id, key, "sitting"), job_id=job.id, person=person, started=now, ended=now, zone=shop.settings.zone
    )  # fmt: skip
    remark = Remark(
        id=lasting_id(job.id, key), sitting_id=sitting.id, order=archive.next_order(job.id), at=now, seconds=None, person=person,
        heard=words, text=words,
    )  # fmt: skip
    with archive.all_or_nothing():
        archive.add_sitting(sitting)
        archive.add_remark(job.id, remark, source_key=key)
        reread_job(archive, job, shop=shop)
