"""What has not been said yet, for a terminal and as JSON.

In: gaps. Out: lines under headings, or values.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from notebook.documents.paper import count_words
from notebook.errors import one_line
from notebook.log.gaps import Gap

TITLES = {
    "condition": "Off, and its state not said",
    "decision": "Faulty, and not decided",
    "differ": "Decided, and not plain",
    "shared": "Places with things of another job",
    "picture": "Faulty, and no picture",
    "count": "Counts that do not add up",
    "size": "Fasteners without a size",
    "place": "Fasteners without a place",
    "limit": "Measured, and no limit known",
    "doubt": "Doubts not settled",
    "photo": "Photos without a remark",
    "caution": "Cautions not read",
}


def gaps_text(number: str, gaps: Sequence[Gap]) -> str:
    """Write the gaps of a job under their headings."""
    if not gaps:
        return f"Job {one_line(number)}: nothing is missing.\n"
    out = [f"Job {one_line(number)}: {count_words(len(gaps), 'gap')}"]
    for kind, title in TITLES.items():
        of_kind = [g for g in gaps if g.kind == kind]
        if of_kind:
            out += ["", title]
        for gap in of_kind:
            where = f"  [remark {gap.order}]" if gap.order is not None else ""
            out.append(one_line(f"  {gap.about}: {gap.words}{where}"))
    return "\n".join(out) + "\n"


def gaps_json(number: str, gaps: Sequence[Gap]) -> dict[str, Any]:
    """Give the gaps as JSON values."""
    return {
        "job": number,
        "count": len(gaps),
        "gaps": [
            {"kind": g.kind, "about": g.about, "words": g.words, "remark": g.order, "entry": g.entry_id, "photo": g.photo_id}
            for g in gaps
        ],
    }  # fmt: skip
