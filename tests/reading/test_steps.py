"""Steps: what was done to get there. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Step
from tests.reading.tables import read_kind

ROWS = [
    ("Brake band's off.", [("removed", "brake band")], "it is off"),
    ("That's the drum out.", [("removed", "drum")], "that's it out"),
    ("Whipped the guard off the flywheel.", [("removed", "guard")], "somebody took it off"),
    ("Out come the vanes.", [("removed", "vane")], "turned round"),
    ("Split the cases.", [("opened", "case")], "opened"),
    ("I slackened the lock ring.", [("loosened", "lock ring")], "loosened"),
    ("Nut's back on finger tight.", [("refitted", "nut")], "put back"),
    ("Now the gearbox.", [], "moving on is no step"),
    ("The last fella had the airbox off.", [], "what somebody else did"),
    ("I'll pull the drum tomorrow.", [], "what will be done"),
    ("It's ten thou out.", [], "a verdict on a number"),
    ("Once the drum's off you can see it.", [], "still to come"),
    ("Shaft's out of true.", [], "out of is a state"),
]


@pytest.mark.parametrize(("text", "wanted", "why"), ROWS, ids=[r[2] for r in ROWS])
def test_steps(text: str, wanted: list[tuple[str, str]], why: str) -> None:
    said = [e for e in read_kind(text, "step") if isinstance(e, Step)]
    assert [(e.action, e.component) for e in said] == wanted, why
