"""A rebuild at the bench in which everything is said in words: the core of the bench without a microphone.

In: the folder of a shop, a job, what is said. Out: the messages that a front gets.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from notebook.jobs import bench_messages as told
from notebook.jobs.opening import find_job, open_archive
from notebook.jobs.rebuilding import RebuildAtBench
from notebook.jobs.scribe import Scribe
from notebook.nouns import Sitting
from notebook.reading.rebuild_cues import find_rebuild_cue
from notebook.shop import open_shop

NOON = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


class Walk:
    """A rebuild at the bench in which everything is typed."""

    def __init__(self, folder: Path, number: str = "31") -> None:
        self.shop = open_shop(folder)
        self.archive = open_archive(self.shop)
        self.job = find_job(self.archive, number)
        self.sitting = Sitting(id="together", job_id=self.job.id, person="Idris", started=NOON)
        self.archive.add_sitting(self.sitting)
        self.messages: list[told.Message] = []
        unheard: Any = None
        self.scribe = Scribe(self.archive, self.shop, self.job, unheard, unheard)
        self.walk = RebuildAtBench(
            self.archive, self.shop, self.job, self.sitting.id, self.scribe, tell=self.messages.append, say=lambda _: None,
            now=lambda: NOON, person=lambda: "Idris",
        )  # fmt: skip
        self.walk.begin()

    def say(self, words: str) -> list[told.Message]:
        """Say something, as the sitting hands it on; give what it told."""
        before = len(self.messages)
        cue = find_rebuild_cue(words)
        if cue is not None and not cue.is_remark:
            self.walk.move(cue)
            return self.messages[before:]
        key = f"typed {len(self.messages)}"
        remark = self.scribe.store_typed(
            key, words, at=NOON, sitting_id=self.sitting.id, person="Idris", step=self.walk.step_name
        )
        self.walk.take(remark, cue)
        self.walk.use_log(self.scribe.settle())
        return self.messages[before:]

    def last(self, kind: type) -> Any:
        """Give the last message of a kind."""
        return [m for m in self.messages if isinstance(m, kind)][-1]

    @property
    def states(self) -> list[str]:
        """Give where the steps stand."""
        return [s.state for s in self.walk.state.standings]

    def go_to(self, part: str) -> None:
        """Go to the step of a part."""
        names = [s.name for s in self.walk.state.standings]
        self.say(f"Step {names.index(part) + 1}.")
