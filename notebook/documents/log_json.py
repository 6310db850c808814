"""Writes the log of a job as JSON values, a contract for other programs.

In: a log. Out: dictionaries and lists. Never queries the archive.
"""

from __future__ import annotations

from typing import Any

from notebook.log.caring import cautions_of
from notebook.nouns import Decision, Log, Remark


def log_json(log: Log) -> dict[str, Any]:
    """Give the log as JSON values: the job, its remarks with entries, its parts and its photos."""
    job = log.job
    links: dict[str, list[Any]] = {}
    for link in log.links:
        links.setdefault(link.photo_id, []).append(link)
    by_id = {e.id: e for r in log.remarks for e in r.entries}
    return {
        "job": {
            "id": job.id, "number": job.number, "machine": job.machine.kind, "plate": job.machine.plate, "owner_ref": job.owner_ref,
            "reading": job.reading, "opened": job.opened.isoformat(), "closed": job.closed.isoformat() if job.closed else None,
        },
        "sittings": [
            {"id": s.id, "person": s.person, "started": s.started.isoformat(), "ended": s.ended.isoformat() if s.ended else None, "zone": s.zone}
            for s in log.sittings
        ],
        "recordings": [
            {"sha256": r.sha256, "name": r.name, "started": r.started.isoformat() if r.started else None, "started_how": r.started_how}
            for r in log.recordings
        ],
        "remarks": [remark_json(r, log) for r in log.remarks],
        "parts": [
            {
                "id": p.id, "component": p.component, "position": p.position, "of": p.of, "order": p.order, "entries": list(p.entry_ids),
                "photos": list(p.photo_ids), "verdicts": list(p.verdicts), "struck": all(by_id[e].struck for e in p.entry_ids if e in by_id),
            }
            for p in log.parts
        ],
        "photos": [
            {
                "id": p.id, "name": p.name, "sha256": p.sha256, "taken": p.taken.isoformat() if p.taken else None, "taken_how": p.taken_how,
                "camera": p.camera, "remark": links[p.id][0].remark_id if p.id in links else None,
                "remarks": [k.remark_id for k in links.get(p.id, [])], "how": links[p.id][0].how if p.id in links else None,
                "confidence": links[p.id][0].confidence if p.id in links else None,
            }
            for p in log.photos
        ],
        "cautions": [
            {"text": c.text, "level": c.level, "confidence": c.confidence, "source": c.source}
            for c in cautions_of(log.remarks, [v for p in log.parts for v in p.verdicts])
        ],
        "decisions": [decision_json(d) for d in log.decisions],
        "mends": [
            {"id": m.id, "remark": m.remark_id, "kind": m.kind, "action": m.action, "field": m.field, "old": m.old, "new": m.new, "person": m.person, "made": m.made.isoformat(), "conflict": m.conflict}
            for m in log.mends
        ],
    }  # fmt: skip


def decision_json(decision: Decision) -> dict[str, Any]:
    """Give a decision as JSON values."""
    return {
        "id": decision.id, "component": decision.component, "position": decision.position, "action": decision.action, "state": decision.state,
        "person": decision.person, "noted_by": decision.noted_by, "made": decision.made.isoformat(), "note": decision.note,
        "settles": decision.settles, "remark": decision.remark_id,
    }  # fmt: skip


def remark_json(remark: Remark, log: Log) -> dict[str, Any]:
    """Give a remark with its entries as JSON values; every entry has `id`, `struck`, `mended`."""
    rate = next((r.rate_hz for r in log.recordings if r.sha256 == remark.recording_sha256), None)
    return {
        "id": remark.id, "order": remark.order, "at": remark.at.isoformat() if remark.at else None, "seconds": remark.seconds,
        "person": remark.person, "recording": remark.recording_sha256,
        "second": round(remark.first_sample / rate, 3) if rate and remark.first_sample is not None else None, "heard": remark.heard,
        "text": remark.text, "tidied": remark.tidied, "changes": [[list(a), list(b), why] for a, b, why in remark.changes], "doubt": remark.doubt,
        "entries": [{**e.to_json(), "id": e.id, "struck": e.struck, "mended": e.mended} for e in remark.entries],
    }  # fmt: skip
