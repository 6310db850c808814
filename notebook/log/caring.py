"""The usual cautions that a job's remarks call for, each once.

In: remarks with entries, and what the limits say. Out: cautions, the gravest first. Never hides one that somebody has
read, and never keeps a remark from being taken down.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from notebook.entries import Entry, Fastener, Finding
from notebook.log.verdicts import is_past_limit
from notebook.nouns import Remark
from notebook.tables.cautions import UsualCaution, cautions_for

_BROKEN = frozenset({"broken", "snapped", "sheared"})
_BOLT = re.compile(r"\b(bolt|stud|screw)\b")


def cautions_of(remarks: Sequence[Remark], verdicts: Sequence[str] = ()) -> tuple[UsualCaution, ...]:
    """Give the cautions for the parts, tools, fasteners and deeds of remarks; `verdicts` are the lines of the limits.

    Examples: "pressed the old bush out" is pressing; a stud that is seized is a seized stud; "past it by 0.5 mm" is past its limit.
    """
    names = [name for r in remarks for e in r.entries if not e.struck for name in _names(e)]
    if any(is_past_limit(line) for line in verdicts):
        names.append("past limit")
    return cautions_for(names, [r.tidied for r in remarks])


def _names(entry: Entry) -> Iterator[str]:
    component: str | None = getattr(entry, "component", None)
    name: str | None = getattr(entry, "name", None)
    yield from (n for n in (component, name) if n)
    if isinstance(entry, Fastener):
        kind = _BOLT.search(entry.form or "")
        if "seized" in entry.state:
            yield f"seized {kind[1] if kind and kind[1] != 'screw' else 'bolt'}"
        if "threadlocked" in entry.state:
            yield "threadlocker"
        if entry.form:
            yield entry.form
    elif isinstance(entry, Finding) and entry.condition in _BROKEN and entry.presence == "present" and component:
        if kind := _BOLT.search(component):
            yield f"broken {kind[1]}"
