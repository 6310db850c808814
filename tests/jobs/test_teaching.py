"""A mend offers to teach the vocabulary; teaching keeps the notes and the order of the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from notebook.errors import NotebookError
from notebook.jobs.teaching import offer_teaching, teach_word
from notebook.shop import open_shop


def test_a_misheard_part_is_offered_and_other_words_are_not() -> None:
    assert offer_teaching("the paul is chipped", "the pawl is chipped") == ("pawl", "paul")
    assert offer_teaching("the pawl is ship", "the pawl is shut") is None
    assert offer_teaching("bag 4 pawl", "bag 5 pawl") is None


def test_what_is_taught_is_known_afterwards_and_notes_stay(tmp_path: Path) -> None:
    shop = open_shop(tmp_path / "shop")
    taught = teach_word(teach_word(shop, "Pawl", "paul"), "pawl", "pall")
    assert dict(taught.words.components)["pawl"] == ("paul", "pall")
    text = (shop.folder / "vocabulary.toml").read_text("utf-8")
    assert text.startswith("# Words of this shop")
    assert text.count("[components]") == 1 + text.count("# [components]")


@pytest.mark.parametrize(("name", "other"), [("", "x"), ("pawl", "pawl"), ("a" * 80, "b")])
def test_what_is_no_word_is_refused(tmp_path: Path, name: str, other: str) -> None:
    with pytest.raises(NotebookError):
        teach_word(open_shop(tmp_path / "shop"), name, other)
