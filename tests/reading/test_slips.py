"""Slips of the ear: put right where neighbours prove them, and ordinary English left alone."""

from __future__ import annotations

import pytest

from notebook.reading.slips import mend_slips
from notebook.reading.words import split_words


def mended(text: str, *named: str) -> str:
    tokens, _ = mend_slips(split_words(text), named=frozenset(named))
    return " ".join(t.low for t in tokens)


@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("the fraction plate is glazed", "friction plate"),
        ("screws are in vag 7", "bag 7"),
        ("that seal once replacing", "wants replacing"),
        ("8 and 6 countersunk screws", "8 m 6 countersunk"),
        ("some plug is weeping at the drain", "sump plug"),
        ("the rocket shaft is worn", "rocker shaft"),
        ("the folk seal is weeping", "fork seal"),
        ("front break pads are done", "brake pads"),
        ("the trust washer was stuck to it", "thrust washer"),
        ("sheer pin has gone", "shear pin"),
        ("big and bearing has eight thou", "big end bearing"),
        ("won of the springs is busted", "one of the springs"),
        ("backlash is only for thou", "four thou"),
        ("half inch wit worth grub screws", "half inch whitworth"),
        ("pulling 11 ants on the red", "11 amps"),
        ("the bearing's gone lose", "gone loose"),
        ("number two rod general's scored", "rod journal"),
        ("the other to are chipped", "other two are"),
        ("gudgin pin is blue", "gudgeon pin"),
        ("dropped about 120 neutron metres", "newton metres"),
    ],
)
def test_a_slip_is_put_right(heard: str, meant: str) -> None:
    assert meant in mended(heard)


@pytest.mark.parametrize(
    "text",
    [
        "in general that will do",
        "a fraction of a turn is enough",
        "some folk say it is the weather",
        "I put some on the bench and have a look",
        "he asked for one and two came",
        "give it a rest and have some tea",
        "they choose what they like",
        "it was a warm day and the rain had stopped",
        "we had a break at ten and then went on",
        "I would not trust that ladder",
        "the year has gone and so have the leaves",
        "one of them said he would be back",
        "there is no general rule for it",
        "my phone is out of charge",
        "put the kettle on, it is once round the block and home",
        "in the end it was for the best",
        "he had to wait for an hour",
        "that was a close one and no mistake",
        "she has the heart of a lion",
        "the plumber is late again",
        "two and two make four",
        "they were sheer luck and nothing else",
        "it is too far to walk",
        "we ate at six",
    ],
)
def test_ordinary_english_comes_through_untouched(text: str) -> None:
    assert mended(text) == " ".join(t.low for t in split_words(text))


def test_what_was_heard_is_kept() -> None:
    text = "The fraction plate is glazed"
    _, repairs = mend_slips(split_words(text))
    assert [(text[r.source[0] : r.source[1]], r.meant) for r in repairs] == [("fraction", "friction")]
    assert "sounds like" in repairs[0].why


def test_a_part_named_before_is_heard_again() -> None:
    """A word a little further off is taken for a part that the job has named already."""
    assert "diaphragm" not in mended("that diagram")
    assert "piston" in mended("and the Preston is scored", "piston")
