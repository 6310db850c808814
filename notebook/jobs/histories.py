"""The whole history of one machine, over all its jobs.

In: a plate or shop tag. Out: its jobs in the order of their readings, what was found and done on each, how each turned
out, and the chain of its parts. Never changes anything.
"""

from __future__ import annotations

from notebook.archive.store import Archive
from notebook.archive.walked import list_outcomes
from notebook.documents.machine_text import JobPast, MachinePast
from notebook.errors import NOTHING_FOUND, NotebookError, one_line
from notebook.jobs.paperwork import job_facts
from notebook.log.fittings import reading_of
from notebook.nouns import Machine
from notebook.shop import Shop


def find_machine(archive: Archive, plate: str) -> Machine:
    """Give the machine of a plate or tag, however it is written ("st 118"); raises NotebookError for none or several."""
    machines = {job.machine.id: job.machine for job in archive.all_jobs() if job.machine.plate}
    wanted = _plain(plate)
    exact = [m for m in machines.values() if m.plate == plate]
    found = exact or [m for m in machines.values() if wanted and _plain(m.plate or "") == wanted]
    if len(found) == 1:
        return found[0]
    if found:
        raise NotebookError(
            f"{len(found)} machines answer to {one_line(plate)}.", f"Give the plate as it is: {', '.join(one_line(m.plate or '') for m in found)}."
        )  # fmt: skip
    known = sorted(one_line(m.plate or "") for m in machines.values())
    near = (
        f"There are: {', '.join(known[:12])}."
        if known
        else "Give one when a job is opened: teardown new NUMBER --plate TEXT"
    )
    raise NotebookError(f"No machine has the plate {one_line(plate)}.", near, NOTHING_FOUND)


def machine_past(archive: Archive, shop: Shop, machine: Machine) -> MachinePast:
    """Load the history of a machine."""
    past = []
    for job in archive.jobs_of_machine(machine.id):
        log = archive.load_log(job)
        past.append(
            JobPast(log=log, parts=job_facts(shop, log), reading=reading_of(log), outcomes=list_outcomes(archive, job.id))
        )  # fmt: skip
    past.sort(key=lambda p: (p.log.job.opened, p.log.job.number))
    return MachinePast(machine=machine, jobs=tuple(past), fittings=tuple(archive.fittings(machine.id)))


def _plain(plate: str) -> str:
    return "".join(c for c in plate.casefold() if c.isalnum())
