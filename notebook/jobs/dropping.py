"""Takes pictures from the phone page into the job in hand.

In: a shop, a job, an address. Out: the server, to run and to stop; each picture stored as any other.
Links are made again when no picture is on its way. Never gives anything out.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from notebook.errors import Problem, one_line
from notebook.jobs.derive import reread_job
from notebook.jobs.opening import make_folders, open_archive
from notebook.jobs.pictures import keep_photo
from notebook.nouns import Job
from notebook.shop import Shop

if TYPE_CHECKING:
    from notebook.photos.drop import Dropped, DropServer


def open_drop_for(
    shop: Shop, job: Job, *, host: str | None, port: int = 0, tls: bool = False, log: Callable[[str], None],
    taken: Callable[[str], None] = lambda _name: None,
) -> tuple[DropServer, str | None]:  # fmt: skip
    """Open the phone page for this job; give the server and, with TLS, its fingerprint. `taken` gets each name."""
    from notebook.photos.drop import Dropped, find_address, open_drop
    from notebook.photos.take import take_photo
    from notebook.photos.when import FILE_TIME, from_phone

    make_folders(shop.job_folder(job.id))
    folder = shop.job_folder(job.id) / "photos"
    one_at_a_time = threading.Lock()

    def take(path: Path, name: str) -> Dropped | Problem:
        with one_at_a_time:
            came = take_photo(path, shop.settings.zone)
            if isinstance(came, Problem):
                return replace(came, about=name)
            if came.taken_how.startswith(FILE_TIME):
                moment = from_phone(datetime.now(UTC))
                came = replace(came, taken=moment.taken, taken_how=moment.how, camera="phone page")
            elif came.camera.startswith("folder "):
                came = replace(came, camera="phone page, no name in the picture")
            with open_archive(shop) as archive:
                photo = keep_photo(archive, shop, job, path, replace(came, name=name))
            if photo is None:
                return Dropped(said="It is in the job already", thumbnail=came.thumbnail)
            taken(name)
            return Dropped(said="In the job", thumbnail=came.thumbnail)

    def settle() -> None:
        with one_at_a_time, open_archive(shop) as archive:
            reread_job(archive, job, shop=shop)

    called = one_line(f"Job {job.number}, {job.machine.kind}")
    return open_drop(host or find_address(), port, called, folder, take, log, tls=tls, after=settle)
