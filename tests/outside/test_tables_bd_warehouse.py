"""Threads, hexagons and keys against the open tables of bd_warehouse 0.4.0 (Apache-2.0), file by file.

Source of the other side: the CSV files of that package. What disagrees is listed with its reason; a
disagreement that is not listed fails, and a listed one that is gone fails too.
A few rows of ours name that package as their only source (M1.8 nut, M56 and M64 keys, G over 2): there the
agreement shows only that nothing was lost on the way.
Skipped where bd_warehouse is not installed (`pip install --no-deps bd_warehouse`).
"""

from __future__ import annotations

import csv
import importlib.util
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from notebook.tables.keys import keys_of
from notebook.tables.rows import fraction_of
from notebook.tables.spanners import hexagons_of
from notebook.tables.thread_table import UNIFIED, Thread, all_threads, metric_coarse, metric_rows
from notebook.tables.threads import find_threads

Rows = list[dict[str, str]]
NOMINAL_KEYS_MM = ("0.7", "0.9", "1.3", "1.5", "2", "2.5", "3", "4", "5", "6", "7", "8", "10", "12", "14", "17")
INCH_DRILL_TOLERANCE_MM = Decimal("0.12")
"""A metric drill stands for an inch drill when it is no further off than this."""


@dataclass(frozen=True)
class Compared:
    """One size: ours and theirs, as text, None where a side has none."""

    size: str
    ours: str | None
    theirs: str | None
    agrees: bool


@cache
def folder() -> Path:
    found = importlib.util.find_spec("bd_warehouse")
    if found is None or not found.submodule_search_locations:
        pytest.skip("bd_warehouse is not installed: pip install --no-deps bd_warehouse")
    return Path(next(iter(found.submodule_search_locations))) / "data"


def rows_of(name: str) -> Rows:
    with (folder() / f"{name}.csv").open(encoding="utf-8") as lines:
        return [{k.strip(): (v or "").strip() for k, v in row.items()} for row in csv.DictReader(lines)]


def number(text: str) -> Decimal:
    return Decimal(text)


def same(size: str, ours: Decimal | None, theirs: Decimal) -> Compared:
    return Compared(size, None if ours is None else f"{ours.normalize():f}", f"{theirs.normalize():f}", ours == theirs)


def metric_size(size: str) -> tuple[str, Decimal, Decimal]:
    name, pitch = size.split("-")
    return name, Decimal(name[1:]), Decimal(pitch)


def unified_thread(size: str) -> Thread | None:
    rows = [t for t in find_threads(size) if t.family in UNIFIED]
    return rows[0] if len(rows) == 1 else None


# The comparisons, one for each file and column ------------------------------------------------------------


def metric_threads_exist() -> Iterator[Compared]:
    for row in rows_of("tap_hole_sizes"):
        if row["Size"].startswith("M"):
            _, diameter, pitch = metric_size(row["Size"])
            ours = next((t for t in metric_rows(diameter) if t.pitch_mm == pitch), None)
            standing = None if ours is None else "special" if ours.is_special else "listed"
            yield Compared(row["Size"], standing, "listed", standing == "listed")


def unified_threads_exist() -> Iterator[Compared]:
    for row in rows_of("tap_hole_sizes"):
        if not row["Size"].startswith("M"):
            ours = unified_thread(row["Size"])
            yield Compared(row["Size"], ours.name if ours else None, row["Size"], ours is not None)


def metric_tapping_drills() -> Iterator[Compared]:
    for row in rows_of("tap_hole_sizes"):
        if row["Size"].startswith("M"):
            _, diameter, pitch = metric_size(row["Size"])
            ours = next((t for t in metric_rows(diameter) if t.pitch_mm == pitch and not t.is_special), None)
            if ours is not None:
                yield same(row["Size"], ours.tapping_drill_mm, number(row["Soft"]))


