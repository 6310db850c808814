"""Values to rows and back: how each noun and each kind of entry lies in the archive.

In: nouns, or rows as dictionaries. Out: the other. Never opens a database.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from notebook.entries import (
    Caution,
    Correction,
    Decided,
    Disposition,
    Entry,
    Fastener,
    Finding,
    Mark,
    Measurement,
    Mileage,
    PhotoCue,
    Promise,
    Step,
    Storage,
    Tip,
    Tool,
    entry_from_json,
)  # fmt: skip
from notebook.nouns import (
    Decision,
    Fitting,
    Job,
    Link,
    Machine,
    Mend,
    Outage,
    Photo,
    Recording,
    Remark,
    Sitting,
    Unsettled,
    Word,
)
from notebook.tables.units import to_si

Row = dict[str, Any]


def time_text(at: datetime | None) -> str | None:
    """Write a time as ISO 8601 in UTC, with microseconds, so that text order is time order."""
    return at.astimezone(UTC).isoformat(timespec="microseconds") if at is not None else None


def time_of(text: str | None) -> datetime | None:
    """Read a time written by `time_text`."""
    return datetime.fromisoformat(text) if text else None


def _decimal_text(value: Decimal | None) -> str | None:
    return format(value, "f") if value is not None else None


def job_of(row: Mapping[str, Any]) -> Job:
    """Make a job of a row of job joined with machine."""
    opened = time_of(row["opened"])
    assert opened is not None
    return Job(
        id=row["id"], number=row["number"], machine=Machine(id=row["machine_id"], kind=row["kind"], plate=row["plate"]),
        owner_ref=row["owner_ref"], reading=row["reading"], opened=opened, closed=time_of(row["closed"]),
    )  # fmt: skip


def sitting_of(row: Mapping[str, Any]) -> Sitting:
    """Make a sitting of its row."""
    started = time_of(row["started"])
    assert started is not None
    return Sitting(
        id=row["id"],
        job_id=row["job_id"],
        person=row["person"],
        started=started,
        ended=time_of(row["ended"]),
        zone=row["zone"],
    )


def recording_of(row: Mapping[str, Any]) -> Recording:
    """Make a recording of its row."""
    return Recording(
        sha256=row["sha256"], name=row["name"], rate_hz=row["rate_hz"], sample_count=row["sample_count"], started=time_of(row["started"]),
        started_how=row["started_how"],
    )  # fmt: skip


def remark_of(
    row: Mapping[str, Any], words: tuple[Word, ...], entries: tuple[Entry, ...], unsettled: tuple[Unsettled, ...] = ()
) -> Remark:
    """Make a remark of its row, its words, its entries and what the ear left unsettled."""
    changes = tuple((tuple(a), tuple(b), why) for a, b, why in json.loads(row["changes"]))
    return Remark(
        id=row["id"], sitting_id=row["sitting_id"], order=row["ord"], at=time_of(row["at"]), seconds=row["seconds"], person=row["person"],
        recording_sha256=row["recording_sha256"], first_sample=row["first_sample"], sample_count=row["sample_count"], heard=row["heard"],
        text=row["text"], tidied=row["tidied"], changes=changes, words=words, entries=entries, doubt=row["doubt"],
        unsettled=unsettled,
    )  # fmt: skip


def remark_row(remark: Remark, job_id: str, source_key: str, sound_path: str | None) -> Row:
    """Make the row of a remark."""
    return {
        "id": remark.id, "job_id": job_id, "sitting_id": remark.sitting_id, "ord": remark.order, "source_key": source_key,
        "at": time_text(remark.at), "seconds": remark.seconds, "person": remark.person, "recording_sha256": remark.recording_sha256,
        "first_sample": remark.first_sample, "sample_count": remark.sample_count, "sound_path": sound_path, "heard": remark.heard,
        "text": remark.text, "tidied": remark.tidied, "changes": json.dumps(remark.changes, ensure_ascii=False),
        "doubt": remark.doubt,
    }  # fmt: skip


def outage_of(row: Mapping[str, Any]) -> Outage:
    """Make an outage of its row."""
    began, ended = time_of(row["began"]), time_of(row["ended"])
    assert began is not None
    assert ended is not None
    return Outage(id=row["id"], sitting_id=row["sitting_id"], began=began, ended=ended, why=row["why"])


def decision_of(row: Mapping[str, Any]) -> Decision:
    """Make a decision of its row."""
    made = time_of(row["made"])
    assert made is not None
    return Decision(
        id=row["id"], entry_id=row["entry_id"], component=row["component"], position=row["position"], action=row["action"],
        state=row["state"], person=row["person"], made=made, note=row["note"], noted_by=row["noted_by"], settles=bool(row["settles"]),
    )  # fmt: skip


def decision_row(decision: Decision, job_id: str) -> Row:
    """Make the row of a decision."""
    return {
        "id": decision.id, "job_id": job_id, "entry_id": decision.entry_id, "component": decision.component, "position": decision.position,
        "action": decision.action, "state": decision.state, "person": decision.person, "made": time_text(decision.made), "note": decision.note,
        "noted_by": decision.noted_by, "settles": int(decision.settles),
    }  # fmt: skip


def photo_of(row: Mapping[str, Any]) -> Photo:
    """Make a photo of its row."""
    return Photo(
        id=row["id"], name=row["name"], sha256=row["sha256"], taken=time_of(row["taken"]), taken_how=row["taken_how"], camera=row["camera"],
        width_px=row["width_px"], height_px=row["height_px"], picture_format=row["picture_format"],
        card_shown=time_of(row["card_shown"]), labels_shown=tuple((row["labels_shown"] or "").splitlines()),
    )  # fmt: skip


def link_of(row: Mapping[str, Any]) -> Link:
    """Make a link of its row."""
    return Link(photo_id=row["photo_id"], remark_id=row["remark_id"], how=row["how"], confidence=row["confidence"])


def mend_of(row: Mapping[str, Any]) -> Mend:
    """Make a mend of its row."""
    made = time_of(row["made"])
    assert made is not None
    return Mend(
        id=row["id"], remark_id=row["remark_id"], kind=row["kind"], entry_id=row["entry_id"], action=row["action"], field=row["field"],
        old=row["old"], new=row["new"], at_s=row["at_s"], person=row["person"], made=made, conflict=row["conflict"],
    )  # fmt: skip


def mend_row(mend: Mend, job_id: str) -> Row:
    """Make the row of a mend."""
    return {
        "id": mend.id, "job_id": job_id, "remark_id": mend.remark_id, "kind": mend.kind, "entry_id": mend.entry_id, "action": mend.action,
        "field": mend.field, "old": mend.old, "new": mend.new, "at_s": mend.at_s, "person": mend.person, "made": time_text(mend.made),
        "conflict": mend.conflict,
    }  # fmt: skip


def entry_of(row: Mapping[str, Any]) -> Entry:
    """Make an entry of its row; the body holds it whole."""
    entry = entry_from_json(json.loads(row["body"]))
    return replace(entry, id=row["id"], struck=bool(row["struck"]), mended=bool(row["mended"]))


def entry_rows(entry: Entry, remark: Remark, job_id: str, order: int, part_id: str | None) -> tuple[Row, str, Row]:
    """Make the row of an entry, the name of its kind's table and the row there."""
    component = (
        getattr(entry, "component", None)
        or getattr(entry, "topic", None)
        or getattr(entry, "for_", None)
        or getattr(entry, "of", None)
    )
    if isinstance(entry, Finding):
        component = entry.component
    body = entry.to_json()
    common = {
        "id": entry.id, "remark_id": remark.id, "job_id": job_id, "ord": order, "kind": entry.kind, "component": component,
        "position": getattr(entry, "position", None), "part_id": part_id, "span_start": entry.span[0],
        "span_end": entry.span[1], "confidence": entry.confidence, "doubt": entry.doubt, "cue": entry.cue, "struck": int(entry.struck),
        "mended": int(entry.mended), "body": json.dumps(body, ensure_ascii=False),
    }  # fmt: skip
    table, make = _KIND_ROWS[type(entry)]
    return common, table, {"entry_id": entry.id, **make(entry)}


