"""Draw the bench in the middle of the demonstration's job, by the program itself.

    python -m tests.tools.bench_picture SHOP OUT.svg [--size 100x30] [--look dark]

In: a shop with the demonstration's job. Out: an SVG of the real screen. The listening is not started: the picture shows
what the log of the job says, as if the last remark had just been stored.
"""

from __future__ import annotations

import argparse
import asyncio
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

from notebook.jobs import bench_messages as told
from notebook.jobs.opening import find_job, open_archive
from notebook.jobs.sitting import BenchSitting
from notebook.nouns import Log
from notebook.screen.app import BenchScreen, BenchTold, picture_of
from notebook.shop import BenchSettings, open_shop


class StillBench(BenchSitting):
    """A bench that does not listen."""

    def start(self) -> None:
        """Do nothing."""

    def stop(self, wait_s: float = 0.0) -> None:  # noqa: ARG002
        """Let go of the job."""
        self._lock.release()

    def ask(self, what: Any) -> None:
        """Do it here and now."""
        with open_archive(self._shop) as archive:
            self._archive = archive
            self._scribe = _Logged(archive.load_log(self.job))  # type: ignore[assignment]
            what(self)


class _Logged:
    def __init__(self, log: Any) -> None:
        self.log = log


def cut_log(log: Log, remark: int) -> Log:
    """Give the log as it stood when a remark had just been said."""
    remarks = log.remarks[: remark + 1]
    said = {e.id for r in remarks for e in r.entries}
    shown = {link.photo_id for link in log.links if link.remark_id in {r.id for r in remarks}}
    parts = (replace(p, entry_ids=tuple(i for i in p.entry_ids if i in said)) for p in log.parts)
    return replace(
        log,
        remarks=remarks,
        parts=tuple(p for p in parts if p.entry_ids),
        photos=tuple(p for p in log.photos if p.id in shown),
    )


async def draw(shop_folder: Path, size: tuple[int, int], look: str, remark: int) -> str:
    """Give the screen as SVG."""
    shop = open_shop(shop_folder)
    app = BenchScreen(shop, "2041", settings=BenchSettings(look=look), person="Maren", make_bench=StillBench)
    with open_archive(shop) as archive:
        log = cut_log(archive.load_log(find_job(archive, "2041")), remark)
    async with app.run_test(size=size) as pilot:
        for message in (
            told.StateChanged(state="listening", says="LISTENING"),
            told.LogChanged(log=log),
            told.LevelChanged(db=-24.0, voice_on=True, dead_s=0.0),
        ):
            app.post_message(BenchTold(message))
        await pilot.pause()
        from notebook.screen.panels import LastRemark

        app.query_one(LastRemark).settle(log.remarks[remark])
        from notebook.jobs.bench_answers import seen_for_remark

        with open_archive(shop) as archive:
            app._write_seen(seen_for_remark(archive, log, log.remarks[remark]))
        await pilot.pause()
        await pilot.pause()
        return picture_of(app)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("shop", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--size", default="100x30")
    parser.add_argument("--look", default="dark")
    parser.add_argument("--remark", type=int, default=15)
    given = parser.parse_args()
    columns, _, lines = given.size.partition("x")
    given.out.write_text(asyncio.run(draw(given.shop, (int(columns), int(lines)), given.look, given.remark)), "utf-8")
    sys.exit(0)
