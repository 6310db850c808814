"""Mends: a person corrects a remark or one of its entries.

In: what is to be changed, in words. Out: a mend, stored, and the job read again with it.
What was read before stays in the mend; nothing is lost.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime

from notebook.archive.store import Archive, new_id
from notebook.entries import Entry
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError
from notebook.jobs.derive import reread_job
from notebook.log.mends import check_mend, new_entry, statement_of
from notebook.log.seconds import second_of
from notebook.nouns import Job, Log, Mend, Remark
from notebook.shop import Shop


def find_remark(log: Log, which: str) -> Remark:
    """Give a remark of a job by its id, the start of its id, or its number in the log."""
    found = [r for r in log.remarks if which.isdecimal() and len(which) < 10 and r.order == int(which)]
    if not found:  # an id may begin with eight digits
        found = [r for r in log.remarks if r.id == which or (len(which) >= 4 and r.id.startswith(which))]
    if len(found) != 1:
        raise NotebookError(
            f"There is no remark {which} in job {log.job.number}." if not found else f"{which} fits {len(found)} remarks.",
            f"Give its number as the log shows it, 1 to {len(log.remarks)}.", NOTHING_FOUND if not found else WRONG_USE,
        )  # fmt: skip
    return found[0]


def mend_text(
    archive: Archive, job: Job, remark: Remark, text: str, *, person: str | None, now: datetime, shop: Shop
) -> Log:
    """Put other words in the place of what was heard, and read them."""
    if not text.strip():
        raise NotebookError(
            "A remark cannot be mended to nothing.", "Strike its entries instead, with --strike.", WRONG_USE
        )
    mend = Mend(
        id=new_id(), remark_id=remark.id, kind=None, entry_id=None, action="text", field="text", old=remark.text, new=text.strip(), person=person,
        made=now,
    )  # fmt: skip
    return _lay(archive, job, [mend], shop)


def mend_entry(
    archive: Archive, job: Job, remark: Remark, entry_id: str | None, *, action: str, changes: dict[str, str], person: str | None, now: datetime,
    shop: Shop,
) -> Log:  # fmt: skip
    """Set fields of an entry, strike it, or accept it as it stands."""
    entry = find_entry(remark, entry_id)
    if action == "set":
        mends = [
            _mend(remark, entry, "set", field, entry.to_json().get(field), check_mend(entry, field, value), person, now)
            for field, value in changes.items()
        ]
    else:
        mends = [_mend(remark, entry, action, None, statement_of(entry), None, person, now)]
    return _lay(archive, job, mends, shop)


def add_entry(
    archive: Archive,
    job: Job,
    remark: Remark,
    kind: str,
    values: Mapping[str, str],
    *,
    person: str | None,
    now: datetime,
    shop: Shop,
) -> Log:
    """Add an entry that was not read."""
    entry = new_entry(kind, values, len(remark.tidied))
    mend = Mend(
        id=new_id(), remark_id=remark.id, kind=kind, entry_id=None, action="add", new=json.dumps(entry.to_json(), ensure_ascii=False), person=person,
        made=now,
    )  # fmt: skip
    return _lay(archive, job, [mend], shop)


def _lay(archive: Archive, job: Job, mends: Sequence[Mend], shop: Shop) -> Log:
    """Store mends and read the job again with them, all or nothing: a mend that cannot be laid is not kept."""
    with archive.all_or_nothing():
        for mend in mends:
            archive.add_mend(job.id, mend)
        return reread_job(archive, job, shop=shop)


def read_pairs(words: str) -> list[tuple[str, str]]:
    """Read "component=drum, condition=scored"; raises NotebookError for anything else."""
    pairs = []
    for piece in words.split(","):
        field, sign, value = piece.partition("=")
        if not sign or not field.strip() or not value.strip():
            raise NotebookError(
                f"{piece.strip()!r} is not FIELD=VALUE.", "Write for example condition=cracked.", WRONG_USE
            )
        pairs.append((field.strip(), value.strip()))
    return pairs


def find_entry(remark: Remark, entry_id: str | None) -> Entry:
    """Give an entry of a remark by id or the start of its id; the only one when none is named."""
    if entry_id is None:
        if len(remark.entries) == 1:
            return remark.entries[0]
        raise NotebookError(
            f"Remark {remark.order} has {len(remark.entries)} entries.",
            "Name one with --entry ID (see teardown log NUMBER --ids).",
            WRONG_USE,
        )
    found = [
        e
        for e in remark.entries
        if e.id is not None and (e.id == entry_id or (len(entry_id) >= 4 and e.id.startswith(entry_id)))
    ]
    if len(found) != 1:
        raise NotebookError(
            f"There is no entry {entry_id} in remark {remark.order}.",
            "See the ids with: teardown log NUMBER --ids",
            NOTHING_FOUND,
        )
    return found[0]


def _mend(
    remark: Remark,
    entry: Entry,
    action: str,
    field: str | None,
    old: object,
    new: object,
    person: str | None,
    now: datetime,
) -> Mend:
    at_s = _second_of(remark, entry)
    return Mend(
        id=new_id(), remark_id=remark.id, kind=entry.kind, entry_id=entry.id, action=action, field=field,  # type: ignore[arg-type]
        old=json.dumps(old, ensure_ascii=False), new=json.dumps(new, ensure_ascii=False), at_s=at_s, person=person, made=now,
    )  # fmt: skip


def _second_of(remark: Remark, entry: Entry) -> float | None:
    """Give the second, from the start of the remark, at which the entry's words were said."""
    return second_of(remark, entry.span[0])
