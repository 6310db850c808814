"""The table of milestones: what was blind that day stays blind, and the gap is counted from it."""

from __future__ import annotations

from pathlib import Path

from tests.milestones import Figure, keep, kept, mean, milestones_table
from tests.score_reading import Score


def figure(name: str, standing: str, remarks: int, f1: float) -> Figure:
    return Figure(date="2026-01-02", milestone="first", set=name, standing=standing, remarks=remarks, f1=f1)


def test_a_mean_is_weighted_by_remarks() -> None:
    assert mean([figure("a", "seen", 300, 0.9), figure("b", "seen", 100, 0.5)]) == 0.8
    assert mean([]) is None


def test_the_gap_is_seen_less_blind_in_points() -> None:
    table = milestones_table([figure("dev", "seen", 10, 0.9), figure("blind1", "blind", 10, 0.7)])
    assert table.splitlines()[-1] == "| 2026-01-02 | first | 0.900 | **0.700** | 0.900 | 0.700 | 20 |"


def test_a_milestone_is_added_behind_the_others(tmp_path: Path) -> None:
    path = tmp_path / "milestones.csv"
    one = Score(name="blind blind9", remarks=4)
    one.true["finding"], one.said["finding"], one.hit["finding"] = 4, 4, 3
    keep("first", [one], "2026-01-02", path)
    keep("second, with a comma", [one], "2026-01-03", path)
    assert [(f.milestone, f.set, f.standing, f.f1) for f in kept(path)] == [
        ("first", "blind9", "blind", 0.75),
        ("second, with a comma", "blind9", "blind", 0.75),
    ]


def test_no_set_goes_back_to_blind_once_its_misses_were_read() -> None:
    """A set that was seen at one milestone is never called blind at a later one."""
    seen: set[str] = set()
    for one in kept():
        assert not (one.standing == "blind" and one.set in seen), one
        if one.standing == "seen":
            seen.add(one.set)
