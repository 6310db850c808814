"""Reads one sentence for a table of expectations; sentences are made up for the tests and stand in no truth set."""

from __future__ import annotations

from notebook.entries import Entry
from notebook.reading.reader import Reader


def read_kind(text: str, kind: str) -> list[Entry]:
    """Give the entries of a kind in the last remark of a text; "|" parts the remarks of a job."""
    reader = Reader()
    remarks = [said.strip() for said in text.split("|")]
    readings = [reader.read(said, line=str(n)) for n, said in enumerate(remarks, 1)]
    return [e for e in readings[-1].entries if e.kind == kind]
