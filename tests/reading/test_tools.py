"""Tools that were used or are needed. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Tool
from tests.reading.tables import read_kind

ROWS = [
    ("Hub took the three leg puller.", ["3 leg puller"], "took, in the words as tidied"),
    ("Used the slide hammer on the axle seal.", ["slide hammer"], "used"),
    ("I need a 14 mm hex key for the chuck bolts.", ["14 mm hex key"], "needed, with its size"),
    ("The puller's bent.", [], "a tool that is itself spoken of"),
    ("Trick is to use a slide hammer on these.", [], "a tool inside a tip stays there"),
    ("Never use a hammer on that.", [], "a tool inside a caution stays there"),
    ("Bracket's held by four M8 bolts.", [], "no tool"),
]


@pytest.mark.parametrize(("text", "wanted", "why"), ROWS, ids=[r[2] for r in ROWS])
def test_tools(text: str, wanted: list[str], why: str) -> None:
    assert [e.name for e in read_kind(text, "tool") if isinstance(e, Tool)] == wanted, why
