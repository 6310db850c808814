"""The usual cautions: what a part or an operation can do to the person who works on it.

In: names of parts and tools, and the words said. Out: the cautions for them, each once, the gravest first.
Never advises how to do the work: the maker's manual, local rules and licensed practice come first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from notebook.tables.rows import Confidence, confidence_of, read_rows, words_of

DEFER = "The maker's manual, local rules and licensed practice come first."
_GRAVE = ("high", "medium", "low")


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualCaution:
    """One caution of the table."""

    keywords: tuple[str, ...]
    operation: str
    text: str
    level: str
    """`high`, `medium` or `low`: how badly it can hurt."""
    confidence: Confidence
    source: str


@cache
def all_cautions() -> tuple[UsualCaution, ...]:
    """Give the whole table, in its order."""
    return tuple(
        UsualCaution(
            keywords=tuple(k.lower() for k in words_of(row["keywords"])), operation=row["operation"], text=row["caution"], level=row["level"],
            confidence=confidence_of(row), source=row["source"],
        )
        for row in read_rows("cautions")
    )  # fmt: skip


def cautions_for(names: Iterable[str]) -> tuple[UsualCaution, ...]:
    """Give the cautions for parts, tools and operations, the gravest first.

    "brake band" is a brake; "winch return spring" is no coil spring unless it is called one; "gas strut" is a strut and
    more. A name is matched by its last words, a keyword of one word by any word of the name.
    """
    said = tuple(dict.fromkeys(re.sub(r"[^a-z0-9 ]", " ", name.lower()) for name in names if name))
    found = [c for c in all_cautions() if any(_matches(k, name) for k in c.keywords for name in said)]
    return tuple(sorted(found, key=lambda c: _GRAVE.index(c.level) if c.level in _GRAVE else len(_GRAVE)))


def _matches(keyword: str, name: str) -> bool:
    if " " in keyword:
        return f" {name}".endswith((f" {keyword}", f" {keyword}s"))
    words = name.split()
    return keyword in words or f"{keyword}s" in words