def _finding(e: Finding) -> Row:
    return {
        "condition": e.condition,
        "presence": e.presence,
        "degree": e.degree,
        "count": _whole(e.count),
        "of_count": _whole(e.of),
    }


def _measurement(e: Measurement) -> Row:
    def si(value: Decimal | None) -> float | None:
        found = to_si(value, e.unit) if value is not None and e.unit else None
        return float(found) if found is not None else None

    return {
        "quantity": e.quantity, "value": _decimal_text(e.value), "low": _decimal_text(e.low), "high": _decimal_text(e.high), "unit": e.unit,
        "si": si(e.value), "si_low": si(e.low), "si_high": si(e.high), "role": e.role, "about": _flag(e.about),
    }  # fmt: skip


def _fastener(e: Fastener) -> Row:
    return {
        "count": _whole(e.count), "thread": e.thread, "form": e.form, "length_mm": _decimal_text(e.length), "driver": e.driver,
        "state": json.dumps(e.state), "heat": _flag(e.heat),
    }  # fmt: skip


def _mileage(e: Mileage) -> Row:
    return {
        "value": _decimal_text(e.value),
        "low": _decimal_text(e.low),
        "high": _decimal_text(e.high),
        "unit": e.unit,
        "role": e.role,
    }


def _whole(value: int | None) -> int | None:
    """Give a number that SQLite can hold, else None; the body holds every number whole."""
    return value if value is not None and abs(value) < 1 << 63 else None


