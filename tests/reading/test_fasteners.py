"""Fasteners: sets, shares of a set, how they came. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Fastener
from tests.reading.tables import read_kind

ROWS = [
    ("Cover's on eight M8 bolts.", [(8, "M8", "bolt", ())], "count, thread, form"),
    ("Four head nuts, half inch Whitworth, two came off alright and the other two were seized.", [(4, "1/2 BSW", "nut", ()), (2, None, "nut", ("free",)), (2, None, "nut", ("seized",))], "a set said in groups"),
    ("Twelve M6 cap heads, all free bar one that was rounded.", [(12, "M6", "socket cap screw", ("free",)), (1, None, "socket cap screw", ("rounded",))], "all but one"),
    ("Six M10 studs in the block, four came out easy, the rest needed heat.", [(6, "M10", "stud", ()), (4, None, "stud", ("free",)), (2, None, "stud", ())], "the rest is what is left"),
    ("Lid's on with two M5 by 60s, and one of them's plumb gone.", [(2, "M5", None, ()), (1, None, None, ("missing",))], "gone is missing"),
    ("Gland nuts, there's two, M12, and they were only finger tight.", [(2, "M12", "union nut", ("loose",))], "count and thread said after the name"),
    ("Axle nut's a 36 mil and it was staked and tight as you like.", [(None, None, "nut", ("tight",))], "a head size is its driver"),
    ("Eight M10 hex heads, seven undid nicely and the one behind the oiler's been rounded.", [(8, "M10", "hexagon bolt", ()), (7, None, "hexagon bolt", ("free",)), (1, None, "hexagon bolt", ("rounded",))], "the odd one with its place"),
    ("The flange bolts are in bag 3.", [], "named in passing"),
    ("Two washers were behind the hub.", [], "a number of washers is how they sat"),
    ("Four of the five bolts are fine.", [], "sound bolts are a finding"),
    ("Should be six M8 bolts in that, shouldn't there?", [], "a question"),
    ("Two 10 mm bolts hold the guard.", [(2, None, "bolt", ())], "a plain size is the head"),
    ("Four M10 10.9 bolts in the flange.", [(4, "M10", "bolt", ())], "a property class stands between"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "wanted", "why"),
    ROWS,
    ids=[r[2] for r in ROWS],
)
def test_sets_and_shares(
    text: str, wanted: list[tuple[int | None, str | None, str | None, tuple[str, ...]]], why: str
) -> None:
    said = [e for e in read_kind(text, "fastener") if isinstance(e, Fastener)]
    assert [(e.count, e.thread, e.form, e.state) for e in said] == wanted, why


DRIVERS = [
    ("Four M8 bolts, thirteen mil heads.", "13 mm socket"),
    ("Plug's M14 with a 6 mm hex key.", "6 mm hex key"),
    ("Ten quarter BSF screws, quarter BS spanner.", "1/4 BS spanner"),
    ("Two three eighths sixteen bolts, nine sixteenths wrench.", "9/16 in spanner"),
    ("Axle nut's a 36 mil.", "36 mm socket"),
]


@pytest.mark.parametrize(("text", "driver"), DRIVERS)
def test_drivers(text: str, driver: str) -> None:
    said = read_kind(text, "fastener")
    assert [e.driver for e in said if isinstance(e, Fastener)][:1] == [driver]


HEAT = [
    ("Six M8 studs and they all needed heat.", True),
    ("Six M8 studs, no heat needed.", None),
    ("Six M8 studs, came out without heat.", False),
    ("Two M10 bolts, had to get the gas on them.", True),
    ("Two M10 bolts hold the bracket.", None),
]


@pytest.mark.parametrize(("text", "heat"), HEAT)
def test_heat(text: str, heat: bool | None) -> None:
    said = read_kind(text, "fastener")[0]
    assert isinstance(said, Fastener)
    assert said.heat is heat or (heat is None and said.heat is False)
