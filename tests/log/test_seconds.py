"""A place in the tidied text leads back to the word that was heard and to its second."""

from __future__ import annotations

import pytest

from notebook.log.seconds import place_in_text, second_of
from notebook.nouns import Remark, Word

TEXT = "the plate is seven point two mil and worn"
TIDIED = "the plate is 7.2 mm and worn"
SECONDS = {
    "the": 0.0,
    "plate": 0.3,
    "is": 0.7,
    "seven": 0.9,
    "point": 1.2,
    "two": 1.5,
    "mil": 1.8,
    "and": 2.2,
    "worn": 2.5,
}
REMARK = Remark(
    id="r", sitting_id="s", order=1, at=None, seconds=3, heard=TEXT, text=TEXT, tidied=TIDIED, changes=(((13, 19), (13, 32), "amount"),),
    words=tuple(Word(text=f" {w}", start_s=s, end_s=s + 0.2, probability=1) for w, s in SECONDS.items()),
)  # fmt: skip


@pytest.mark.parametrize(
    ("tidied", "heard"), [("plate", "plate"), ("7.2", "seven"), ("mm", "seven"), ("and", "and"), ("worn", "worn")]
)
def test_a_tidied_word_leads_to_the_heard_one_and_its_second(tidied: str, heard: str) -> None:
    at = TIDIED.index(tidied)
    assert TEXT[place_in_text(REMARK, at) :].startswith(heard)
    assert second_of(REMARK, at) == SECONDS[heard]


@pytest.mark.parametrize("at", [0, len(TIDIED), len(TIDIED) + 50])
def test_no_place_falls_outside_the_text(at: int) -> None:
    assert 0 <= place_in_text(REMARK, at) <= len(TEXT)
    assert second_of(REMARK, at) in SECONDS.values()


def test_without_words_there_is_no_second() -> None:
    assert second_of(Remark(id="r", sitting_id="s", order=1, at=None, seconds=None, heard="x", text="x"), 0) is None
