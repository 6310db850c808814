"""The way back beside the outside: a published reassembly order, and SciPy's Kendall tau.

Source of the order: the service instructions of a maker of planetary hydraulic winches, "Disassembly of final drive", steps
1 to 6, and "Reassembly of final drive", steps 1 to 6 (page 16); parts by their plain names, the order as printed.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from scipy.stats import kendalltau

from tests.conftest import Teardown

TAKEN_OFF = ("end cover", "planet hub", "cable drum", "ball bearing", "oil seal")
"""As printed, without the two circlips, which the vocabulary takes for one part."""
PUT_BACK = ("oil seal", "ball bearing", "cable drum", "planet hub", "end cover")
"""As printed: press in the seal, then the bearing, the drum, the planet hub, the end cover."""


def walk(teardown: Teardown, write_remarks: Callable[..., Path], parts: tuple[str, ...], number: str) -> list[str]:
    """Give the parts in the order the notebook puts them back, after they were said to come off one by one."""
    teardown("new", number, "--machine", "winch")
    taken = teardown("add", number, write_remarks(*(f"{p.capitalize()} is off." for p in parts), name=f"{number}.txt"))
    assert (taken.status, taken.err) == (0, "")
    summed: Any = teardown("rebuild", number, "--how-far", "--json").json
    return [title.split("Fit the ")[1] for title in summed["not_done"]]


def test_a_published_reassembly_order(teardown: Teardown, write_remarks: Callable[..., Path]) -> None:
    back = walk(teardown, write_remarks, TAKEN_OFF, "1")
    assert sorted(back) == sorted(PUT_BACK)
    assert back == list(PUT_BACK)


@pytest.mark.parametrize("seed", range(3))
def test_tau_between_the_way_back_and_the_steps_turned_round_is_one(
    teardown: Teardown, write_remarks: Callable[..., Path], seed: int
) -> None:
    """Whatever the order of taking off and however the assemblies were left and come back to."""
    parts = [
        "guard",
        "pinion",
        "brake band",
        "pawl",
        "cone clutch",
        "gearbox cover",
        "drum",
        "drum shaft",
        "key",
        "wire rope",
    ]
    random.Random(seed).shuffle(parts)
    back = walk(teardown, write_remarks, tuple(parts), f"t{seed}")
    assert sorted(back) == sorted(parts)
    tau = kendalltau([parts.index(p) for p in back], range(len(back))).statistic
    assert tau == pytest.approx(-1.0)
    turned = kendalltau([len(parts) - parts.index(p) for p in back], range(len(back))).statistic
    assert turned == pytest.approx(1.0)
