"""Keys by thread and form of screw."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.tables.keys import all_keys, forms_of, key_of, keys_of, read_key, threads_of_key


@pytest.mark.parametrize(
    ("thread", "form", "size"),
    [
        ("M6", "cap screw", "5 mm"),
        ("M6", "socket head cap screw", "5 mm"),
        ("M6x0.75", "cap screw", "5 mm"),
        ("M6", "low head cap screw", "4 mm"),
        ("M6", "countersunk socket screw", "4 mm"),
        ("M6", "button head socket screw", "4 mm"),
        ("M6", "grub screw", "3 mm"),
        ("M6", "set screw", "3 mm"),
        ("1/4-20 UNC", "socket head cap screw", "3/16 in"),
        ("#10-32 UNF", "button head screw", "1/8 in"),
    ],
)
def test_the_key_of_a_thread_and_form(thread: str, form: str, size: str) -> None:
    key = key_of(thread, form)
    assert key is not None
    assert key.size == size


@pytest.mark.parametrize(
    ("thread", "form"),
    [("3/8 BSF", "cap screw"), ("M6", "hexagon bolt"), ("M6", ""), ("M13", "cap screw"), ("M6", "nut")],
)
def test_where_there_is_no_table_there_is_no_key(thread: str, form: str) -> None:
    assert key_of(thread, form) is None


def test_a_form_that_leaves_several_gives_them_all_and_no_single_one() -> None:
    assert {k.size for k in keys_of("M6", "socket screw")} == {"5 mm", "4 mm"}
    assert {k.size for k in keys_of("M6")} == {"5 mm", "4 mm", "3 mm"}
    assert key_of("M6", "socket screw") is None


def test_a_key_gives_the_screws_it_fits() -> None:
    found = {(k.thread, k.form) for k in threads_of_key(Decimal(5))}
    assert {("M6", "cap screw"), ("M8", "countersunk socket screw"), ("M10", "grub screw")} <= found
    assert threads_of_key(Decimal("5.3")) == ()


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("4 mm hex key", ("4 mm", "4")),
        ("2.5 mm key", ("2.5 mm", "2.5")),
        ("3/16 in hex key", ("3/16 in", "4.7625")),
        ("5/32 hex bit", ("5/32 in", "3.96875")),
    ],
)
def test_sizes_of_keys_are_read(words: str, key: tuple[str, str]) -> None:
    assert read_key(words) == (key[0], Decimal(key[1]))


@pytest.mark.parametrize(
    "words", ["", "17 mm spanner", "T30 star key", "hex key", "chuck key", "1/2 drive hex bit", "1/0 key"]
)
def test_what_is_no_size_of_a_key_gives_none(words: str) -> None:
    assert read_key(words) is None


def test_every_row_is_reached_by_its_own_thread_and_form() -> None:
    for key in all_keys():
        thread = f"{key.thread} UNC" if not key.thread.startswith("M") else key.thread
        if key.thread == "#0":
            thread = "#0-80 UNF"
        assert key in keys_of(thread, key.form), key


@given(st.text(max_size=20))
def test_no_words_break_the_reading(words: str) -> None:
    assert read_key(words) is None or read_key(words)
    assert isinstance(forms_of(words), tuple)
    assert isinstance(keys_of(words, words), tuple)
