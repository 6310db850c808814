"""Which words the ear is told to expect for the next remark of a job.

In: the kind of machine, the parts named so far, the shop's own words. Out: words, most important first.
Names parts, places and sizes, never faults: a fault must not be heard because it was expected.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from notebook.reading.word_files import read_rows, read_toml

NEIGHBOURS = 16


@cache
def _machine_parts() -> dict[str, Any]:
    return read_toml("machine_parts.toml")


@cache
def _belonging() -> dict[str, tuple[str, ...]]:
    """Give for each component what the vocabulary says belongs to it."""
    out: dict[str, list[str]] = {}
    for row in read_rows("components.csv"):
        if row["part_of"]:
            out.setdefault(row["part_of"].lower(), []).append(row["name"])
    return {name: tuple(parts) for name, parts in out.items()}


def usual_neighbours(named: Sequence[str], following: Mapping[str, Mapping[str, int]]) -> list[str]:
    """Give the parts that earlier jobs spoke of after those named last, the commonest first, then any they named."""
    counts: dict[str, int] = {}
    for part in list(dict.fromkeys(reversed(named)))[:3]:
        for other, count in following.get(part.lower(), {}).items():
            counts[other] = counts.get(other, 0) + 10 * count
    for others in following.values():
        for other, count in others.items():
            counts[other] = counts.get(other, 0) + count
    return sorted(counts, key=lambda part: (-counts[part], part))[:NEIGHBOURS]


def words_for_ear(
    machine: str, named: Sequence[str], shop_words: Sequence[str] = (), neighbours: Sequence[str] = ()
) -> list[str]:
    """Give words to expect, most important first; `named` are the parts spoken of so far, latest last."""
    lists = _machine_parts()
    words: list[str] = [*list(dict.fromkeys(reversed(named)))[:12], *neighbours]
    words.extend(shop_words[:20])
    low = machine.lower()
    for row in lists["machine"]:
        if any(word in low for word in row["words"]):
            words.extend(row["parts"])
    words.extend(lists["general"]["talk"])
    for part in list(dict.fromkeys(reversed(named)))[:4]:
        words.extend(_belonging().get(part.lower(), ())[:4])
    words.extend(lists["general"]["parts"])
    return list(dict.fromkeys(words))
