"""The ear is told parts, places and sizes to expect, never a fault: what is expected is easily heard."""

from __future__ import annotations

import pytest

from notebook.jobs.ear_words import words_for_ear
from notebook.reading.lexicon import phrase_of, standard_lexicon


@pytest.mark.parametrize(
    "machine", ["forestry winch", "band saw mill", "concrete mixer", "something nobody heard of", ""]
)
def test_no_fault_is_expected(machine: str) -> None:
    words = words_for_ear(machine, ["pawl", "brake band"], ["link pin"])
    faults = {p for p, terms in standard_lexicon().conditions.items() if any(t.polarity == "defect" for t in terms)}
    assert faults
    assert not [w for w in words if phrase_of(w) in faults]


def test_what_was_named_last_comes_first_and_nothing_twice() -> None:
    words = words_for_ear("winch", ["drum", "pawl", "drum", "hub"], ["link pin"])
    assert words[:4] == ["hub", "drum", "pawl", "link pin"]
    assert len(words) == len(set(words))


def test_the_kind_of_machine_brings_its_parts() -> None:
    bare = set(words_for_ear("something", []))
    assert set(words_for_ear("Forestry WINCH", [])) > bare
