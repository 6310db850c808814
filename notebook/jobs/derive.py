"""Makes everything derived about a job again: tidied text, entries, parts, links. Mends are kept and win.

In: a stored job. Out: the same job with its derived rows made anew. The sound, the pictures and the words heard
are never touched.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from notebook.archive.store import Archive
from notebook.archive.walked import list_outcomes, steps_of_remarks
from notebook.entries import Entry, Measurement
from notebook.jobs.limits import limits_for
from notebook.log.doubts import doubt_together
from notebook.log.fittings import follow_parts
from notebook.log.mends import apply_mends
from notebook.log.parts import gather_parts
from notebook.log.seconds import doubt_unsettled, weigh_words
from notebook.log.strike import strike_corrected
from notebook.log.wear import wear_of
from notebook.nouns import Job, Log, Mend, Remark
from notebook.reading.names import is_defect, table_name
from notebook.shop import Shop

if TYPE_CHECKING:
    from notebook.reading.reader import Reader, Reading

_SPACE = uuid.UUID("3a1b8d42-93f5-4c3f-9c53-4d1a1c0f6e11")

STEP_LINE = "step:"
"""Begins the line under which the part of a step of a rebuild is spoken of before its remark; no remark has such an id."""


class KnownReadings:
    """Reads remarks in order and remembers; what has not changed since is not read again.

    A reader knows what was said before, so that from the first remark that differs all is read anew.
    """

    def __init__(self, make: Callable[[], Reader]) -> None:
        self._make = make
        self._reader = make()
        self._made: list[tuple[str, str, Reading]] = []
        self._at = 0

    def begin(self) -> None:
        """Begin with the first remark again."""
        self._at = 0

    def go_to_end(self) -> None:
        """Go on after the last remark read."""
        self._at = len(self._made)

    def read(self, text: str, *, line: str) -> Reading:
        """Read the next remark."""
        at, self._at = self._at, self._at + 1
        if at < len(self._made):
            if self._made[at][:2] == (line, text):
                return self._made[at][2]
            del self._made[at:]
            self._reader = self._make()
            for earlier, said, _ in self._made:
                self._reader.read(said, line=earlier)
        reading = self._reader.read(text, line=line)
        self._made.append((line, text, reading))
        return reading


Runs = dict[tuple[str, int], KnownReadings]
"""Of each sitting, and how often its remarks were broken into by those of another."""


def reread_job(archive: Archive, job: Job, *, shop: Shop, known: Runs | None = None) -> Log:
    """Read every remark of a job again, lay the mends over it, gather parts and link photos; give the new log.

    `known` holds readings of a run of this before; what has not changed since is taken from there.

    Nobody else writes meanwhile, so that a remark stored by another program keeps its entries.
    """
    from notebook.photos.labels import link_labels
    from notebook.photos.link import link_photos
    from notebook.reading.reader import reader_version

    with archive.all_or_nothing():
        log = archive.load_log(job)
        remarks = _in_order(log.remarks)
        remarks = _read(remarks, log, shop, {} if known is None else known, steps_of_remarks(archive, job.id))
        remarks, mends = _mend(remarks, log.mends)
        remarks = doubt_together(strike_corrected(remarks), _plain_name)
        links, _, _ = link_photos(log.photos, remarks)
        links = link_labels(job.id, log.photos, remarks, links)
        others = [archive.load_log(other) for other in archive.jobs_of_machine(job.machine.id) if other.id != job.id]
        wear = wear_of(replace(log, remarks=tuple(remarks)), remarks, others, _plain_name)
        limits = limits_for(shop, job.machine)
        parts, part_of = gather_parts(job.id, remarks, links, table_name, limits, wear)
        archive.replace_derived(job.id, remarks, parts, part_of, mends, reader_version(shop.words))
        archive.replace_links(job.id, links)
        log = archive.load_log(job)
        _follow(archive, job.machine.id, [*others, log])
        return log


def judge_anew(archive: Archive, log: Log, shop: Shop) -> Log:
    """Lay what was measured beside the data sheets as they are now; nothing is stored."""
    if not any(isinstance(e, Measurement) and e.role == "measured" for r in log.remarks for e in r.entries):
        return log
    others = [
        archive.load_log(other) for other in archive.jobs_of_machine(log.job.machine.id) if other.id != log.job.id
    ]
    wear = wear_of(log, log.remarks, others, _plain_name)
    parts, _ = gather_parts(log.job.id, log.remarks, log.links, table_name, limits_for(shop, log.job.machine), wear)
    fresh = {part.id: part.verdicts for part in parts}
    return replace(log, parts=tuple(replace(p, verdicts=fresh.get(p.id, p.verdicts)) for p in log.parts))


def follow_machine(archive: Archive, machine_id: str) -> None:
    """Follow the parts of a machine through the jobs that are left of it."""
    logs = [archive.load_log(job) for job in archive.jobs_of_machine(machine_id)]
    if logs:
        _follow(archive, machine_id, logs)


def _follow(archive: Archive, machine_id: str, logs: Sequence[Log]) -> None:
    outcomes = [outcome for log in logs for outcome in list_outcomes(archive, log.job.id)]
    archive.replace_fittings(machine_id, follow_parts(logs, _plain_name, is_defect, outcomes))


def _plain_name(component: str) -> str:
    """Give the vocabulary's own name of a component, else the name as said."""
    return (table_name(component) or component).lower()


