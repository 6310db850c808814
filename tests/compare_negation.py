"""Lay present, absent and possible beside what the general library negspaCy says on the same sentences.

    python -m tests.compare_negation

In: sentences with the words of a fault, and whether it is there; made for this, in no truth set, by the way it is
denied. Out: a table by group, and under it each sentence where one fails. negspaCy (the NegEx algorithm, Chapman et al.
2001) is told which words are the fault; we must find them. It tells denied from not denied only, so "possible" counts
as not denied for both. A fault that we do not find at all counts as not denied.
"""

from __future__ import annotations

import json
import sys
import warnings
from pathlib import Path
from typing import Any

import spacy

from notebook.reading.reader import Reader

SENTENCES = Path(__file__).parent / "truth" / "negations.jsonl"


def denies(text: str, condition: str) -> bool:
    """Tell whether our reader writes the fault down as absent."""
    entries = [e.to_json() for e in Reader().read(text).entries]
    return any(e["kind"] == "finding" and e["condition"] == condition and e["presence"] == "absent" for e in entries)


def negspacy_pipeline() -> Any:
    """Give a blank English pipeline with negspaCy's own terms."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import negspacy.negation  # noqa: F401
        from negspacy.termsets import termset
    language = spacy.blank("en")
    language.add_pipe("sentencizer")
    language.add_pipe("entity_ruler")
    terms = termset("en").get_patterns()  # type: ignore[no-untyped-call]
    language.add_pipe("negex", config={"neg_termset": terms, "ent_types": ["FAULT"]})
    return language


def theirs(language: Any, text: str, words: str) -> bool:
    """Tell whether negspaCy takes the words for denied."""
    ruler = language.get_pipe("entity_ruler")
    ruler.clear()
    ruler.add_patterns([{"label": "FAULT", "pattern": words}])
    return any(e._.negex for e in language(text).ents)


def compare() -> tuple[str, list[str]]:
    """Give the table by group, and a line for each sentence where one of the two fails."""
    language = negspacy_pipeline()
    groups: dict[str, list[int]] = {}
    fails = []
    for line in SENTENCES.read_text("utf-8").splitlines():
        row = json.loads(line)
        tally = groups.setdefault(row["group"], [0, 0, 0])
        tally[0] += 1
        for at, (name, said) in enumerate(
            (("ours", denies(row["text"], row["condition"])), ("negspaCy", theirs(language, row["text"], row["words"])))
        ):
            tally[1 + at] += said == row["absent"]
            if said != row["absent"]:
                fails.append(f"{name} fails on {row['text']!r}: {'denied' if said else 'not denied'}")
    rows = ["| group | sentences | ours right | negspaCy right |", "| --- | --: | --: | --: |"]
    rows.extend(f"| {name} | {' | '.join(map(str, tally))} |" for name, tally in groups.items())
    rows.append(f"| all | {' | '.join(str(sum(t[n] for t in groups.values())) for n in range(3))} |")
    return "\n".join(rows), fails


def main() -> None:
    table, fails = compare()
    sys.stdout.write("\n".join([table, "", *fails, ""]))


if __name__ == "__main__":
    main()