def inch_tapping_drills() -> Iterator[Compared]:
    drills = {row["Size"]: Decimal(row["Diameter"]) for row in rows_of("drill_sizes")}

    def drill_mm(name: str) -> Decimal:
        inches = drills[name] if name in drills else Decimal(float(fraction_of(name)))
        return (inches * Decimal("25.4")).quantize(Decimal("0.01"))

    for row in rows_of("tap_hole_sizes"):
        ours = None if row["Size"].startswith("M") else unified_thread(row["Size"])
        if ours is not None and ours.tapping_drill_mm is not None:
            soft, hard = drill_mm(row["Soft"]), drill_mm(row["Hard"])
            near = soft - INCH_DRILL_TOLERANCE_MM <= ours.tapping_drill_mm <= hard + INCH_DRILL_TOLERANCE_MM
            yield Compared(row["Size"], str(ours.tapping_drill_mm), f"{soft}..{hard}", near)


def widths(file: str, column: str, system: str, part: str = "") -> Callable[[], Iterator[Compared]]:
    def compare() -> Iterator[Compared]:
        for row in rows_of(file):
            if row[column]:
                thread = metric_size(row["Size"])[0]
                ours = hexagons_of(thread, system=system, part=part) or hexagons_of(
                    thread, system="metric ISO", part=part
                )
                yield same(row["Size"], ours[0].af_mm if ours else None, number(row[column]))

    return compare


def pitches(file: str) -> Callable[[], Iterator[Compared]]:
    """Every size a file names must be a standard coarse thread."""

    def compare() -> Iterator[Compared]:
        for row in rows_of(file):
            _, diameter, pitch = metric_size(row["Size"])
            ours = metric_coarse(diameter)
            yield same(row["Size"], ours.pitch_mm if ours else None, pitch)

    return compare


def nominal_key(socket_mm: Decimal) -> Decimal:
    """Give the key for a socket that is tabulated by its largest width (2.08 for a 2 mm key)."""
    return max(Decimal(k) for k in NOMINAL_KEYS_MM if Decimal(k) <= socket_mm)


def metric_keys(file: str, column: str, form: str, *, is_maximum: bool = False) -> Callable[[], Iterator[Compared]]:
    def compare() -> Iterator[Compared]:
        for row in rows_of(file):
            if row[column] and row["Size"].startswith("M"):
                theirs = nominal_key(number(row[column])) if is_maximum else number(row[column])
                ours = [k.size_mm for k in keys_of(metric_size(row["Size"])[0], form) if "head cap" not in k.form]
                yield same(row["Size"], ours[0] if ours else None, theirs)

    return compare


def inch_keys(file: str, column: str, form: str) -> Callable[[], Iterator[Compared]]:
    def compare() -> Iterator[Compared]:
        for row in rows_of(file):
            if row[column] and not row["Size"].startswith("M"):
                size = row["Size"].rsplit("-", 1)[0]
                family = "UNF" if size == "#0" else "UNC"
                ours = keys_of(f"{size} {family}", form)
                theirs = fraction_of(row[column]) * Fraction("25.4")
                found = ours[0] if ours else None
                agrees = found is not None and Fraction(found.size_mm) == theirs
                yield Compared(row["Size"], found.size if found else None, row[column], agrees)

    return compare


PIPE_COLUMNS: dict[str, Callable[[Thread], Decimal | None]] = {
    "tpi": lambda thread: thread.tpi,
    "major_diameter": lambda thread: thread.major_mm,
    "minor_diameter": lambda thread: thread.minor_mm,
}


def pipe(column: str) -> Callable[[], Iterator[Compared]]:
    def compare() -> Iterator[Compared]:
        ours = {t.size: t for t in all_threads() if t.family == "G"}
        for row in rows_of("iso_228_1"):
            thread = ours.get(row["size"])
            value = None if thread is None else PIPE_COLUMNS[column](thread)
            yield same(row["size"], value, number(row[column]))

    return compare


def pipe_tapping() -> Iterator[Compared]:
    ours = {t.size: t for t in all_threads() if t.family == "G"}
    for row in rows_of("iso_228_1"):
        drill = ours[row["size"]].tapping_drill_mm
        if drill is not None:
            low = number(row["minor_diameter"])
            high = low + number(row["internal_minor_tolerance"])
            yield Compared(row["size"], str(drill), f"{low}..{high}", low <= drill <= high)


