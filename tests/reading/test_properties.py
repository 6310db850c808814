"""What must hold for any text whatever: the reader never raises, its spans are right, it reads alike every time."""

from __future__ import annotations

import json

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from notebook.reading.reader import Reader, read_job
from notebook.reading.word_files import read_rows

WORDS = (
    "the a two of six shoes are cracked no scoring on drum it's its not might be seven point two mil thou three eighths BSF 8M6 screws "
    "bag 12 photo limit wants replacing left right other rest one both all number two didn't never if last one I had mind you don't "
    "41,200 miles newton metres pulled off back in out under scratch that correction hardly any worn , . ; - ' / ? ( \" … é 🔧 \u202e \x1b[31m \x00"
).split(" ")
TALK = st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join)
ANY_TEXT = st.text(max_size=200)


def check(text: str) -> None:
    reading = Reader().read(text, line="1")
    assert reading.text == text
    for entry in reading.entries:
        start, end = entry.span
        assert 0 <= start < end <= len(reading.tidied), entry
        assert 0.0 <= entry.confidence <= 1.0
        json.dumps(entry.to_json())
    for (tidied_from, tidied_to), (from_, to), why in reading.changes:
        assert 0 <= tidied_from <= tidied_to <= len(reading.tidied)
        assert 0 <= from_ <= to <= len(text)
        assert why


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(TALK)
@example("")
@example(" \t ")
@example("two of the")
@example("it's not that's it's not that's")
def test_trade_words_in_any_order_never_raise(text: str) -> None:
    check(text)


@settings(max_examples=300, deadline=None)
@given(ANY_TEXT)
def test_any_characters_never_raise(text: str) -> None:
    check(text)


@pytest.mark.parametrize(
    "piece",
    [
        "two of the six shoes are cracked ", "no ", "1/2 ", "((((", "it's ", "M6 ", ", ", "\n", "ab'", "9999999999",
        "and ", "oh ", "one hundred ", "six, no, ", "1,000,", "worn ", "5 to ",
    ],
)  # fmt: skip
def test_ten_thousand_characters_never_raise(piece: str) -> None:
    check((piece * 10_000)[:10_000])


@settings(max_examples=60, deadline=None)
@given(st.lists(TALK, min_size=2, max_size=6))
def test_a_job_reads_alike_every_time(remarks: list[str]) -> None:
    first = [[e.to_json() for e in r.entries] for r in read_job(remarks)]
    again = [[e.to_json() for e in r.entries] for r in read_job(remarks)]
    assert first == again


@settings(max_examples=100, deadline=None)
@given(TALK)
def test_what_is_not_changed_stands_as_it_was_heard(text: str) -> None:
    """Outside the stretches that the changes name, tidied text is the text heard, but for its white space."""
    reading = Reader().read(text)
    rest, heard = list(reading.tidied), list(text)
    for (tidied_from, tidied_to), (from_, to), _ in reading.changes:
        rest[tidied_from:tidied_to] = [""] * (tidied_to - tidied_from)
        heard[from_:to] = [""] * (to - from_)
    assert "".join("".join(rest).split()) == "".join("".join(heard).split())


def test_every_name_of_the_vocabulary_is_found_again() -> None:
    """A component said to be cracked is read with its own name, or with a synonym's."""
    lost = []
    for row in read_rows("components.csv"):
        name = row["name"].lower()
        found = [e.to_json() for e in Reader().read(f"The {name} is cracked.").entries]
        if not any(e["kind"] == "finding" and e["condition"] == "cracked" and e.get("component") for e in found):
            lost.append(name)
    assert len(lost) <= 12, lost
