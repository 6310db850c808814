"""Count how our tables stand beside the open tables of bd_warehouse, column by column.

    python -m tests.checking_tables

Out: a table of comparisons, agreements and explained disagreements, and under it each disagreement with its reason.
"""

from __future__ import annotations

import sys

from tests.outside.test_tables_bd_warehouse import COMPARISONS, EXPLAINED


def check_table() -> tuple[str, list[str]]:
    """Give the table, and a line for each disagreement."""
    rows = ["| what | compared | agree | explained | not explained |", "| --- | --: | --: | --: | --: |"]
    told: list[str] = []
    sums = [0, 0, 0, 0]
    for name, (compare, _) in COMPARISONS.items():
        compared = list(compare())
        apart = [c for c in compared if not c.agrees]
        known = EXPLAINED.get(name, {})
        explained = [c for c in apart if c.size in known]
        counts = [len(compared), len(compared) - len(apart), len(explained), len(apart) - len(explained)]
        sums = [a + b for a, b in zip(sums, counts, strict=True)]
        rows.append(f"| {name.replace('_', ' ')} | {' | '.join(map(str, counts))} |")
        told.extend(
            f"{name.replace('_', ' ')}, {c.size}: ours {c.ours}, theirs {c.theirs}: {known[c.size][2]}"
            for c in explained
        )
    rows.append(f"| all | {' | '.join(map(str, sums))} |")
    return "\n".join(rows), told


def main() -> None:
    table, told = check_table()
    sys.stdout.write("\n".join([table, "", *told, ""]))


if __name__ == "__main__":
    main()