COMPARISONS: dict[str, tuple[Callable[[], Iterator[Compared]], int]] = {
    "tap_hole_sizes metric threads": (metric_threads_exist, 46),
    "tap_hole_sizes unified threads": (unified_threads_exist, 53),
    "tap_hole_sizes metric drills": (metric_tapping_drills, 37),
    "tap_hole_sizes inch drills": (inch_tapping_drills, 39),
    "hex_head_parameters pitch": (pitches("hex_head_parameters"), 29),
    "hex_head_parameters iso4014": (widths("hex_head_parameters", "iso4014:s", "metric ISO"), 29),
    "hex_head_parameters iso4017": (widths("hex_head_parameters", "iso4017:s", "metric ISO"), 29),
    "hex_head_parameters din931": (widths("hex_head_parameters", "din931:s", "metric DIN (old)"), 20),
    "hex_nut_parameters pitch": (pitches("hex_nut_parameters"), 31),
    "hex_nut_parameters iso4032": (widths("hex_nut_parameters", "iso4032:s", "metric ISO"), 29),
    "hex_nut_parameters iso4033": (widths("hex_nut_parameters", "iso4033:s", "metric ISO"), 11),
    "hex_nut_parameters iso4035": (widths("hex_nut_parameters", "iso4035:s", "metric ISO"), 27),
    "unchamfered_hex_nut_parameters iso4036": (widths("unchamfered_hex_nut_parameters", "iso4036:s", "metric ISO"), 10),
    "domed_cap_nut_parameters din1587": (widths("domed_cap_nut_parameters", "din1587:s", "metric ISO"), 12),
    "hex_head_with_flange_parameters din1662": (
        widths("hex_head_with_flange_parameters", "din1662:s", "metric flange", "small series"),
        7,
    ),
    "hex_head_with_flange_parameters din1665": (
        widths("hex_head_with_flange_parameters", "din1665:s", "metric flange", "heavy series"),
        8,
    ),
    "hex_nut_with_flange_parameters din1665": (
        widths("hex_nut_with_flange_parameters", "din1665:s", "metric flange", "nut with flange"),
        16,
    ),
    "socket_head_cap_parameters iso4762": (metric_keys("socket_head_cap_parameters", "iso4762:s", "cap screw"), 20),
    "socket_head_cap_parameters asme_b18.3": (inch_keys("socket_head_cap_parameters", "asme_b18.3:s", "cap screw"), 37),
    "countersunk_head_parameters iso10642": (
        metric_keys("countersunk_head_parameters", "iso10642:s", "countersunk", is_maximum=True),
        13,
    ),
    "button_head_parameters iso7380_1": (
        metric_keys("button_head_parameters", "iso7380_1:s", "button head", is_maximum=True),
        8,
    ),
    "button_head_with_collar_parameters iso7380_2": (
        metric_keys("button_head_with_collar_parameters", "iso7380_2:s", "button head", is_maximum=True),
        8,
    ),
    "setscrew_parameters iso4026": (metric_keys("setscrew_parameters", "iso4026:s", "grub screw"), 15),
    "metric_set_screw_parameters": (metric_keys("metric_set_screw_parameters", "Socket_Size", "grub screw"), 12),
    "imperial_set_screw_parameters": (inch_keys("imperial_set_screw_parameters", "Socket_Size", "grub screw"), 37),
    "iso_228_1 tpi": (pipe("tpi"), 24),
    "iso_228_1 major diameter": (pipe("major_diameter"), 24),
    "iso_228_1 minor diameter": (pipe("minor_diameter"), 24),
    "iso_228_1 drill within the minor limits": (pipe_tapping, 14),
}
"""Each comparison and how many sizes it compares."""

