"""Dispositions: what is to happen to a part. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Disposition
from tests.reading.tables import read_kind

ROWS = [
    ("Diaphragm's done, chuck it.", [("diaphragm", "scrap")], "told"),
    ("Coupling bolts chucked in the blue tray.", [], "put away is not thrown away"),
    ("The reed block wants a good clean and then it can go straight back.", [("reed block", "clean"), ("reed block", "reuse")], "two things to do"),
    ("We'll leave the sleeve as it is.", [("sleeve", "reuse")], "left alone"),
    ("Piston goes back as it is, rings get renewed.", [("piston", "reuse"), ("ring", "replace")], "two parts, two entries"),
    ("Springs, I'll replace the lot while I'm in here.", [("spring", "replace")], "the lot"),
    ("New gaskets all round.", [("gasket", "replace")], "new ones"),
    ("Send the injectors off for testing.", [("injector", "send out")], "to somebody"),
    ("The spindle's away to be ground.", [("spindle", "send out")], "away to be done"),
    ("Pressure plate I'm sending to the machine shop.", [("pressure plate", "send out")], "named first"),
    ("Put a helicoil in that plug hole.", [("plug hole", "rework")], "made good"),
    ("The motor pulley only wants dressing.", [("motor pulley", "rework")], "only is no part of the name"),
    ("Nozzle ring needs descaling.", [("nozzle ring", "clean")], "needs doing"),
    ("Rotor's to be balanced before it goes back.", [("rotor", "rework")], "before it goes back says when"),
    ("Casing's cracked, I'll ask the boss.", [("casing", "hold")], "waits for somebody"),
    ("I'd half a mind to bin it.", [], "half meant"),
    ("I'd bin those pads if it was mine.", [], "of no use to me"),
    ("Should I replace the seal?", [], "a question"),
    ("Both chains off, and they're not to be swapped.", [], "kept to its own"),
    ("A set ought to do ten thousand.", [], "how long they last"),
    ("The last lad replaced the seal.", [], "what somebody else did"),
    ("Fit a new thrust washer.", [("thrust washer", "replace")], "told, and a new part"),
    ("Fit the thrust washer square.", [], "how it is done"),
    ("A new drive belt was fitted at 34,000.", [], "of before"),
    ("Fit a new gasket on the way back.", [("gasket", "replace")], "the way back is no order"),
    ("New pads are on the way.", [("pad", "order")], "on the way is ordered"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "wanted", "why"), ROWS, ids=[r[2] for r in ROWS])
def test_dispositions(text: str, wanted: list[tuple[str, str]], why: str) -> None:
    said = [e for e in read_kind(text, "disposition") if isinstance(e, Disposition)]
    assert [(e.component, e.action) for e in said] == wanted, why
