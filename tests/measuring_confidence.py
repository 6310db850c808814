"""Count how often each rule is right on remarks not seen while rules were written, and how true its confidence is.

    python tests/measuring_confidence.py [--write]

In: the blind truth sets. Out: with `--write` `notebook/reading/data/confidence.csv` (kind, rule, read, right); always
the table of calibration, in which each set is judged by the tallies of the other sets, so that no entry vouches for
itself. An entry of the truth marked optional counts neither way.
"""

from __future__ import annotations

import csv
import json
import sys
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from notebook.entries import Entry
from notebook.reading.confidence import Tally, confidence_of, name_of_rule, rates_from
from notebook.reading.reader import Reader
from tests.score_reading import TRUTH, pair

OUT = Path(__file__).resolve().parents[1] / "notebook" / "reading" / "data" / "confidence.csv"
BINS = (0.0, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.01)


def judged(path: Path) -> Iterator[tuple[Entry, bool]]:
    """Give each entry that is read from a truth set, and whether it is right."""
    reader, job = Reader(), None
    for line in path.read_text("utf-8").splitlines():
        remark = json.loads(line)
        if remark["job"] != job:
            reader, job = Reader(), remark["job"]
        entries = reader.read(remark["text"], line=str(remark["line"])).entries
        found = dict(pair([e.to_json() for e in entries], remark["entries"]))
        for n, entry in enumerate(entries):
            if n not in found or not remark["entries"][found[n]].get("optional"):
                yield entry, n in found


def tally(judgements: list[tuple[Entry, bool]]) -> dict[tuple[str, str], Tally]:
    """Count by kind and rule."""
    read: dict[tuple[str, str], int] = defaultdict(int)
    right: dict[tuple[str, str], int] = defaultdict(int)
    for entry, is_right in judgements:
        key = entry.kind, name_of_rule(entry)
        read[key] += 1
        right[key] += is_right
    return {key: Tally(read=read[key], right=right[key]) for key in sorted(read)}


def calibration(sets: list[list[tuple[Entry, bool]]]) -> list[tuple[str, int, float, float]]:
    """Give, for each stretch of confidence, how many entries, their mean confidence and the share that was right."""
    said: list[tuple[float, bool]] = []
    for n, own in enumerate(sets):
        rates = rates_from(tally([j for m, other in enumerate(sets) if m != n for j in other]))
        said.extend((confidence_of(entry, rates), is_right) for entry, is_right in own)
    rows = []
    for low, high in pairwise(BINS):
        within = [(c, r) for c, r in said if low <= c < high]
        if within:
            mean = sum(c for c, _ in within) / len(within)
            rows.append(
                (f"{low:.1f} to {min(high, 1.0):.1f}", len(within), mean, sum(r for _, r in within) / len(within))
            )
    return rows


def calibration_table() -> str:
    """Write the calibration as a Markdown table."""
    sets = [list(judged(path)) for path in sorted((TRUTH / "blind").glob("*.jsonl"))]
    rows = ["| confidence | entries | mean | right |", "| --- | --: | --: | --: |"]
    rows.extend(f"| {name} | {n} | {mean:.2f} | {share:.2f} |" for name, n, mean, share in calibration(sets))
    return "\n".join(rows)


def main() -> None:
    if "--write" in sys.argv[1:]:
        counted = tally([j for path in sorted((TRUTH / "blind").glob("*.jsonl")) for j in judged(path)])
        with OUT.open("w", encoding="utf-8", newline="") as out:
            rows = csv.writer(out, lineterminator="\n")
            rows.writerow(["kind", "rule", "read", "right", "source"])
            for (kind, rule), t in counted.items():
                rows.writerow([kind, rule, t.read, t.right, "counted on the blind truth sets"])
    sys.stdout.write(calibration_table() + "\n")


if __name__ == "__main__":
    main()
