"""The list of what is to be decided and what was, for a terminal and as JSON.

In: a log and the facts of its parts. Out: lines, or values. Never decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from notebook.documents.deciding_words import STATES, decided_part, decision_words, state_words
from notebook.documents.log_json import decision_json
from notebook.documents.strip_report import why_words, work_words
from notebook.errors import one_line
from notebook.log.facts import PartFacts
from notebook.log.standing import find_proposals, undecided
from notebook.nouns import Log

_TITLES = (
    ("found", "Found, and nothing said of what is to happen"), ("advised", "Advised, and not decided"), ("asked", "Asked, and not answered"),
    ("differ", "Decided differently"), ("approved", "Approved"), ("declined", "Declined"), ("done", "Done already"),
)  # fmt: skip


def decided_text(log: Log, parts: Sequence[PartFacts]) -> str:
    """Write how far each part is, and every decision in the order made."""
    rows = _rows(parts)
    out = [f"Job {one_line(log.job.number)}, {one_line(log.job.machine.kind)}"]
    for state, title in _TITLES:
        of_state = [r for r in rows if r["state"] == state]
        if of_state:
            out += ["", title, *(f"  {_line(r)}" for r in of_state)]
    if not rows:
        out += ["", "Nothing that needs a decision was said yet."]
    if log.decisions:
        out += ["", "Every decision, as it was made"]
        out += [f"  {decided_part(d)}: {decision_words(d)}{_quoted(d.note)}" for d in log.decisions]
    return "\n".join(out) + "\n"


def _quoted(note: str | None) -> str:
    return f'  "{one_line(note)}"' if note else ""


def _line(row: dict[str, Any]) -> str:
    grave = "  ! matters for safety" if row["matters_for_safety"] and row["state"] != "done" else ""
    how = row["how_far"] if row["how_far"] != STATES[row["state"]] else ""
    return one_line(
        ": ".join(w for w in (row["part"], row["action"], row["why"]) if w) + (f"  [{how}]" if how else "") + grave
    )


def _rows(parts: Sequence[PartFacts]) -> list[dict[str, Any]]:
    rows = [
        {"part": p.facts.name, "action": work_words(p), "why": why_words(p.facts), "state": p.state, "how_far": state_words(p), "matters_for_safety": p.matters_for_safety}
        for p in find_proposals(parts)
    ]  # fmt: skip
    return rows + [
        {
            "part": p.name,
            "action": "",
            "why": why_words(p),
            "state": "found",
            "how_far": STATES["found"],
            "matters_for_safety": False,
        }
        for p in undecided(parts)
    ]


def decided_json(log: Log, parts: Sequence[PartFacts]) -> dict[str, Any]:
    """Give the same as JSON values."""
    return {"job": log.job.number, "parts": _rows(parts), "decisions": [decision_json(d) for d in log.decisions]}