def readings_of(known: Runs, sitting_id: str, run: int, job: Job, shop: Shop) -> KnownReadings:
    """Give the readings of a run of a sitting, begun where there are none."""
    if (sitting_id, run) not in known:
        known[sitting_id, run] = KnownReadings(lambda: reader_for(shop, job.machine.kind))
    return known[sitting_id, run]


def reader_for(shop: Shop, machine: str | None) -> Reader:
    """Give a reader with the shop's habit and words."""
    from notebook.reading.matching import matcher_with
    from notebook.reading.reader import Reader

    return Reader(machine=machine, habit=shop.settings.habit, matcher=matcher_with(shop.words))


def _in_order(remarks: Sequence[Remark]) -> list[Remark]:
    """Put remarks in the order said: by time where every one has a time, else as taken in."""
    listed = list(remarks)
    if all(r.at is not None for r in listed):
        listed.sort(key=lambda r: (r.at, r.order))
    return [replace(r, order=n) for n, r in enumerate(listed, 1)]


def _read(remarks: Sequence[Remark], log: Log, shop: Shop, known: Runs, steps: Mapping[str, str]) -> list[Remark]:
    out: list[Remark] = []
    texts = {m.remark_id: m.new for m in log.mends if m.action == "text" and m.new is not None}
    reader, sitting = None, None
    begun: dict[str, int] = {}
    for remark in remarks:
        if reader is None or remark.sitting_id != sitting:
            sitting = remark.sitting_id
            begun[sitting] = begun.get(sitting, 0) + 1
            reader = readings_of(known, sitting, begun[sitting], log.job, shop)
            reader.begin()
        text = texts.get(remark.id, remark.text)
        speak_of_step(reader, remark.id, steps.get(remark.id))
        reading = reader.read(text, line=remark.id)
        is_mended = remark.id in texts  # somebody settled what the ear had left open
        heard = () if is_mended else remark.words
        unsettled = () if is_mended else remark.unsettled
        weighed = doubt_unsettled(
            weigh_words(reading.entries, text, reading.changes, heard), text, reading.changes, unsettled
        )
        entries = name_entries(remark.id, weighed, reading.tidied)
        out.append(replace(remark, text=text, tidied=reading.tidied, changes=reading.changes, entries=entries))
    return out


def speak_of_step(reader: KnownReadings, remark_id: str, step: str | None) -> None:
    """Let a remark of a rebuild be read as of the part of its step: "done, 45 newton metres" names none."""
    if step is not None:
        reader.read(f"The {step}.", line=f"{STEP_LINE}{remark_id}")


def name_entries(remark_id: str, entries: Sequence[Entry], tidied: str) -> tuple[Entry, ...]:
    """Give each entry the id it gets every time the same words are read into the same kind."""
    seen: dict[str, int] = {}
    out = []
    for entry in entries:
        words = tidied[entry.span[0] : entry.span[1]]
        key = f"{remark_id}|{entry.kind}|{words.lower()}"
        seen[key] = seen.get(key, 0) + 1
        from_ = None if (entry.from_ or "").startswith(STEP_LINE) else entry.from_
        out.append(replace(entry, id=str(uuid.uuid5(_SPACE, f"{key}|{seen[key]}")), from_=from_))
    return tuple(out)


def _mend(remarks: Sequence[Remark], mends: Sequence[Mend]) -> tuple[list[Remark], list[Mend]]:
    out, judged = [], []
    for remark in remarks:
        mended, own = apply_mends(remark, [m for m in mends if m.remark_id == remark.id])
        out.append(mended)
        judged.extend(own)
    return out, judged
