"""Says which faults of a job jobs before it had too.

In: the archive, a log. Out: a line each. Loads nothing heavy, so that the log is shown at once.
"""

from __future__ import annotations

from notebook.archive.store import Archive
from notebook.documents.words import is_defect
from notebook.entries import Finding
from notebook.errors import one_line
from notebook.history.precedent import find_precedent
from notebook.nouns import Log

MOST_SEEN = 8


def list_seen_before(archive: Archive, log: Log, most: int = MOST_SEEN) -> list[str]:
    """Give a line for each fault of a job that jobs before it had too: how often, the last one, what was done."""
    faults = dict.fromkeys(
        (e.component, e.condition)
        for r in log.remarks
        for e in r.entries
        if isinstance(e, Finding) and e.component is not None and is_defect(e) and not e.struck
    )
    lines: dict[str, None] = {}
    for component, condition in faults:
        found = find_precedent(archive, str(component), condition, without_job=log.job.id, before=log.job.opened)
        if found is not None:
            how_often, last, _, *rest = found.lines()
            lines[one_line("; ".join([how_often, last, *rest]))] = None
        if len(lines) == most:
            break
    return list(lines)
