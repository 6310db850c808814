"""Only the words of the rebuild move it on; everything else is a remark."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.reading.rebuild_cues import find_rebuild_cue


@pytest.mark.parametrize(
    ("said", "name", "rest"),
    [
        ("Done.", "done", ""),
        ("Okay, that's done.", "done", ""),
        ("Done, all six free.", "done", "all six free"),
        ("Torque set.", "torque set", ""),
        ("Torque set to 45 newton metres.", "torque set", "45 newton metres"),
        ("Torqued.", "torque set", ""),
        ("Next.", "next", ""),
        ("Next step", "next", ""),
        ("Go back.", "back", ""),
        ("Skip: waiting for the seal.", "skip", "waiting for the seal"),
        ("Skip, the seal has not come.", "skip", "the seal has not come"),
        ("skip it until the bearing comes", "skip", "until the bearing comes"),
        ("Not done yet.", "not done", ""),
        ("Which step?", "show", ""),
    ],
)
def test_what_moves_a_rebuild_on(said: str, name: str, rest: str) -> None:
    cue = find_rebuild_cue(said)
    assert cue is not None
    assert (cue.name, cue.rest) == (name, rest)


@pytest.mark.parametrize(
    "said",
    [
        "", "Hmm.", "Done up to 45 newton metres.", "The seal is done for.", "Done with the seal", "Next to the drum sits the shim",
        "Back plate is on", "Torque is 45", "Step out", "The lining skips", "It was done before",
    ],
)  # fmt: skip
def test_what_ticks_nothing(said: str) -> None:
    assert find_rebuild_cue(said) is None


def test_a_step_is_gone_to_by_its_number() -> None:
    found = [find_rebuild_cue(said) for said in ("Step five.", "go to step 12")]
    assert [cue.number for cue in found if cue is not None] == [5, 12]


@given(st.text())
def test_anything_may_be_said(said: str) -> None:
    find_rebuild_cue(said)
