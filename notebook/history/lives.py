"""How long a component lasts over all jobs: its fittings, what they say, and the jobs behind them.

In: the archive, the component as asked, a kind of machine or a plate. Out: one group a unit of running.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence

from notebook.archive.store import Archive
from notebook.nouns import Fitting, Job
from notebook.tables.life import Life, Lives, life_statistics

_KM_IN_MI = 1.609344


def lives_of(
    archive: Archive, component: str, names_of: Callable[[str], Sequence[str]], machine: str | None = None
) -> list[Lives]:
    """Give the lives of a component ("valve springs" answer to "spring"), miles and kilometres together, hours apart.

    `machine` is a kind ("winch") or a plate. Empty where no fitting of it has a known life.
    """
    wanted = names_of(component)[:1]
    jobs = {job.id: job for job in archive.all_jobs()}
    groups: dict[str, list[tuple[Fitting, Life]]] = defaultdict(list)
    for fitting in archive.fittings():
        if not wanted or wanted[0] not in names_of(fitting.component):
            continue
        seen = [jobs[j] for j in fitting.job_ids if j in jobs]
        if machine and not any(_is_of(job, machine) for job in seen):
            continue
        life = fitting.life
        if life is not None:
            low, high = float(life[0]), float(life[1]) if life[1] is not None else None
            groups["h" if fitting.unit == "h" else "distance"].append((fitting, (low, high)))
    return [_lives(component, found, jobs) for found in groups.values()]


def _lives(component: str, found: Sequence[tuple[Fitting, Life]], jobs: dict[str, Job]) -> Lives:
    units = [fitting.unit for fitting, _ in found]
    unit = max(sorted(set(units)), key=units.count)
    lives = tuple(_in_unit(life, fitting.unit, unit) for fitting, life in found)
    seen = {j: jobs[j] for fitting, _ in found for j in fitting.job_ids if j in jobs}
    return Lives(
        component=component, unit=unit, fittings=tuple(f for f, _ in found), lives=lives, statistics=life_statistics(lives),
        jobs=tuple(sorted(seen.values(), key=lambda job: (job.opened, job.number))),
    )  # fmt: skip


def _in_unit(life: Life, own: str, unit: str) -> Life:
    factor = 1.0 if own == unit else _KM_IN_MI if unit == "km" else 1 / _KM_IN_MI
    return life[0] * factor, life[1] * factor if life[1] is not None else None


def _is_of(job: Job, machine: str) -> bool:
    return machine.lower() in job.machine.kind.lower() or machine.lower() == (job.machine.plate or "").lower()
