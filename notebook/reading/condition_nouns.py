"""Says a condition that is not there as a person says it: "no scoring", "no play".

In: the term of a condition. Out: words. Imports nothing heavy.
"""

from __future__ import annotations

from functools import cache

from notebook.reading.word_files import read_rows


@cache
def _nouns() -> dict[str, str]:
    out = {}
    for row in read_rows("condition_forms.csv"):
        nouns = [n.strip() for n in row["nouns"].split(";") if n.strip()]
        term = row["term"]
        own = [n for n in nouns if n == term or (n.endswith("ing") and n[:4] == term[:4])]
        if nouns:
            out[term] = (own or nouns)[0]
    return out


def absence_words(condition: str) -> str:
    """Say that a condition is not there: "no scoring", "no play"; "not burnt" where no noun is known."""
    noun = _nouns().get(condition) or (condition if condition in ("play", "backlash", "slack", "end float") else None)
    return f"no {noun}" if noun else f"not {condition}"