def _flag(value: bool | None) -> int | None:
    return None if value is None else int(value)


_KIND_ROWS: dict[type[Entry], tuple[str, Callable[[Any], Row]]] = {
    Finding: ("finding", _finding),
    Measurement: ("measurement", _measurement),
    Fastener: ("fastener", _fastener),
    Mileage: ("mileage", _mileage),
    Disposition: ("disposition", lambda e: {"action": e.action, "count": _whole(e.count), "done": _flag(e.done)}),
    Step: ("step", lambda e: {"action": e.action, "off": e.off, "note": e.note}),
    Mark: ("mark", lambda e: {"text": e.text, "count": _whole(e.count)}),
    Caution: ("caution", lambda e: {"topic": e.topic, "text": e.text}),
    Tip: ("tip", lambda e: {"topic": e.topic, "text": e.text}),
    Tool: ("tool", lambda e: {"name": e.name, "used_for": e.for_}),
    Storage: (
        "storage",
        lambda e: {"place": e.place, "contents": json.dumps(e.contents, ensure_ascii=False), "action": e.action},
    ),
    PhotoCue: ("photo_cue", lambda e: {"of_component": e.of, "which": e.which}),
    Correction: ("correction", lambda e: {"scope": e.scope, "target": e.target}),
    Decided: (
        "decided",
        lambda e: {"state": e.state, "action": e.action, "by_whom": e.by, "settles": _flag(e.settles)},
    ),
    Promise: ("promise", lambda e: {"text": e.text, "by_when": e.by_when}),
}
KIND_TABLES = tuple(table for table, _ in _KIND_ROWS.values())


def fitting_row(fitting: Fitting) -> dict[str, Any]:
    """Give a fitting as a row."""
    return {
        "id": fitting.id, "machine_id": fitting.machine_id, "component": fitting.component, "position": fitting.position,
        "fitted_value": _decimal_text(fitting.fitted), "fitted_unit": fitting.unit, "fitted_job_id": fitting.fitted_job_id,
        "ended_value": _decimal_text(fitting.ended), "ended_unit": fitting.unit, "ended_job_id": fitting.ended_job_id, "ended_why": fitting.ended_why,
        "last_good_value": _decimal_text(fitting.last_good), "exact_life": _decimal_text(fitting.exact_life), "job_ids": json.dumps(fitting.job_ids),
    }  # fmt: skip


def fitting_of(row: dict[str, Any]) -> Fitting:
    """Make a fitting of its row."""
    return Fitting(
        id=row["id"], machine_id=row["machine_id"], component=row["component"], position=row["position"], unit=row["fitted_unit"] or "",
        fitted=_decimal(row["fitted_value"]), fitted_job_id=row["fitted_job_id"], last_good=_decimal(row["last_good_value"]),
        ended=_decimal(row["ended_value"]), ended_job_id=row["ended_job_id"], ended_why=row["ended_why"] or "in",
        exact_life=_decimal(row["exact_life"]), job_ids=tuple(json.loads(row["job_ids"])),
    )  # fmt: skip


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
