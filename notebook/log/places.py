"""What is in every bag, tray and shelf now, over all open jobs.

In: the logs of the open jobs. Out: places with what lies there, who put it there and when; a doubt where one bag holds
things of two jobs. Worked out from what was said, so it can never differ from it. Never empties a place by silence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from notebook.entries import Entry, Step, Storage
from notebook.nouns import Log, Remark
from notebook.reading.nouns_said import singular

_ONE_JOB = re.compile(r"^(?:bag|box|tray|tin|tub|jar|pot|envelope|cup|bottle|sack|carton)\b.*\d")
"""Small and numbered: meant for one job. A shelf or the bench holds things of several by nature."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One thing where it lies."""

    place: str
    thing: str
    job_number: str
    job_id: str
    remark: Remark
    person: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place and what is in it now."""

    name: str
    things: tuple[Kept, ...]
    doubt: str | None = None


def follow_places(logs: Iterable[Log]) -> tuple[Place, ...]:
    """Give every place that holds something now, by name and number."""
    kept: list[Kept] = []
    for log, remark, entry in _in_order(logs):
        if isinstance(entry, Storage):
            kept = _put(kept, entry, remark, log)
        elif isinstance(entry, Step) and entry.action == "refitted" and entry.component:
            back = [k for k in kept if k.job_id == log.job.id and _heads(entry.component) <= _heads(k.thing)]
            if len(back) == 1:  # "the bearing is back in" says which bag only where one bearing lies in one
                kept = [k for k in kept if k is not back[0]]
    names = dict.fromkeys(k.place for k in kept)
    return tuple(
        Place(name=name, things=things, doubt=_doubt(name, things))
        for name in sorted(names, key=_by_number)
        for things in [tuple(k for k in kept if k.place == name)]
    )


def find_place(places: Sequence[Place], name: str) -> Place | None:
    """Give a place by its name."""
    wanted = plain_place(name)
    return next((p for p in places if p.name == wanted), None)


def plain_place(name: str) -> str:
    """Give the name of a place as it is kept."""
    return re.sub(r"\b(?:the|number|no)\b\.?\s*", "", " ".join(name.lower().split())).strip()


def _in_order(logs: Iterable[Log]) -> Iterator[tuple[Log, Remark, Entry]]:
    """Give what stands, over all jobs in the order said; where no time is known, as the job was opened."""
    listed: list[tuple[datetime, bool, int, int, Log, Remark]] = []
    for n, log in enumerate(logs):
        last = log.job.opened
        for remark in log.remarks:
            last = remark.at or last
            listed.append((last, remark.at is None, n, remark.order, log, remark))
    for _, _, _, _, log, remark in sorted(listed, key=lambda row: row[:4]):
        for entry in remark.entries:
            if not entry.struck:
                yield log, remark, entry


def _put(kept: list[Kept], entry: Storage, remark: Remark, log: Log) -> list[Kept]:
    place = plain_place(entry.place)
    if entry.action in ("emptied", "used again"):
        kept = [k for k in kept if k.place != place]
    if entry.action == "emptied":
        return kept
    things = [_heads(thing) for thing in entry.contents]
    if entry.action in ("taken out", "moved"):
        kept = [
            k for k in kept
            if k.job_id != log.job.id or (k.place == place) != (entry.action == "taken out") or not any(_heads(k.thing) >= t or t >= _heads(k.thing) for t in things)
        ]  # fmt: skip
    if entry.action == "taken out":
        return kept
    person = remark.person or next((s.person for s in log.sittings if s.id == remark.sitting_id), None)
    for thing in entry.contents:
        if not any(k.place == place and k.job_id == log.job.id and _heads(k.thing) == _heads(thing) for k in kept):
            kept = [
                *kept,
                Kept(
                    place=place, thing=thing, job_number=log.job.number, job_id=log.job.id, remark=remark, person=person
                ),
            ]
    return kept


def _heads(words: str) -> set[str]:
    return {singular(w) for w in words.lower().split() if w not in ("the", "of", "and", "all", "a", "its")}


def _doubt(name: str, things: Sequence[Kept]) -> str | None:
    jobs = list(dict.fromkeys(k.job_number for k in things))
    if len({k.job_id for k in things}) < 2 or not _ONE_JOB.match(name):
        return None
    return f"{name} holds things of jobs {' and '.join(jobs)}: one of them may be another bag"


def _by_number(name: str) -> tuple[str, int, str]:
    number = re.search(r"\d+", name)
    return re.sub(r"\d.*", "", name), int(number[0]) if number else -1, name
