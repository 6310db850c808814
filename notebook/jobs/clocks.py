"""Says what is known of each camera's clock in a job.

In: a log. Out: offsets, and one line a camera. Never stores anything: it is worked out again from what is stored.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from notebook.errors import Problem, one_line
from notebook.nouns import Log

if TYPE_CHECKING:
    from notebook.photos.clock import ClockOffset


def judge_clocks(log: Log) -> tuple[list[ClockOffset], list[Problem]]:
    """Give what is known of each camera's clock, and what to look at."""
    from notebook.photos.link import link_photos

    _, offsets, problems = link_photos(log.photos, log.remarks)
    return offsets, problems


def tell_clocks(log: Log) -> list[str]:
    """Say of each camera how far its clock is off, how sure that is and why; and what to look at."""
    offsets, problems = judge_clocks(log)
    return [*describe_clocks(offsets), *(f"! {problem}" for problem in problems)]


def describe_clocks(offsets: Sequence[ClockOffset]) -> list[str]:
    """Say of each sure camera how far its clock is off, within what, and why."""
    lines = []
    for offset in offsets:
        if not offset.sure:
            continue
        drift = f", gaining {offset.drift_s_a_day:+.1f} s a day" if offset.drift_s_a_day else ""
        lines.append(
            f"{one_line(offset.camera)}: {_ahead(offset.offset_s)}{drift}, within {offset.within_s:.1f} s; {offset.why}."
        )
    return lines


def clocks_json(offsets: Sequence[ClockOffset]) -> list[dict[str, Any]]:
    """Give what is known of each camera's clock as JSON values."""
    return [
        {
            "camera": o.camera, "ahead_s": round(o.offset_s, 3) if o.sure else None, "within_s": round(o.within_s, 3) if o.sure else None,
            "drift_s_a_day": o.drift_s_a_day, "sure": o.sure, "why": o.why, "pictures": o.pictures, "cues": o.cues, "agreeing": o.agreeing,
            "by_file_time": o.by_file_time,
        }
        for o in offsets
    ]  # fmt: skip


def _ahead(offset_s: float) -> str:
    whole = timedelta(seconds=round(abs(offset_s)))
    if not whole:
        return "its clock is right"
    return f"its clock is {whole} {'ahead' if offset_s > 0 else 'behind'}"
