"""Count how our tables stand beside open and published ones: compared, agree, explained, not explained.

    python -m tests.checking_tables

Out: the counts by source, and under them each disagreement with its reason.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

import pytest

from notebook.tables.rows import read_rows
from notebook.tables.spanners import hexagons_of
from notebook.tables.threads import find_thread
from notebook.tables.units import find_unit, to_si
from tests.outside import test_tables_bd_warehouse as bd
from tests.outside import test_tables_formulas as formulas
from tests.outside import test_tables_pint as pint_units
from tests.outside import test_tables_published as published

Counted = tuple[str, str, bool, str | None]
"""Where it comes from, what is compared, whether it agrees, and why where it does not."""


def compare_all() -> Iterator[Counted]:
    """Give every comparison."""
    for name, (compare, _) in bd.COMPARISONS.items():
        known = bd.EXPLAINED.get(name, {})
        for c in compare():
            why = f"ours {c.ours}, theirs {c.theirs}: {known[c.size][2]}" if c.size in known else None
            yield "bd_warehouse 0.4.0", f"{name.replace('_', ' ')}, {c.size}", c.agrees, why
    yield from _units()
    yield from _published()
    yield from _strengths()


def _units() -> Iterator[Counted]:
    for symbol, name in pint_units.PINT_NAMES.items():
        unit, ours = find_unit(symbol), to_si(Decimal("37.5"), symbol)
        theirs = pint_units.theirs(37.5, name, pint_units.PINT_SI[unit.si_unit]) if unit is not None else None
        yield (
            "pint 0.25, factors of units",
            symbol,
            ours is not None and float(ours) == pytest.approx(theirs, rel=1e-11),
            None,
        )
    for symbol, printed in {**formulas.EXACT_DEFINITIONS, **formulas.NIST_SP_811}.items():
        ours = to_si(Decimal(1), symbol)
        is_same = ours is not None and float(f"{ours:.7g}") == pytest.approx(float(printed), rel=5.1e-7)
        yield "definitions of units, NIST SP 811", symbol, is_same, None


def _published() -> Iterator[Counted]:
    for size, columns in published.BS_84_GAUGE_LIST.items():
        for family, theirs in zip(("BSW", "BSF"), columns, strict=True):
            ours = find_thread(f"{size} {family}")
            if theirs is not None:
                yield (
                    "BS 84 gauge list",
                    f"{size} {family}",
                    ours is not None and ours.tpi == Decimal(str(theirs)),
                    None,
                )
            elif ours is not None:
                why = "an older size that the list of today's gauges leaves out; ours says so"
                yield "BS 84 gauge list", f"{size} {family}", False, why
    for size, tpi in published.UNC_CHART.items():
        yield "unified coarse chart", size, find_thread(f"{size}-{tpi} UNC") is not None, None
    for size, (tpi, diameter) in published.NPT_TABLE.items():
        ours = find_thread(f"{size} NPT")
        is_same = ours is not None and (ours.tpi, Fraction(ours.major_mm)) == (Decimal(str(tpi)), Fraction(diameter) * Fraction("25.4"))  # fmt: skip
        yield "taper pipe table", size, is_same, None
    for thread, width in published.EN_14399_3_MM.items():
        yield "EN 14399-3 widths", thread, [h.af_mm for h in hexagons_of(thread, system="structural")] == [width], None
    for size, inches in published.BS_1083_IN.items():
        for family in ("BSW", "BSF"):
            found = [Fraction(h.af_mm) for h in hexagons_of(f"{size} {family}", system="BS small")]
            yield "BS 1083 widths", f"{size} {family}", found == [Fraction(inches) * Fraction("25.4")], None


def _strengths() -> Iterator[Counted]:
    rows = {(r["thread"], r["property_class"]): r for r in read_rows("torque_guide")}
    for bolt, load in formulas.ISO_898_1_PROOF_LOADS_N.items():
        computed = float(rows[bolt]["proof_load_N_computed"])
        yield "ISO 898-1 proof loads, within 1.2 %", " ".join(bolt), computed == pytest.approx(load, rel=0.012), None


def check_table(counted: list[Counted] | None = None) -> tuple[str, list[str]]:
    """Give the table by source, and a line for each disagreement."""
    counted = list(compare_all()) if counted is None else counted
    rows = ["| beside | compared | agree | explained | not explained |", "| --- | --: | --: | --: | --: |"]
    for source in dict.fromkeys(c[0] for c in counted):
        rows.append(f"| {source} | {_counts([c for c in counted if c[0] == source])} |")
    rows.append(f"| all | {_counts(counted)} |")
    told = [f"{source}, {what}: {why or 'NOT EXPLAINED'}" for source, what, agrees, why in counted if not agrees]
    return "\n".join(rows), told


def _counts(counted: list[Counted]) -> str:
    apart = [c for c in counted if not c[2]]
    explained = sum(c[3] is not None for c in apart)
    return f"{len(counted)} | {len(counted) - len(apart)} | {explained} | {len(apart) - explained}"


def main() -> None:
    table, told = check_table()
    sys.stdout.write("\n".join([table, "", *told, ""]))


if __name__ == "__main__":
    main()
