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
        whole = next((n for n in nouns if n.endswith("ing") and " " not in n), nouns[0] if nouns else None)
        if whole is not None:
            out[row["term"]] = whole
    return out


def absence_words(condition: str) -> str:
    """Say that a condition is not there: "no scoring", "no play"; "not burnt" where no noun is known."""
    noun = _nouns().get(condition) or (condition if condition in ("play", "backlash", "slack", "end float") else None)
    return f"no {noun}" if noun else f"not {condition}"
