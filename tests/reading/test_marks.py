"""Marks: how a thing sat, for the way back. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Mark
from tests.reading.tables import read_kind

ROWS = [
    ("The impeller's off, its key slot was at six o'clock.", "impeller", "key slot", "said of what was named before"),
    ("Oil seal goes in with the spring side to the bearing.", "oil seal", "spring side to the bearing", "a feature and where it looks; the bearing is a landmark"),
    ("Two bellevilles behind the spring plate, cupped towards each other.", "belleville", "behind the spring plate", "small parts and where"),
    ("I've painted a white stripe over the flange and the pipe.", "flange", "white stripe", "a sign made on a part"),
    ("Left and right rams aren't the same so don't mix them up.", "ram", "don't mix them up", "kept to its own"),
    ("Conrod oil hole faces the camshaft.", None, "faces the camshaft", "faces"),
    ("The idler washer sits inside the circlip, not outside.", "idler washer", "inside the circlip", "sits"),
    ("Fuel pipe runs under the bracket and over the bellhousing.", "fuel pipe", "under the bracket", "routed"),
    ("There was a thin brass shim under each foot, none at the front left.", "shim", "under each foot", "shims and where"),
    ("Cable nipple hooks in from below.", "cable nipple", "hooks in", "hooked"),
    ("Diaphragm's fitted with the rib uppermost.", "diaphragm", "rib uppermost", "a way without a landmark"),
    ("Valves are numbered one to six from the flywheel end.", "valve", "1 to 6", "numbered"),
    ("Pulley was on with the long boss inboard.", "pulley", "boss inboard", "inboard"),
    ("The sun gear has its chamfer down.", "sun gear", "chamfer down", "down"),
    ("Scribed a line on the hub and the backplate.", "hub", "Scribed a line", "scribed"),
    ("The belleville washers alternate, two up two down.", "belleville washer", "alternate", "in order"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "component", "words", "why"), ROWS, ids=[r[3] for r in ROWS])
def test_marks(text: str, component: str | None, words: str, why: str) -> None:
    said = [e for e in read_kind(text, "mark") if isinstance(e, Mark)]
    assert len(said) == 1, why
    assert words in said[0].text, why
    if component is not None:
        assert said[0].component == component, why


NONE = [
    ("Stator's scored on the inlet side.", "where a fault is"),
    ("There's a crack behind the boss.", "where a fault is"),
    ("The plate at the bottom is bent.", "where the faulty one is"),
    ("Washer's cracked under the head.", "where a fault is"),
    ("Flywheel goes to the grinders tomorrow.", "sent away"),
    ("No marks on the bore.", "no mark of that kind"),
    ("Bolts are in the tray on the bench.", "put away"),
    ("It's worn all the way round.", "how far it is worn"),
    ("Turns out it was neither.", "turns out"),
    ("It's looking good.", "looks well"),
]


@pytest.mark.parametrize(("text", "why"), NONE, ids=[r[0] for r in NONE])
def test_no_marks(text: str, why: str) -> None:
    assert read_kind(text, "mark") == [], why
