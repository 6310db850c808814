"""Lay present, absent and possible beside what the general library negspaCy says on the same sentences.

    python -m tests.compare_negation

In: two sources. Sentences with the words of a fault, and whether it is there; made for this, in no truth set, by the
way it is denied; they were looked at while rules were mended. The remarks of our blind truth sets, each finding whose
condition is said in a phrase that `words/conditions.csv` has, once in the remark. Out: a table by group, and under it
each sentence of the first source where one fails; nothing is shown of the blind sets but the counts. negspaCy (the NegEx algorithm, Chapman et al.
2001) is told which words are the fault; we must find them. It tells denied from not denied only, so "possible" counts
as not denied for both. A fault that we do not find at all counts as not denied.
"""

from __future__ import annotations

import csv
import json
import re
import sys
import warnings
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import spacy

from notebook.reading.reader import Reader
from tests.score_reading import CONDITIONS, TABLES, TRUTH, options, plain, same_words

SENTENCES = Path(__file__).parent / "truth" / "negations.jsonl"


BLIND_ABSENT, BLIND_THERE = "our blind sets: absent", "our blind sets: present or possible"
Sentence = tuple[str, str, str, object, bool]
"""Group, text, the words of the fault, its term (or a list of all that are right), whether it is absent."""


def made_for_this() -> Iterator[Sentence]:
    """Give the sentences of our own file."""
    for line in SENTENCES.read_text("utf-8").splitlines():
        row = json.loads(line)
        yield row["group"], row["text"], row["words"], row["condition"], row["absent"]


def blind_findings() -> Iterator[Sentence]:
    """Give the findings of the blind sets whose condition is said in words of the table, once in the remark."""
    phrases = _phrases()
    for path in sorted((TRUTH / "blind").glob("*.jsonl")):
        for line in path.read_text("utf-8").splitlines():
            remark = json.loads(line)
            text = remark["text"]
            findings = [e for e in remark["entries"] if e["kind"] == "finding"]
            for finding in findings:
                terms = [plain(c) for c in options(finding["condition"])]
                said = _said(text, {w for t in terms for w in phrases.get(t, ())})
                same = [f for f in findings if {plain(c) for c in options(f["condition"])} & set(terms)]
                if said is None or len(same) > 1 or finding.get("optional") or isinstance(finding["presence"], list):
                    continue
                absent = finding["presence"] == "absent"
                yield BLIND_ABSENT if absent else BLIND_THERE, text, said, finding["condition"], absent


def _phrases() -> dict[str, set[str]]:
    """Give each term of a condition, and each way of saying it, with all the ways of saying it."""
    out: dict[str, set[str]] = defaultdict(set)
    with (TABLES / "conditions.csv").open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            said = {row["phrase"], row["term"], *(row["variants"] or "").split(";")}
            out[plain(row["term"])] |= {w.strip().lower() for w in said if w.strip()}
    return out


def _said(text: str, phrases: set[str]) -> str | None:
    """Give the longest phrase that is said, as it is said, when it is said once."""
    for phrase in sorted(phrases, key=lambda p: (-len(p), p)):
        found = re.findall(rf"\b{re.escape(phrase)}\b", text, re.IGNORECASE)
        if found:
            return str(found[0]) if len(found) == 1 else None
    return None


def denies(text: str, condition: object) -> bool:
    """Tell whether our reader writes the fault down as absent."""
    entries = [e.to_json() for e in Reader().read(text).entries]
    return any(
        e["kind"] == "finding" and e["presence"] == "absent" and same_words(e["condition"], condition, CONDITIONS)
        for e in entries
    )


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
    for group, text, words, condition, absent in (*made_for_this(), *blind_findings()):
        tally = groups.setdefault(group, [0, 0, 0])
        tally[0] += 1
        for at, (name, said) in enumerate(
            (("ours", denies(text, condition)), ("negspaCy", theirs(language, text, words)))
        ):
            tally[1 + at] += said == absent
            if said != absent and group not in (BLIND_ABSENT, BLIND_THERE):
                fails.append(f"{name} fails on {text!r}: {'denied' if said else 'not denied'}")
    rows = ["| group | sentences | ours right | negspaCy right |", "| --- | --: | --: | --: |"]
    rows.extend(f"| {name} | {' | '.join(map(str, tally))} |" for name, tally in groups.items())
    rows.append(f"| all | {' | '.join(str(sum(t[n] for t in groups.values())) for n in range(3))} |")
    return "\n".join(rows), fails


def main() -> None:
    table, fails = compare()
    sys.stdout.write("\n".join([table, "", *fails, ""]))


if __name__ == "__main__":
    main()
