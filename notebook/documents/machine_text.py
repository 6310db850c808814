"""Writes the whole history of one machine: job by job, and part by part.

In: the machine's jobs with their facts and outcomes, and its fittings. Out: text, or JSON values. Never queries.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from notebook.documents.words import entry_words, part_name
from notebook.errors import one_line
from notebook.log.facts import PartFacts
from notebook.log.outcomes import Outcome, ran_since, running_words
from notebook.nouns import Fitting, Log, Machine

_UNITS = {"h": "h", "mi": "miles", "km": "km"}
MOST_OF_A_KIND = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPast:
    """One job of the machine."""

    log: Log
    parts: tuple[PartFacts, ...]
    reading: tuple[Decimal, str] | None
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MachinePast:
    """A machine's whole history."""

    machine: Machine
    jobs: tuple[JobPast, ...]
    """In the order they were opened."""
    fittings: tuple[Fitting, ...]


def machine_text(past: MachinePast) -> str:
    """Write the history for a terminal."""
    machine = past.machine
    out = [one_line(f"{machine.kind} | {machine.plate or 'no plate'} | {_count(len(past.jobs), 'job')}"), ""]
    for job in past.jobs:
        out += [*_job_lines(job), ""]
    chains = _chains(past)
    out += ["Parts, from reading to reading", *(chains or ["  nobody said when one was fitted"])]
    return "\n".join(one_line(line) for line in out).rstrip() + "\n"


def _job_lines(past: JobPast) -> list[str]:
    log = past.log
    people = ", ".join(sorted({s.person for s in log.sittings if s.person}))
    reading = running_words(past.reading) or log.job.reading or "reading not said"
    head = f"{log.job.opened:%Y-%m-%d}  job {log.job.number}  {reading}{f'  {people}' if people else ''}"
    wrong = [f"{part_name(s.entry)}: {entry_words(s.entry)}" for p in past.parts for s in p.defects]
    done = [f"{p.name}: {entry_words(s.entry)}" for p in past.parts for s in p.dispositions]
    past_limit = [f"{p.name}: {v.words}" for p in past.parts for v in p.past_limit]
    lines = [head]
    for title, listed in (("found wrong", wrong), ("past its limit", past_limit), ("decided and done", done)):
        lines += _listed(title, listed)
    lines += [f"  {outcome_words(o, past.reading)}" for o in past.outcomes]
    return lines


def _listed(title: str, listed: Sequence[str]) -> list[str]:
    unique = list(dict.fromkeys(listed))
    if not unique:
        return []
    more = [f"    and {len(unique) - MOST_OF_A_KIND} more"] if len(unique) > MOST_OF_A_KIND else []
    return [f"  {title}", *(f"    {line}" for line in unique[:MOST_OF_A_KIND]), *more]


def outcome_words(outcome: Outcome, before: tuple[Decimal, str] | None) -> str:
    """Say how it turned out: "came back at 2160 h (300 h after): brake lining glazed"."""
    ran = running_words(ran_since(outcome.reading, before))
    at = f" {'at' if outcome.how == 'came back' else 'to'} {outcome.reading}" if outcome.reading else ""
    return f"{outcome.how}{at}{f' ({ran} after)' if ran else ''}{f': {outcome.what()}' if outcome.what() else ''}"


def _chains(past: MachinePast) -> list[str]:
    """Write each part with its fittings in a row, the first first."""
    numbers = {p.log.job.id: p.log.job.number for p in past.jobs}
    chains: dict[tuple[str, str], list[Fitting]] = {}
    for fitting in past.fittings:
        chains.setdefault((fitting.component, (fitting.position or "").lower()), []).append(fitting)
    lines = []
    for (component, _), chain in sorted(chains.items()):
        chain.sort(key=lambda f: (f.fitted is None, f.fitted or Decimal(0)))
        where = f" ({chain[0].position})" if chain[0].position else ""
        lines.append(f"  {component}{where}")
        lines += [f"    {fitting_words(f, numbers)}" for f in chain]
    return lines


def fitting_words(fitting: Fitting, numbers: dict[str, str]) -> str:
    """Say one fitting: "1,000 h to 2,200 h: failed (job 3), lasted 600 to 1,200 h"."""
    unit = _UNITS.get(fitting.unit, fitting.unit)
    begun = f"{fitting.fitted:,f} {unit}" if fitting.fitted is not None else "not said when fitted"
    if fitting.fitted_job_id in numbers and fitting.fitted is not None:
        begun += f" (job {numbers[fitting.fitted_job_id]})"
    if fitting.ended is None:
        good = f", good at {fitting.last_good:,f} {unit}" if fitting.last_good is not None else ""
        return f"{begun} to now: in{good}"
    ended = f"{fitting.ended:,f} {unit}"
    if fitting.ended_job_id in numbers:
        ended += f" (job {numbers[fitting.ended_job_id]})"
    return f"{begun} to {ended}: {fitting.ended_why}{_life_words(fitting, unit)}"


def _life_words(fitting: Fitting, unit: str) -> str:
    life = fitting.life
    if life is None:
        return ""
    low, high = life
    if high is None:
        return f", over {low:,f} {unit}"
    return f", lasted {low:,f} {unit}" if low == high else f", lasted {low:,f} to {high:,f} {unit}"


def machine_json(past: MachinePast) -> dict[str, Any]:
    """Give the history as JSON values."""
    numbers = {p.log.job.id: p.log.job.number for p in past.jobs}
    return {
        "machine": {"kind": past.machine.kind, "plate": past.machine.plate},
        "jobs": [_job_json(p) for p in past.jobs],
        "fittings": [
            {
                "component": f.component, "position": f.position, "unit": f.unit, "fitted": _number(f.fitted), "fitted_job": numbers.get(f.fitted_job_id or ""),
                "last_good": _number(f.last_good), "ended": _number(f.ended), "ended_job": numbers.get(f.ended_job_id or ""), "ended_why": f.ended_why,
                "life": [_number(x) for x in f.life] if f.life else None, "jobs": [numbers[j] for j in f.job_ids if j in numbers],
            }
            for f in past.fittings
        ],
    }  # fmt: skip


def _job_json(past: JobPast) -> dict[str, Any]:
    job = past.log.job
    return {
        "number": job.number, "opened": job.opened.isoformat(), "closed": job.closed.isoformat() if job.closed else None,
        "reading": _number(past.reading[0]) if past.reading else None, "unit": past.reading[1] if past.reading else None,
        "found": [f"{part_name(s.entry)}: {entry_words(s.entry)}" for p in past.parts for s in p.defects],
        "done": [f"{p.name}: {entry_words(s.entry)}" for p in past.parts for s in p.dispositions],
        "past_limit": [f"{p.name}: {v.words}" for p in past.parts for v in p.past_limit],
        "outcomes": [
            {"how": o.how, "component": o.component, "condition": o.condition, "reading": o.reading, "words": o.words} for o in past.outcomes
        ],
    }  # fmt: skip


def _number(value: Decimal | None) -> float | int | None:
    if value is None:
        return None
    return int(value) if value == value.to_integral_value() else float(value)


def _count(n: int, what: str) -> str:
    return f"{n} {what}{'' if n == 1 else 's'}"
