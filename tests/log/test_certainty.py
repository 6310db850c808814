"""An entry is as sure as its rule and the words it rests on."""

from __future__ import annotations

import pytest

from notebook.entries import Finding
from notebook.log.seconds import weigh_words
from notebook.nouns import Word


def words(*said: tuple[str, float]) -> list[Word]:
    return [Word(text=f" {text}", start_s=float(n), end_s=n + 0.5, probability=p) for n, (text, p) in enumerate(said)]


HEARD = words(("The", 0.9), ("fraction", 0.4), ("plate", 0.8), ("is", 1.0), ("glazed,", 0.6), ("fine", 0.1))


def test_the_mean_probability_of_its_words_lowers_an_entry() -> None:
    entry = Finding(component="friction plate", condition="glazed", span=(0, 28), confidence=0.5)
    change = ((4, 12), (4, 12), "slip of the ear")
    (weighed,) = weigh_words([entry], "The fraction plate is glazed, fine", [change], HEARD)
    assert weighed.confidence == pytest.approx(0.5 * (0.9 + 0.4 + 0.8 + 1.0 + 0.6) / 5, abs=0.005)


def test_only_the_words_it_rests_on_count() -> None:
    entry = Finding(component="friction plate", condition="sound", span=(30, 34), confidence=1.0)
    (weighed,) = weigh_words([entry], "The fraction plate is glazed, fine", [], HEARD)
    assert weighed.confidence == 0.1


def test_a_span_behind_a_shorter_repair_still_leads_to_its_words() -> None:
    """ "eight and six" put right to "8 M6" is shorter than what was heard."""
    text = "eight and six screws loose"
    heard = words(("eight", 0.2), ("and", 0.2), ("six", 0.2), ("screws", 0.8), ("loose", 0.6))
    change = ((0, 4), (0, 13), "thread")
    entry = Finding(component="screw", condition="loose", span=(5, 17), confidence=1.0)
    (weighed,) = weigh_words([entry], text, [change], heard)
    assert weighed.confidence == pytest.approx(0.7)


def test_typed_words_take_nothing_away() -> None:
    entry = Finding(component="hub", condition="worn", span=(0, 12), confidence=0.8)
    assert weigh_words([entry], "The hub is worn", [], []) == [entry]
