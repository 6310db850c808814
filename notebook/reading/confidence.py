"""How far an entry can be relied on before anybody has looked at it.

In: an entry as its rule made it. Out: the share of that rule's entries that were right on remarks not seen while the
rules were written (`data/confidence.csv`, made by `tests/measuring_confidence.py`). Never looks at the words.

A rule that fired seldom is drawn toward its kind, and a kind toward all kinds: so many entries are lent to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from notebook.entries import Entry
from notebook.reading.word_files import read_rows

LENT = 10
"""Entries that the kind lends to a rule, and all kinds to a kind: one that fired ten times counts half by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How many entries were read, and how many of them were right."""

    read: int = 0
    right: int = 0


def name_of_rule(entry: Entry) -> str:
    """Name what is counted together: the rule, and apart from it the same with a part carried over or with a doubt."""
    name = entry.rule or entry.kind
    return f"{name}, carried over" if entry.from_ is not None else f"{name}, in doubt" if entry.doubt else name


def rates_from(tallies: Mapping[tuple[str, str], Tally]) -> dict[tuple[str, str], float]:
    """Give the rate of each (kind, rule) and, under (kind, ""), of each kind, drawn together as said above."""
    whole = _sum(tallies.values())
    rates = {("", ""): whole.right / whole.read if whole.read else 0.5}
    for kind in sorted({kind for kind, _ in tallies}):
        own = _sum(t for (k, _), t in tallies.items() if k == kind)
        rates[kind, ""] = _drawn(own, rates["", ""])
        for (k, rule), tally in tallies.items():
            if k == kind:
                rates[kind, rule] = _drawn(tally, rates[kind, ""])
    return rates


def _sum(tallies: Iterable[Tally]) -> Tally:
    listed = list(tallies)
    return Tally(read=sum(t.read for t in listed), right=sum(t.right for t in listed))


def _drawn(tally: Tally, toward: float) -> float:
    return (tally.right + LENT * toward) / (tally.read + LENT)


@cache
def _rates() -> dict[tuple[str, str], float]:
    rows = read_rows("confidence.csv")
    return rates_from({(r["kind"], r["rule"]): Tally(read=int(r["read"]), right=int(r["right"])) for r in rows})


def confidence_of(entry: Entry, rates: Mapping[tuple[str, str], float] | None = None) -> float:
    """Give the confidence of an entry by its rule, 0 to 1, in hundredths."""
    rates = rates if rates is not None else _rates()
    for key in ((entry.kind, name_of_rule(entry)), (entry.kind, ""), ("", "")):
        if key in rates:
            return round(rates[key], 2)
    return 0.5
