"""Makes everything derived about a job again: tidied text, entries, parts, links. Mends are kept and win.

In: a stored job. Out: the same job with its derived rows made anew. The sound, the pictures and the words heard
are never touched.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import replace

from notebook.archive.store import Archive
from notebook.entries import Entry
from notebook.log.mends import apply_mends
from notebook.log.parts import gather_parts
from notebook.log.seconds import weigh_words
from notebook.log.strike import strike_corrected
from notebook.nouns import Job, Log, Mend, Remark
from notebook.reading.matching import matcher_with
from notebook.reading.names import table_name
from notebook.reading.reader import Reader, reader_version
from notebook.shop import Shop

_SPACE = uuid.UUID("3a1b8d42-93f5-4c3f-9c53-4d1a1c0f6e11")


def reread_job(archive: Archive, job: Job, *, shop: Shop) -> Log:
    """Read every remark of a job again, lay the mends over it, gather parts and link photos; give the new log.

    Nobody else writes meanwhile, so that a remark stored by another program keeps its entries.
    """
    from notebook.photos.link import link_photos

    with archive.all_or_nothing():
        log = archive.load_log(job)
        remarks = _in_order(log.remarks)
        remarks = _read(remarks, log, shop)
        remarks, mends = _mend(remarks, log.mends)
        remarks = strike_corrected(remarks)
        links, _, _ = link_photos(log.photos, remarks)
        parts, part_of = gather_parts(job.id, remarks, links, table_name)
        archive.replace_derived(job.id, remarks, parts, part_of, mends, reader_version(shop.words))
        archive.replace_links(job.id, links)
        return archive.load_log(job)


def reader_for(shop: Shop, machine: str | None) -> Reader:
    """Give a reader with the shop's habit and words."""
    return Reader(machine=machine, habit=shop.settings.habit, matcher=matcher_with(shop.words))


def _in_order(remarks: Sequence[Remark]) -> list[Remark]:
    """Put remarks in the order said: by time where every one has a time, else as taken in."""
    listed = list(remarks)
    if all(r.at is not None for r in listed):
        listed.sort(key=lambda r: (r.at, r.order))
    return [replace(r, order=n) for n, r in enumerate(listed, 1)]


def _read(remarks: Sequence[Remark], log: Log, shop: Shop) -> list[Remark]:
    out: list[Remark] = []
    texts = {m.remark_id: m.new for m in log.mends if m.action == "text" and m.new is not None}
    reader, sitting = None, None
    for remark in remarks:
        if reader is None or remark.sitting_id != sitting:
            reader, sitting = reader_for(shop, log.job.machine.kind), remark.sitting_id
        text = texts.get(remark.id, remark.text)
        reading = reader.read(text, line=remark.id)
        heard = () if text != remark.text else remark.words
        entries = name_entries(remark.id, weigh_words(reading.entries, text, reading.changes, heard), reading.tidied)
        out.append(replace(remark, text=text, tidied=reading.tidied, changes=reading.changes, entries=entries))
    return out


def name_entries(remark_id: str, entries: Sequence[Entry], tidied: str) -> tuple[Entry, ...]:
    """Give each entry the id it gets every time the same words are read into the same kind."""
    seen: dict[str, int] = {}
    out = []
    for entry in entries:
        words = tidied[entry.span[0] : entry.span[1]]
        key = f"{remark_id}|{entry.kind}|{words.lower()}"
        seen[key] = seen.get(key, 0) + 1
        out.append(replace(entry, id=str(uuid.uuid5(_SPACE, f"{key}|{seen[key]}"))))
    return tuple(out)


def _mend(remarks: Sequence[Remark], mends: Sequence[Mend]) -> tuple[list[Remark], list[Mend]]:
    out, judged = [], []
    for remark in remarks:
        mended, own = apply_mends(remark, [m for m in mends if m.remark_id == remark.id])
        out.append(mended)
        judged.extend(own)
    return out, judged
