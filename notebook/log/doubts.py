"""Doubts that only the whole job shows: threads on one part that are easily mixed, and too little thread in soft metal.

In: remarks with entries, in order. Out: the same remarks, some entries with a doubt. Never changes what was said, and
never overwrites a doubt that is there.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal

from notebook.entries import Entry, Fastener, Measurement
from notebook.nouns import Remark
from notebook.tables.engagement import doubt_engagement
from notebook.tables.thread_table import Thread, lookalikes_of
from notebook.tables.threads import find_thread
from notebook.tables.units import convert, find_unit

_MATERIAL = re.compile(r"\b(cast iron|brass|bronze|alumini?um|alloy|magnesium|zinc|plastic|steel)\b", re.IGNORECASE)
_DEPTHS = frozenset({"depth", "engagement", "thread depth", "depth of thread", "length"})


def doubt_together(remarks: Sequence[Remark], plain_name: Callable[[str], str]) -> list[Remark]:
    """Note lookalike threads and mixed inch and metric fasteners on one part, and too little engagement."""
    on_part: dict[str, list[Thread]] = {}
    out = []
    for remark in remarks:
        entries: list[Entry] = []
        for entry in remark.entries:
            if isinstance(entry, Fastener) and entry.thread and not entry.struck:
                entry = _beside_others(entry, on_part, plain_name)
            elif isinstance(entry, Measurement) and not entry.struck and entry.doubt is None and not entry.mended:
                doubt = _too_little(entry, remark)
                entry = replace(entry, doubt=doubt) if doubt else entry
            entries.append(entry)
        out.append(replace(remark, entries=tuple(entries)))
    return out


def _beside_others(entry: Fastener, on_part: dict[str, list[Thread]], plain_name: Callable[[str], str]) -> Fastener:
    thread = find_thread(entry.thread or "")
    if thread is None or entry.component is None:
        return entry
    others = on_part.setdefault(plain_name(entry.component), [])
    doubt = next((d for other in others if (d := _mixed(thread, other))), None)
    if thread not in others:
        others.append(thread)
    return replace(entry, doubt=doubt) if doubt and entry.doubt is None and not entry.mended else entry


def _mixed(thread: Thread, other: Thread) -> str | None:
    if thread.name == other.name:
        return None
    if any(other.name in (a.thread, a.other) for a in lookalikes_of(thread.name)):
        return f"{other.name} is on this part too: the two start in each other by hand; gauge both"
    if (thread.family == "M") != (other.family == "M"):
        return f"{other.name} is on this part too: inch and metric on one part"
    return None


def _too_little(entry: Measurement, remark: Remark) -> str | None:
    material = _MATERIAL.search(remark.tidied)
    thread = next((e.thread for e in remark.entries if isinstance(e, Fastener) and e.thread), None)
    if material is None or thread is None or entry.value is None or entry.unit is None or entry.role != "measured":
        return None
    unit = find_unit(entry.unit)
    if unit is None or unit.quantity != "length" or (entry.quantity or "depth") not in _DEPTHS:
        return None
    return doubt_engagement(thread, material.group(1).lower(), Decimal(convert(entry.value, entry.unit, "mm")))