NOT_ISO = "real, but in no ISO 261 list: old or special pitch"
BOTH_DO = "both drills will do"
INCH_DRILL = "ours is the usual metric drill, theirs the next inch drill"
OLD_DIN = "theirs is the old DIN width under an ISO name"
LEAST = "theirs is the smallest width allowed, not the nominal"
DIN_7991 = "not in ISO 10642; the size belongs to DIN 7991"
EXPLAINED: dict[str, dict[str, tuple[str | None, str, str]]] = {
    "tap_hole_sizes metric threads": dict.fromkeys(
        ("M1.5-0.35", "M2-0.45", "M3-0.6", "M4-0.75", "M5-1", "M5-0.9", "M5.5-0.9", "M19-2.5", "M21-2"),
        ("special", "listed", NOT_ISO),
    ),
    "tap_hole_sizes metric drills": {
        "M4.5-0.75": ("3.7", "3.75", BOTH_DO),
        "M6-0.75": ("5.2", "5.25", BOTH_DO),
        "M7-0.75": ("6.2", "6.25", BOTH_DO),
        "M12-1.75": ("10.2", "10.3", BOTH_DO),
        "M14-2": ("12", "12.1", BOTH_DO),
        "M22-2.5": ("19.5", "18.5", "theirs is below the basic minor diameter 19.294: wrong"),
    },
    "tap_hole_sizes inch drills": {
        "9/16-18": ("12.9", "13.10..13.49", INCH_DRILL),
        "5/8-18": ("14.5", "14.68..15.08", INCH_DRILL),
        "3/4-10": ("16.5", "16.67..17.46", INCH_DRILL),
        "7/8-14": ("20.5", "20.64..21.03", INCH_DRILL),
        "1-12": ("23.25", "23.81..24.21", INCH_DRILL),
    },
    "hex_head_parameters din931": {
        "M1.6-0.35": ("3.2", "3.02", LEAST),
        "M2-0.4": ("4", "3.82", LEAST),
        "M2.5-0.45": ("5", "4.82", LEAST),
        "M3.5-0.6": ("6", "5.82", LEAST),
    },
    "hex_nut_parameters pitch": {
        "M3-0.45": ("0.5", "0.45", "a slip: M3 coarse is 0.5 mm (ISO 261), and the same file has M3-0.5 too"),
    },
    "hex_nut_parameters iso4035": {
        "M10-1.5": ("16", "17", OLD_DIN),
        "M12-1.75": ("18", "19", OLD_DIN),
        "M14-2": ("21", "22", OLD_DIN),
        "M22-2.5": ("34", "32", OLD_DIN),
    },
    "hex_head_with_flange_parameters din1662": {
        "M12-1.75": ("15", "16", "EN 1662 has 16, ISO 4162 has 15"),
    },
    "countersunk_head_parameters iso10642": {
        "M18-2.5": (None, "12", DIN_7991),
        "M22-2.5": (None, "14", DIN_7991),
        "M24-3": (None, "14", DIN_7991),
    },
    "setscrew_parameters iso4026": {
        "M1.8-0.35": (None, "0.7", "not in ISO 4026, which goes from M1.6 to M2"),
    },
    "imperial_set_screw_parameters": {
        "#1-64": ("0.035 in", "0.028", "ASME B18.3 has 0.035; theirs repeats the row of #0"),
        "#1-72": ("0.035 in", "0.028", "ASME B18.3 has 0.035; theirs repeats the row of #0"),
    },
}  # fmt: skip


@pytest.mark.parametrize("name", COMPARISONS)
def test_our_rows_against_theirs(name: str) -> None:
    compare, count = COMPARISONS[name]
    compared = list(compare())
    assert len(compared) == count, "the other table has changed, or a size was lost on the way"
    disagree = {c.size: (c.ours, c.theirs) for c in compared if not c.agrees}
    assert disagree == {size: (ours, theirs) for size, (ours, theirs, _) in EXPLAINED.get(name, {}).items()}


def test_every_explained_disagreement_belongs_to_a_comparison_and_has_a_reason() -> None:
    assert set(EXPLAINED) <= set(COMPARISONS)
    assert all(why.strip() for sizes in EXPLAINED.values() for _, _, why in sizes.values())


def test_their_m22_drill_would_leave_no_hole_for_the_thread() -> None:
    """ISO 724: the basic minor diameter of M22 coarse is 22 - 1.0825 x 2.5 = 19.294 mm."""
    (m22,) = find_threads("M22")
    assert m22.minor_mm == Decimal("19.294")
    assert m22.tapping_drill_mm is not None
    assert m22.tapping_drill_mm > m22.minor_mm > Decimal("18.5")
