"""Spoken cues are the whole of what was said; a remark that only holds such words stays a remark."""

from __future__ import annotations

import pytest

from notebook.reading.bench_cues import Cue, find_cue, spoken_phrases


@pytest.mark.parametrize(
    ("said", "name", "about"),
    [
        ("Photo.", "photo", ""), ("Scratch that.", "scratch", ""), ("Bag twelve.", "place", "bag twelve"),
        ("New part, brake drum.", "new part", "brake drum"), ("Close the job, please.", "close", ""), ("Read that back", "read back", ""),
        ("What's left?", "left", ""), ("Whats left", "left", ""), ("Where are the drum bolts?", "where", "drum bolts"),
        ("Okay, where did I put the springs?", "where", "springs"), ("Which bag are the shims in?", "where", "shims"),
        ("Have we seen broken springs before?", "seen", "broken springs"), ("Stop listening.", "sleep", ""),
        ("This is Maren speaking.", "person", "Maren"), ("Correction, 7.2 mm.", "correction", "7 2 mm"), ("Open it again.", "reopen", ""),
        ("Ask: broken springs?", "ask", "broken springs?"), ("Ask which jobs had 3/8 BSF studs.", "ask", "which jobs had 3/8 BSF studs."),
        ("ask the archive, what is in bag seven", "ask", "what is in bag seven"),
    ],
)  # fmt: skip
def test_a_cue_is_known(said: str, name: str, about: str) -> None:
    cue = find_cue(said)
    assert cue is not None
    assert (cue.name, cue.about) == (name, about)


@pytest.mark.parametrize(
    "said",
    [
        "Where the drum bolts sit it's scored.", "The photo shows the crack.", "Drum bolts are in bag twelve.", "This is cracked.",
        "It's leaking now.", "What's left of the seal is in the sump.", "Close the gap to 0.3 mm.", "Springs stop listening when worn.",
        "Don't stop listening for the knock.", "", "...", "Ask the owner about the seal.", "Ask what he wants done with the drum.",
    ],
)  # fmt: skip
def test_a_remark_is_no_cue(said: str) -> None:
    assert find_cue(said) is None


def test_phrases_of_the_shop_stand_in_the_place_of_ours() -> None:
    shop = {"sleep": ("ears off",)}
    assert find_cue("Ears off.", shop) == Cue(name="sleep")
    assert find_cue("Stop listening.", shop) is None
    assert spoken_phrases(shop).startswith("Ears off.")


def test_words_to_the_bench_are_no_part_of_the_record_and_cues_inside_it_are() -> None:
    assert not Cue(name="where").is_remark
    assert not Cue(name="close").is_remark
    assert Cue(name="photo").is_remark
    assert Cue(name="scratch").is_remark
