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
_NO_WORD = re.compile(r"[^a-z0-9'-]+")
_GRAVE = ("high", "medium", "low")


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualCaution:
    """One caution of the table."""

    keywords: tuple[str, ...]
    operation: str
    said: tuple[str, ...]
    """How the operation is spoken of at the bench: "pressed out", "bit of heat"."""
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
            keywords=tuple(k.lower() for k in words_of(row["keywords"])), operation=row["operation"],
            said=words_of(row["said"]), text=row["caution"], level=row["level"], confidence=confidence_of(row), source=row["source"],
        )
        for row in read_rows("cautions")
    )  # fmt: skip


def cautions_for(names: Iterable[str], texts: Iterable[str] = ()) -> tuple[UsualCaution, ...]:
    """Give the cautions for parts, tools and operations, the gravest first, each once.

    "brake band" is a brake; "winch return spring" is no coil spring unless it is called one; "gas strut" is a strut and
    more. A name is matched by its last words, a keyword of one word by any word of the name; an operation by how it is
    spoken of in a remark ("pressed the bush out" is pressing).
    """
    said = tuple(dict.fromkeys(re.sub(r"[^a-z0-9 ]", " ", name.lower()) for name in names if name))
    talk = [" " + _NO_WORD.sub(" ", text.lower()) + " " for text in texts]
    found = [
        c
        for c in all_cautions()
        if any(_matches(k, name) for k in c.keywords for name in said)
        or any(_is_spoken(phrase, t) for phrase in c.said for t in talk)
    ]
    return tuple(sorted(found, key=lambda c: _GRAVE.index(c.level) if c.level in _GRAVE else len(_GRAVE)))


def _is_spoken(phrase: str, talk: str) -> bool:
    """Tell whether the words are spoken, with up to three words for what it is done to: "pressed (the old bush) out"."""
    verb, _, rest = phrase.partition(" it ")
    if rest:
        return re.search(rf" {re.escape(verb)} (?:[a-z0-9'-]+ ){{1,4}}{re.escape(rest)} ", talk) is not None
    return f" {phrase} " in talk


def _matches(keyword: str, name: str) -> bool:
    if " " in keyword:
        return f" {name}".endswith((f" {keyword}", f" {keyword}s"))
    words = name.split()
    return keyword in words or f"{keyword}s" in words
