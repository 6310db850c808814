"""Choosing among hypotheses: words of the trade win, a negation, a number or a count is never settled by them."""

from __future__ import annotations

import pytest

from notebook.jobs.choosing import choose, exact_words
from notebook.reading.matching import standard_matcher

MATCHER = standard_matcher()


def test_a_hypothesis_with_words_of_the_trade_is_chosen_over_one_without() -> None:
    choice = choose(["the paw spring is off", "the pawl spring is off"], [-0.30, -0.33], MATCHER)
    assert choice.which == 1
    assert choice.unsettled == ()


def test_a_fault_is_not_chosen_because_it_is_in_a_list() -> None:
    assert choose(["the drum is called", "the drum is scored"], [-0.30, -0.38], MATCHER).which == 0


def test_one_that_the_ear_finds_far_less_likely_is_not_chosen() -> None:
    assert choose(["the paw spring is off", "the pawl spring is off"], [-0.2, -1.4], MATCHER).which == 0


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("the drum is scored", "the drum is not scored"),
        ("no scoring on the drum", "new scoring on the drum"),
        ("end float is fifteen thou", "end float is fifty thou"),
        ("two of the six shoes are cracked", "two of the sixteen shoes are cracked"),
        ("both springs are broken", "all springs are broken"),
    ],
)
def test_where_an_exact_word_differs_the_likelier_stands_and_the_other_is_told(first: str, second: str) -> None:
    choice = choose([first, second], [-0.30, -0.31], MATCHER)
    assert choice.which == 0
    ((start, end, what),) = choice.unsettled
    assert 0 <= start < end <= len(first)
    assert "may have been" in what


def test_a_number_in_words_and_in_figures_is_the_same() -> None:
    assert exact_words("two of the six shoes") == exact_words("2 of the 6 shoes.")
    assert exact_words("four springs, one snapped") == exact_words("4 springs, 1 snapped")
    assert exact_words("one snapped") != exact_words("none snapped")
    assert (
        choose(
            ["2. of the six shoes are cracked", "two of the six shoes are cracked"], [-0.3, -0.31], MATCHER
        ).unsettled
        == ()
    )
