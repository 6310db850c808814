"""Watches a folder and takes into a job what comes; links are made again after each batch.

In: a folder, a job. Out: a word about each batch. Ends when it is stopped. Watching makes no thread of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from notebook.errors import Problem
from notebook.jobs.derive import reread_job
from notebook.jobs.opening import find_job, make_folders, open_archive
from notebook.jobs.pictures import take_pictures, watch_pictures
from notebook.nouns import Photo
from notebook.shop import Shop


def watch_folder(
    shop: Shop, number: str, folder: Path, *, stop: Callable[[], bool] = lambda: False,
    tell: Callable[[Photo | Problem], None] | None = None,
) -> int:  # fmt: skip
    """Take pictures of a folder into a job as they come, until stopped; give how many were taken in."""
    say = tell or _say
    count = 0
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        make_folders(shop.job_folder(job.id))
    for batch in watch_pictures(folder, stop):
        outcomes: list[Photo | Problem | None] = []
        with open_archive(shop) as archive:
            take_pictures(archive, shop, job, batch, outcomes.append, lambda _what, _done, _of: None)
            new = [outcome for outcome in outcomes if isinstance(outcome, Photo)]
            if new:
                reread_job(archive, job, shop=shop)
        count += len(new)
        for outcome in outcomes:
            if outcome is not None:
                say(outcome)
    return count


def _say(outcome: Photo | Problem) -> None:
    import sys

    said = f"{outcome.name} taken in" if isinstance(outcome, Photo) else f"! {outcome}"
    sys.stderr.write(said + "\n")
