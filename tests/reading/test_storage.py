"""Storage: where what came off was put. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Storage
from tests.reading.tables import read_kind

ROWS = [
    ("Cover screws are in the tobacco tin.", ["tobacco tin"], "a named tin"),
    ("Bagged the pins, bag fourteen.", ["bag 14"], "a numbered bag"),
    ("Shims, those are in bag B3.", ["bag B3"], "a letter and a number"),
    ("Valve gear's in tray two, springs in tray three.", ["tray 2", "tray 3"], "two places"),
    ("Cotters and clevis pins in the coffee can.", ["coffee can"], "the tin, not the verb"),
    ("The seal in there can go again.", [], "the verb, not the tin"),
    ("Put the jets in the egg box on the windowsill.", ["egg box on the windowsill"], "one place, told in two steps"),
    ("The bolts are gone to the margarine tub.", ["margarine tub"], "gone to"),
    ("Label says tray six.", [], "what is written is no place"),
    ("The box is cracked.", [], "a box that is a part"),
    ("Not what's wrote on the rocker box.", [], "a part of the machine"),
    ("Gasket's gone to biscuit.", [], "a figure of speech"),
    ("There's play in the rack.", [], "a place on the machine"),
]


@pytest.mark.parametrize(("text", "wanted", "why"), ROWS, ids=[r[2] for r in ROWS])
def test_places(text: str, wanted: list[str], why: str) -> None:
    assert [e.place for e in read_kind(text, "storage") if isinstance(e, Storage)] == wanted, why


def test_what_lies_there() -> None:
    (said,) = read_kind("Drum's off. | Springs and shoes are in tray 4.", "storage")
    assert isinstance(said, Storage)
    assert said.contents == ("springs", "shoes")
