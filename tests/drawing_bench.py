"""Draws the bench as it stands when a remark of the demonstration was just stored: `demo_session/bench.svg`.

In: the demonstration's shop, put right. Out: the picture, by the program's own screen. Run it with: make documents
"""

from __future__ import annotations

import asyncio
import tempfile
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from notebook.archive.store import Archive
from notebook.jobs import bench_messages as told
from notebook.jobs.opening import find_job, open_archive
from notebook.jobs.sitting import BenchSitting
from notebook.nouns import Log
from notebook.reading.bench_cues import Cue
from notebook.screen.app import BenchScreen, BenchTold, picture_of
from notebook.shop import Shop
from tests.demo_shop import ROOT
from tests.making_documents import corrected_shop

PICTURE = ROOT / "demo_session" / "bench.svg"
COLUMNS, LINES = 110, 36
SAID = 22
"""The remark that was just stored, by its number."""


@dataclass(slots=True)
class _Asked:
    archive: Archive
    log: Log


class _QuietBench(BenchSitting):
    """A bench that does not listen, and answers what the screen asks from the archive."""

    def start(self) -> None:
        pass

    def stop(self, wait_s: float = 0.0) -> None:  # noqa: ARG002
        self._lock.release()

    def take_cue(self, cue: Cue) -> None:
        pass

    def ask(self, what: Any) -> None:
        def answer() -> None:
            with open_archive(self.shop) as archive:
                what(_Asked(archive, archive.load_log(find_job(archive, "2041"))))

        threading.Thread(target=answer).start()


async def _draw(shop: Shop) -> str:
    with open_archive(shop) as archive:
        log = archive.load_log(find_job(archive, "2041"))
    app = BenchScreen(shop, "2041", person="Maren", make_bench=_QuietBench)
    async with app.run_test(size=(COLUMNS, LINES)) as pilot:
        for message in (
            told.StateChanged(state="listening", says="LISTENING"),
            told.LevelChanged(db=-18, voice_on=True, dead_s=0),
            told.LogChanged(log=log),
            told.RemarkStored(key="k", remark=log.remarks[SAID - 1], text_after_s=1.0, after_s=1.1),
        ):
            app.post_message(BenchTold(message))
            await pilot.pause()
        await pilot.pause(2.0)
        return picture_of(app)


def main() -> None:
    """Draw it."""
    with tempfile.TemporaryDirectory() as folder:
        PICTURE.write_text(asyncio.run(_draw(corrected_shop(Path(folder)))), "utf-8")


if __name__ == "__main__":
    main()
