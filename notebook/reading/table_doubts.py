"""Lays what was read beside the shop's tables: threads, spanners, keys, pitches, units and drills.

In: the entries of one remark and its tidied text. Out: the same entries, some with a doubt.
Never changes what was said, and never overwrites a doubt that is there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Entry, Fastener, Measurement
from notebook.tables.amount_checks import doubt_drill, doubt_pitch, doubt_unit
from notebook.tables.checks import doubt_driver, doubt_thread


def doubt_by_tables(entries: Sequence[Entry], text: str) -> list[Entry]:
    """Give the entries with what the tables have to say.

    Example: "Bolt is 3 1/8 in, 20 tpi": no 3 1/8 in thread of 20 tpi; 3/8 BSF is 20 tpi.
    """
    threads = tuple(e.thread for e in entries if isinstance(e, Fastener) and e.thread)
    out = []
    for entry in entries:
        doubt = _doubt(entry, text, threads)
        out.append(replace(entry, doubt=doubt) if doubt and entry.doubt is None else entry)
    return out


def _doubt(entry: Entry, text: str, threads: tuple[str, ...]) -> str | None:
    if isinstance(entry, Fastener):
        doubt = doubt_thread(entry.thread) if entry.thread else None
        doubt = doubt or doubt_driver(entry.thread, entry.form, entry.driver)
        return doubt or (doubt_drill(text, threads) if entry.thread else None)
    if isinstance(entry, Measurement) and entry.unit is not None:
        before = text[: _start_of_amount(entry, text)]
        if entry.quantity == "pitch" and entry.value is not None:
            return doubt_pitch(entry.value, entry.unit, before, entry.component)
        return doubt_unit(entry.unit, before)
    return None


def _start_of_amount(entry: Measurement, text: str) -> int:
    """Give where the amount itself stands in the words of its entry."""
    start, end = entry.span
    at = text.find(entry.said, start, end) if entry.said else -1
    return at if at >= 0 else start
