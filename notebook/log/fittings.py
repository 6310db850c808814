"""Follows each part of one machine through its jobs: from which reading to which it was in, and how it came out.

In: the logs of one machine's jobs. Out: fittings, the earliest first. Made of what was said to be fitted, found, put back
or measured past its limit at a reading of the clock, never of a loose mention; a part whose beginning nobody told has no
life. A set of like parts in one place counts as one: it lasts till the first of them fails.

A job's reading is what its clock showed ("clock shows 1,860 hours"), else what it was opened with.
"""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Protocol

from notebook.entries import Disposition, Entry, Finding, Mileage
from notebook.log.verdicts import is_past_limit
from notebook.nouns import Fitting, Job, Log

_SPACE = uuid.UUID("8f0f7a52-6a5b-4c8e-8f5e-1c3f8d6f4e21")
_READING = re.compile(r"^\s*([\d,]+(?:\.\d+)?)\s*(h|hours?|hrs?|mi|miles?|km|kilometres?)\s*$", re.IGNORECASE)
_UNITS = {"h": "h", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "mi": "mi", "mile": "mi", "miles": "mi", "km": "km", "kilometre": "km", "kilometres": "km"}  # fmt: skip
_MI_KM = Decimal("1.609344")
_PUT_BACK = frozenset({"reuse", "clean"})
_TAKEN_OUT = frozenset({"replace", "scrap"})
_BROKEN_NOW = frozenset({"broken", "snapped", "sheared", "failed", "seized", "collapsed", "burst", "parted"})


class CameBack(Protocol):
    """What is told of a job after it left."""

    @property
    def how(self) -> str:
        """`ran` or `came back`."""

    @property
    def job_id(self) -> str:
        """The job."""

    @property
    def component(self) -> str | None:
        """What was wrong."""

    @property
    def position(self) -> str | None:
        """Which one."""

    @property
    def reading(self) -> str | None:
        """What the clock showed then."""


@dataclass(slots=True)
class _Seen:
    """What one job says of one part."""

    component: str
    position: str | None
    is_failed: bool = False
    is_good: bool = False
    is_put_back: bool = False
    is_renewed: bool = False
    is_to_be_renewed: bool = False
    fitted: Decimal | None = None
    run: Decimal | None = None
    broke: bool = False


def reading_of(log: Log) -> tuple[Decimal, str] | None:
    """Give what the machine's clock showed on a job, with its unit; None where nobody told."""
    for remark in log.remarks:
        for entry in remark.entries:
            if isinstance(entry, Mileage) and not entry.struck and entry.role == "reading" and entry.component is None:
                if entry.value is not None and entry.unit:
                    return entry.value, _UNITS.get(entry.unit, entry.unit)
    return read_clock(log.job.reading)


def read_clock(text: str | None) -> tuple[Decimal, str] | None:
    """Read "4318 h" or "41,200 miles"."""
    found = _READING.match(text or "")
    return (Decimal(found.group(1).replace(",", "")), _UNITS[found.group(2).lower()]) if found else None


def follow_parts(
    logs: Iterable[Log], plain_name: Callable[[str], str], is_defect: Callable[[str], bool], outcomes: Sequence[CameBack] = ()
) -> list[Fitting]:  # fmt: skip
    """Give the fittings of one machine.

    `plain_name` gives the vocabulary's own name of a component; `is_defect` tells a fault from a neutral condition. A part
    that came back at a reading between two jobs has failed there.
    """
    dated = [(log, reading) for log in logs if (reading := reading_of(log)) is not None]
    if not dated:
        return []
    unit = dated[0][1][1]
    readings = [(log, _in_unit(value, own, unit)) for log, (value, own) in dated]
    in_order = sorted(
        ((log, value) for log, value in readings if value is not None), key=lambda x: (x[1], x[0].job.opened)
    )
    current: dict[tuple[str, str], Fitting] = {}
    ended: list[Fitting] = []
    for clock, job, all_seen in _by_reading(in_order, outcomes, plain_name, is_defect, unit):
        for key, seen in all_seen.items():
            fitting = current.get(key) or _begin(job, seen, unit)
            fitting, done = _go_on(fitting, seen, clock, job)
            if done is not None:
                ended.append(done)
            current[key] = fitting
    made = [*ended, *current.values()]
    return [f for f in made if f.fitted is not None or f.exact_life is not None]


def _by_reading(
    in_order: Sequence[tuple[Log, Decimal]], outcomes: Sequence[CameBack], plain_name: Callable[[str], str], is_defect: Callable[[str], bool],
    unit: str,
) -> list[tuple[Decimal, Job, dict[tuple[str, str], _Seen]]]:  # fmt: skip
    """Give what was seen at each reading, on a job or when the machine came back."""
    jobs = {log.job.id: log.job for log, _ in in_order}
    listed = []
    for outcome in outcomes:
        read = read_clock(outcome.reading)
        value = _in_unit(*read, unit) if read is not None else None
        if outcome.how != "came back" or outcome.component is None or value is None or outcome.job_id not in jobs:
            continue
        name = plain_name(outcome.component)
        seen = _Seen(component=name, position=outcome.position, is_failed=True)
        listed.append((value, jobs[outcome.job_id], {(name, (outcome.position or "").lower()): seen}))
    # What came back stands before the job at the same reading, on which it was put right.
    listed += [(clock, log.job, _what_was_seen(log, plain_name, is_defect, unit)) for log, clock in in_order]
    return sorted(listed, key=lambda x: x[0])


