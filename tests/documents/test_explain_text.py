"""A remark explained: what was put right, what decided each entry, and what was passed over."""

from __future__ import annotations

from notebook.documents.explain_text import explain_remark
from notebook.reading.reader import Reader


def explained(text: str) -> str:
    reading = Reader().read(text, line="1")
    return "\n".join(explain_remark(1, reading.text, reading.tidied, reading.changes, reading.entries, reading.asides))


def test_the_cue_says_why_it_is_absent_possible_or_present() -> None:
    shown = explained("No scoring on the drum. The hub might be cracked. The seal is torn.")
    assert 'absent, by "No"' in shown or 'absent, by "no"' in shown
    assert 'possible, by "might be"' in shown
    assert 'present, by "torn"' in shown


def test_what_was_heard_stands_beside_what_it_was_taken_for() -> None:
    shown = explained("The fraction plate is seven point two mil.")
    assert '"fraction" taken for "friction": sounds like "friction plate"' in shown
    assert '"seven point two mil" is 7.2 mm' in shown
    assert shown.startswith("1: The fraction plate is seven point two mil.")


def test_what_is_usual_or_of_another_job_is_passed_over_with_its_cue() -> None:
    assert '"they often crack here": what is usual, not this one, by "often"' in explained("they often crack here")
    shown = explained("The last one I did had a cracked hub.")
    assert shown.count("passed over") == 1
    assert "another job" in shown
    assert "nothing      written down" in shown


def test_a_carried_part_says_from_where() -> None:
    reader = Reader()
    reader.read("The return spring is broken.", line="7")
    reading = reader.read("This one's worn too.", line="8")
    shown = "\n".join(explain_remark(8, reading.text, reading.tidied, reading.changes, reading.entries))
    assert "the part carried over from 7" in shown


def test_every_entry_has_its_words_its_reason_and_its_rule() -> None:
    text = "Six M8 bolts hold the cover, one was seized. Torque is 25 newton metres. Bag 4. Photo. Bin the gasket."
    reading = Reader().read(text, line="1")
    lines = explained(text).splitlines()
    assert reading.entries
    assert sum(line.strip().startswith("words ") for line in lines) == len(reading.entries)
    assert sum("(rule " in line and ", sure 0." in line for line in lines) == len(reading.entries)
