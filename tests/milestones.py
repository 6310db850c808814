"""Keep how well remarks were read at each milestone, on sets that were seen and sets that were blind.

    python -m tests.milestones [--keep "what was done"]

In: `tests/truth/milestones.csv` (date, milestone, set, standing, remarks, f1). Out: the table of milestones; with
`--keep` every set is scored now and added as a new milestone first. A set stands where it stood that day: one that was
blind then stays counted as blind, though its misses have been read since.
Means over sets are weighted by remarks; the gap is the seen mean less the blind mean, in points.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections.abc import Iterable
from dataclasses import astuple, dataclass, fields
from datetime import UTC, datetime
from pathlib import Path

from tests.score_reading import TRUTH, Score, read_set, score, truth_sets

KEPT = TRUTH / "milestones.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """F1 over all kinds of one set at one milestone."""

    date: str
    milestone: str
    set: str
    standing: str
    """`seen` or `blind`, as it was that day."""
    remarks: int
    f1: float


def kept(path: Path = KEPT) -> list[Figure]:
    """Give the figures of every milestone, in order."""
    with path.open(encoding="utf-8", newline="") as table:
        return [
            Figure(
                date=row["date"], milestone=row["milestone"], set=row["set"], standing=row["standing"],
                remarks=int(row["remarks"]), f1=float(row["f1"]),
            )
            for row in csv.DictReader(table)
        ]  # fmt: skip


def keep(what: str, scores: Iterable[Score], date: str, path: Path = KEPT) -> None:
    """Add the figures of today as a milestone."""
    figures = kept(path) if path.exists() else []
    for one in scores:
        standing, _, name = one.name.partition(" ")
        f1 = round(one.figures()[2], 3)
        figures.append(Figure(date=date, milestone=what, set=name, standing=standing, remarks=one.remarks, f1=f1))
    with path.open("w", encoding="utf-8", newline="") as table:
        rows = csv.writer(table, lineterminator="\n")
        rows.writerow([f.name for f in fields(Figure)])
        rows.writerows(astuple(figure) for figure in figures)


def mean(figures: Iterable[Figure]) -> float | None:
    """Give the mean F1 of sets, weighted by their remarks."""
    listed = list(figures)
    remarks = sum(f.remarks for f in listed)
    return sum(f.f1 * f.remarks for f in listed) / remarks if remarks else None


def milestones_table(figures: list[Figure]) -> str:
    """Write one line a milestone as Markdown; a figure in bold is of a set that was blind that day."""
    sets = list(dict.fromkeys(f.set for f in sorted(figures, key=lambda f: (f.set.startswith("blind"), f.set))))
    rows = [
        f"| date | milestone | {' | '.join(sets)} | seen | blind | gap |",
        f"| --- | --- |{' --: |' * (len(sets) + 3)}",
    ]
    for what in dict.fromkeys((f.date, f.milestone) for f in figures):
        own = {f.set: f for f in figures if (f.date, f.milestone) == what}
        shown = [_shown(own[name]) if name in own else "" for name in sets]
        seen, blind = (mean(f for f in own.values() if f.standing == s) for s in ("seen", "blind"))
        gap = f"{(seen - blind) * 100:.0f}" if seen is not None and blind is not None else ""
        means = [f"{m:.3f}" if m is not None else "" for m in (seen, blind)]
        rows.append(f"| {what[0]} | {what[1]} | {' | '.join([*shown, *means, gap])} |")
    return "\n".join(rows)


def _shown(figure: Figure) -> str:
    return f"**{figure.f1:.3f}**" if figure.standing == "blind" else f"{figure.f1:.3f}"


def main() -> None:
    parser = argparse.ArgumentParser(description="Print how well remarks were read at each milestone.")
    parser.add_argument("--keep", metavar="WHAT", help="Score every set now, and add it as a milestone.")
    what = parser.parse_args().keep
    if what:
        keep(what, (score(name, read_set(path)) for name, path in truth_sets()), f"{datetime.now(UTC):%Y-%m-%d}")
    sys.stdout.write(milestones_table(kept()) + "\n")


if __name__ == "__main__":
    main()