def _begin(job: Job, seen: _Seen, unit: str) -> Fitting:
    return Fitting(
        id="", machine_id=job.machine.id, component=seen.component, position=seen.position, unit=unit, fitted=None,
        fitted_job_id=None, last_good=None, ended=None, ended_job_id=None, ended_why="in",
    )  # fmt: skip


def _go_on(fitting: Fitting, seen: _Seen, reading: Decimal, job: Job) -> tuple[Fitting, Fitting | None]:
    """Give the fitting after a job, and the one that the job ended."""
    if seen.fitted is not None and fitting.fitted is None and seen.fitted <= reading:
        fitting = replace(fitting, fitted=seen.fitted)
    if seen.run is not None and fitting.fitted is None and seen.run <= reading:
        fitting = replace(fitting, fitted=reading - seen.run)
    fitting = replace(fitting, job_ids=(*fitting.job_ids, job.id))
    if seen.is_failed and not seen.is_put_back:
        exact = seen.run if seen.broke and seen.run is not None else None
        done = _named(replace(fitting, ended=reading, ended_job_id=job.id, ended_why="failed", exact_life=exact))
    elif seen.is_renewed or (seen.is_to_be_renewed and not seen.is_put_back):
        done = _named(replace(fitting, ended=reading, ended_job_id=job.id, ended_why="replaced"))
    else:
        if seen.is_good or seen.is_put_back:
            fitting = replace(fitting, last_good=reading)
        return _named(fitting), None
    fresh = replace(
        _begin(job, seen, fitting.unit),
        fitted=reading if seen.is_renewed or seen.is_to_be_renewed else None,
        fitted_job_id=job.id, job_ids=(job.id,),
    )  # fmt: skip
    return _named(fresh), done


def _named(fitting: Fitting) -> Fitting:
    key = f"{fitting.machine_id}|{fitting.component}|{fitting.position}|{fitting.fitted}|{fitting.fitted_job_id}|{fitting.ended}"
    return replace(fitting, id=str(uuid.uuid5(_SPACE, key)))


def _what_was_seen(
    log: Log, plain_name: Callable[[str], str], is_defect: Callable[[str], bool], unit: str
) -> dict[tuple[str, str], _Seen]:
    seen: dict[tuple[str, str], _Seen] = {}
    for remark in log.remarks:
        entries = [e for e in remark.entries if not e.struck]
        for entry in entries:
            component = getattr(entry, "component", None)
            if not component or not isinstance(entry, (Finding, Disposition, Mileage)):
                continue
            name = plain_name(component)
            position = getattr(entry, "position", None)
            for where in _places(seen, name, position):
                part = seen.setdefault((name, where), _Seen(component=name, position=position))
                _note(part, entry, is_defect, unit)
    for key in [
        k
        for k, part in seen.items()
        if part.is_to_be_renewed and not part.is_renewed and _is_declined(log, k[0], part.position, plain_name)
    ]:
        seen[key].is_to_be_renewed = False
    for past in (p for p in log.parts if any(is_past_limit(line) for line in p.verdicts)):
        name, where = plain_name(past.component), (past.position or "").lower()
        seen.setdefault((name, where), _Seen(component=name, position=past.position)).is_failed = True
    return seen


def _is_declined(log: Log, name: str, position: str | None, plain_name: Callable[[str], str]) -> bool:
    """Tell whether the owner's last word on a part was no: then the old one went back in."""
    about = [
        d for d in log.decisions
        if d.state in ("approved", "declined") and d.component is not None and plain_name(d.component) == name
        and (d.position is None or (d.position.lower() == (position or "").lower()))
    ]  # fmt: skip
    return bool(about) and about[-1].state == "declined"


def _places(seen: dict[tuple[str, str], _Seen], name: str, position: str | None) -> Sequence[str]:
    """Give where the part is: as said, else the one place where this job has spoken of it."""
    if position:
        return (position.lower(),)
    known = [where for (other, where) in seen if other == name]
    return known if len(known) == 1 else ("",)


def _note(part: _Seen, entry: Entry, is_defect: Callable[[str], bool], unit: str) -> None:
    if isinstance(entry, Finding):
        if entry.presence == "present" and is_defect(entry.condition) and entry.degree != "slight":
            part.is_failed = True
            part.broke = part.broke or entry.condition in _BROKEN_NOW
        elif (entry.presence == "present" and entry.condition == "sound") or entry.presence == "absent":
            part.is_good = True
    elif isinstance(entry, Disposition):
        part.is_put_back = part.is_put_back or entry.action in _PUT_BACK
        part.is_renewed = part.is_renewed or (entry.action in _TAKEN_OUT and bool(entry.done))
        part.is_to_be_renewed = part.is_to_be_renewed or entry.action in _TAKEN_OUT
    elif isinstance(entry, Mileage) and entry.value is not None:
        value = _in_unit(entry.value, _UNITS.get(entry.unit or unit, entry.unit or unit), unit)
        if value is not None and entry.role == "fitted":
            part.fitted = value
        elif value is not None and entry.role == "run":
            part.run = value


def _in_unit(value: Decimal, own: str, unit: str) -> Decimal | None:
    if own == unit:
        return value
    if {own, unit} == {"mi", "km"}:
        return value * _MI_KM if own == "mi" else value / _MI_KM
    return None
