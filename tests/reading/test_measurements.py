"""Measurements: a size with its unit and what it is for. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Measurement
from tests.reading.tables import read_kind

ROWS = [
    ("Crank end float is twelve thou.", [(12, "thou", "measured")], "a size with its name"),
    ("The web measures 23.4 mm, limit is 22.", [(23.4, "mm", "measured"), (22, "mm", "limit")], "unit inherited in the remark"),
    ("Spring free length is 51.5 mm, book minimum is 50.8.", [(51.5, "mm", "measured"), (50.8, "mm", "limit")], "a minimum is a limit"),
    ("Tyre's at eighteen psi and wants twenty six.", [(18, "psi", "measured"), (26, "psi", "nominal")], "wants to be is nominal"),
    ("Clutch disc is down to a thirty-second over the rivets.", [(0.03125, "in", "measured")], "an inch fraction is in inches"),
    ("Call it two and a half thou where you'd want one.", [(2.5, "thou", "measured"), (1, "thou", "nominal")], "one is a size after want"),
    ("The pads are 41 mm, new is 65 and you biff them at 50.", [(41, "mm", "measured"), (65, "mm", "nominal"), (50, "mm", "limit")], "when it has to go is the limit"),
    ("Cap bolts go back at 45 newton metres.", [(45, "N·m", "required")], "a torque to set"),
    ("It let go at, what, three fifty newton metres.", [(350, "N·m", "measured")], "a torque that was felt; 'what' says nothing"),
    ("Only pulling thirty-eight at the gauge when it wants forty-two kPa.", [(38, "kPa", "measured"), (42, "kPa", "nominal")], "the only unit said is shared backwards"),
    ("Shaft's got fourteen thou runout, reckon you'd want three max.", [(14, "thou", "measured"), (3, "thou", "limit")], "a stop at the end of max. is no abbreviation"),
    ("The gap was set at twenty thou, should be fifteen.", [(20, "thou", "measured"), (15, "thou", "nominal")], "was set is a reading"),
    ("Travel motor off the 36 ton machine.", [], "what a machine is called by is no size"),
    ("The eight bolts in tray 4 took a 13 mil socket.", [], "counts, names and spanners are no sizes"),
    ("Is it ten thou or twelve?", [], "a question"),
    ("Back it off a quarter turn.", [], "a turn is no size"),
    ("It's twelve volt but I only get 10.4 at the solenoid.", [(12, "V", "measured"), (10.4, "V", "measured")], "unit inherited"),
    ("Oil pressure was 4 bar cold, hot it drops to 1.1.", [(4, "bar", "measured"), (1.1, "bar", "measured")], "cold and hot give no entry of their own"),
    ("Stat opens at -18 °C.", [(-18, "degC", "measured")], "below zero in figures"),
    ("Oil was at minus five degrees C.", [(-5, "degC", "measured")], "below zero in words"),
    ("Lining is 3 - 5 mm.", [(None, "mm", "measured")], "a dash with room about it is a range"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "wanted", "why"), ROWS, ids=[r[2] for r in ROWS])
def test_sizes(text: str, wanted: list[tuple[float, str, str]], why: str) -> None:
    said = [e for e in read_kind(text, "measurement") if isinstance(e, Measurement)]
    assert [(float(e.value) if e.value is not None else None, e.unit, e.role) for e in said] == wanted, why


RANGES = [
    ("Book says five to eight thou.", 5, 8, "thou"),
    ("Top clearance has to go back at six to eight hundredths of a mil.", 0.06, 0.08, "mm"),
    ("Pads are 8- to 16-mm thick.", 8, 16, "mm"),
    ("Set the lift between twelve and fifteen thou.", 12, 15, "thou"),
]


@pytest.mark.parametrize(("text", "low", "high", "unit"), RANGES)
def test_ranges(text: str, low: float, high: float, unit: str) -> None:
    (said,) = read_kind(text, "measurement")
    assert isinstance(said, Measurement)
    assert said.low is not None
    assert said.high is not None
    assert (float(said.low), float(said.high), said.unit) == (low, high, unit)
