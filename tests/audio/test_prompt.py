"""The prompt fits the model's room, the most important words last, each once."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.audio.ear import PROMPT_TOKENS
from notebook.audio.prompt import EXAMPLES, ROOM_TOKENS, SAID_BEFORE_TOKENS, estimate_tokens, make_prompt

from .sounds import need_ear

THOUSAND = [f"part{n} pin" for n in range(1000)]


def test_a_thousand_words_fit_the_room_the_most_important_last() -> None:
    prompt = make_prompt("skidding winch", THOUSAND, ["Pinion's out."])
    assert estimate_tokens(prompt) <= ROOM_TOKENS
    assert estimate_tokens(prompt) > ROOM_TOKENS - 10
    named = [int(n) for n in re.findall(r"part(\d+)", prompt)]
    assert named == list(range(len(named) - 1, -1, -1))
    assert len(named) > 30
    assert prompt.endswith("part0 pin.")


@pytest.mark.speech
def test_a_thousand_words_fit_the_room_as_the_model_counts() -> None:
    ear = need_ear()
    prompt = make_prompt("skidding winch", THOUSAND, ["Pinion's out."], ear.count_tokens)
    assert ROOM_TOKENS - 10 < ear.count_tokens(prompt) <= ROOM_TOKENS == PROMPT_TOKENS


@pytest.mark.speech
@pytest.mark.parametrize(
    "text", ["Brake band's off, 7.2 mm.", "M8 by 1.25, 7/16 UNF", "antidisestablishmentarianism", "Ünï ⚙"]
)
def test_the_estimate_without_a_model_is_rather_too_many(text: str) -> None:
    assert estimate_tokens(text) >= need_ear().count_tokens(text)


def test_the_order_is_examples_said_before_machine_words() -> None:
    prompt = make_prompt("skidding winch", ["pinion", "pawl"], ["Guard's off.", "Drum's out."])
    assert prompt == f"{EXAMPLES} Guard's off. Drum's out. skidding winch. pawl, pinion."


def test_no_word_is_there_twice() -> None:
    prompt = make_prompt("winch", ["Pinion", "pinion", " pinion ", "return  spring", "Return Spring", ""], [])
    assert prompt == f"{EXAMPLES} winch. return spring, Pinion."


def test_only_the_last_two_remarks_are_repeated_and_only_if_short() -> None:
    assert "first" not in make_prompt("winch", [], ["the first", "the second", "the third"])
    long = "word " * SAID_BEFORE_TOKENS
    assert make_prompt("winch", [], [long, "the last"]) == f"{EXAMPLES} the last. winch."
    assert make_prompt("winch", [], ["the one before", long]) == f"{EXAMPLES} winch."


def test_a_word_too_long_for_the_room_is_passed_over() -> None:
    prompt = make_prompt("winch", ["pawl", "x" * 5000, "pinion"], [])
    assert prompt == f"{EXAMPLES} winch. pinion, pawl."


def test_a_machine_too_long_for_the_room_is_left_out_and_the_words_stay() -> None:
    assert make_prompt("winch " * 500, ["pinion"], []) == f"{EXAMPLES} pinion."


def test_nothing_known_leaves_the_examples() -> None:
    assert make_prompt("", [], []) == EXAMPLES
    assert make_prompt(" ", ["", " "], ["", " "]) == EXAMPLES


def test_lines_and_tabs_become_one_line() -> None:
    assert "\n" not in make_prompt("a\nwinch", ["return\tspring"], ["Guard's\noff."])


@given(st.text(), st.lists(st.text(max_size=40), max_size=60), st.lists(st.text(max_size=200), max_size=4))
def test_no_text_raises_or_overfills(machine: str, words: list[str], said: list[str]) -> None:
    prompt = make_prompt(machine, words, said)
    assert estimate_tokens(prompt) <= ROOM_TOKENS
    assert prompt.startswith(EXAMPLES)


def test_bytes_that_are_no_text_are_left_out() -> None:
    prompt = make_prompt("winch\udcff", ["pin\ud800ion"], ["off\udc80"])
    assert prompt.encode("utf-8").decode("utf-8") == f"{EXAMPLES} off. winch. pinion."
