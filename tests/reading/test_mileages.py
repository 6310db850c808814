"""Mileages: what the clock shows, when a part went in, what it has run, how long one lasts. source: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Mileage
from tests.reading.tables import read_kind

ROWS = [
    ("Clock reads sixty one thousand four hundred and eighty miles.", [(61480, "mi", "reading")], "the clock"),
    ("Hour meter's showing eleven hundred and sixty.", [(1160, "h", "reading")], "hours without the word"),
    ("There's 412 hours on the clock.", [(412, "h", "reading")], "said behind"),
    ("Clock says 61,480 miles, belt went on at sixty thousand.", [(61480, "mi", "reading"), (60000, "mi", "fitted")], "when it was fitted"),
    ("Those pads have only done twelve thousand miles.", [(12000, "mi", "run")], "what this one has run"),
    ("They're only good for forty thousand kilometres.", [(40000, "km", "expected")], "how long one lasts"),
    ("Took three hours to get that off.", [], "hours of the job"),
    ("It's a mile out of true.", [], "a manner of speaking"),
    ("Belt's new, it was fitted at 34,000.", [(34000, None, "fitted")], "no size is that large"),
    ("The bush was fitted at 34 mm.", [], "a size"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "wanted", "why"), ROWS, ids=[r[2] for r in ROWS])
def test_mileages(text: str, wanted: list[tuple[int, str, str]], why: str) -> None:
    said = [e for e in read_kind(text, "mileage") if isinstance(e, Mileage)]
    assert [(int(e.value or 0), e.unit, e.role) for e in said] == wanted, why
