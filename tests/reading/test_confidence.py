"""Confidence is counted, not felt: the share of a rule's entries that were right on remarks not seen before."""

from __future__ import annotations

from notebook.entries import Finding, Tip
from notebook.reading.confidence import Tally, confidence_of, name_of_rule, rates_from
from notebook.reading.reader import Reader
from notebook.reading.word_files import read_rows

TALLIES = {
    ("finding", "finding.noun"): Tally(read=90, right=81),
    ("finding", "finding.cleft"): Tally(read=1, right=0),
    ("tip", "tip"): Tally(read=20, right=2),
}


def test_a_rule_that_fired_often_has_its_own_rate() -> None:
    """81 of 90 right, drawn a little toward all kinds by the ten that are lent."""
    rates = rates_from(TALLIES)
    assert 0.87 < rates["finding", "finding.noun"] < 0.91
    assert rates["tip", "tip"] < 0.4


def test_a_rule_that_fired_once_is_judged_by_its_kind() -> None:
    rates = rates_from(TALLIES)
    assert rates["finding", "finding.cleft"] > 0.75


def test_what_was_never_counted_takes_the_rate_of_its_kind_or_of_all() -> None:
    rates = rates_from(TALLIES)
    assert confidence_of(Finding(condition="worn", rule="finding.new"), rates) == round(rates["finding", ""], 2)
    assert confidence_of(Tip(topic=None, text="", rule="x"), {("", ""): 0.25}) == 0.25


def test_a_part_carried_over_is_counted_apart() -> None:
    named = Finding(condition="worn", rule="finding.noun")
    assert name_of_rule(named.with_changes(from_="3")) != name_of_rule(named)


def test_every_entry_that_is_read_has_a_confidence_below_one() -> None:
    entries = Reader().read("Two of the six shoes are cracked. Backlash 0.45 mil. The lot goes in bag 4.").entries
    assert entries
    assert all(0.0 < e.confidence < 1.0 for e in entries)


def test_the_counts_hold_no_more_right_than_read() -> None:
    rows = list(read_rows("confidence.csv"))
    assert rows
    assert all(0 <= int(r["right"]) <= int(r["read"]) for r in rows)
