"""Where a job was left, for whoever opens it.

In: a job of the archive. Out: at most ten lines. Never stores anything.
"""

from __future__ import annotations

from notebook.archive.store import Archive
from notebook.jobs.paperwork import job_facts, job_gaps
from notebook.jobs.placing import shop_places
from notebook.log.handing_over import where_left
from notebook.nouns import Job
from notebook.shop import Shop


def hand_over(archive: Archive, shop: Shop, job: Job) -> tuple[str, ...]:
    """Say in at most ten lines where a job was left, what is open and what was promised to the owner."""
    log = archive.load_log(job)
    return where_left(log, job_facts(shop, log), job_gaps(archive, shop, job), shop_places(archive))
