"""What a component is a part of, and whether lives can hang on it.

In: a component as an entry holds it. Out: the whole that the vocabulary names, or yes and no.
Imports nothing heavy.
"""

from __future__ import annotations

from functools import cache

from notebook.reading.lexicon import standard_lexicon
from notebook.reading.names import table_name
from notebook.reading.nouns_said import singular
from notebook.reading.word_files import read_rows


@cache
def _wholes() -> dict[str, str]:
    return {row["name"].lower(): row["part_of"].lower() for row in read_rows("components.csv") if row["part_of"]}


def whole_of(component: str) -> str | None:
    """Give the component that this one is a part of ("cylinder bore": cylinder); None where no list says."""
    return _wholes().get((table_name(component) or component).lower())


def is_safety_critical(component: str) -> bool:
    """Tell whether the vocabulary holds that lives can hang on a component (brakes, steering, lifting, pressure).

    A plain word that is also a by-name of something grave ("cover" of a tyre) is not taken for it.
    """
    said = component.lower()
    listed = table_name(said) or said
    is_alike = listed.lower() == said or {singular(w) for w in said.split()} & set(listed.lower().split())
    return bool(is_alike) and listed in standard_lexicon().safety_critical
