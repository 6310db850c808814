"""Says what is in every place now, for a terminal, for a label printer and as JSON.

In: places. Out: lines, or values.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from notebook.errors import one_line
from notebook.log.places import Kept, Place


def places_text(places: Sequence[Place]) -> str:
    """Write each place and what lies there, with the job and the remark that said so."""
    if not places:
        return "Nothing of an open job was put anywhere yet.\n"
    width = min(24, max(len(p.name) for p in places))
    out = []
    for place in places:
        for n, kept in enumerate(place.things):
            out.append(
                one_line(
                    f"{place.name if n == 0 else '':{width}}  {kept.thing}  [job {kept.job_number}, {_said(kept)}]"
                )
            )
        if place.doubt:
            out.append(one_line(f"{'':{width}}  ? {place.doubt}"))
    return "\n".join(out) + "\n"


def _said(kept: Kept) -> str:
    day = f", {kept.remark.at:%Y-%m-%d}" if kept.remark.at else ""
    return f"remark {kept.remark.order}{f', {kept.person}' if kept.person else ''}{day}"


def places_json(places: Sequence[Place]) -> list[dict[str, Any]]:
    """Give places as JSON values."""
    return [
        {
            "place": p.name, "doubt": p.doubt,
            "things": [{"thing": k.thing, "job": k.job_number, "remark": k.remark.id, "person": k.person, "at": k.remark.at.isoformat() if k.remark.at else None} for k in p.things],
        }
        for p in places
    ]  # fmt: skip
