"""The way back on the screen: a step at a time, large, at 80x24, and what its keys ask."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from notebook.jobs import bench_messages as told
from notebook.jobs.intake import take_in
from notebook.jobs.opening import open_archive, open_job
from notebook.reading.rebuild_cues import RebuildCue
from notebook.screen.app import BenchScreen
from notebook.screen.panels import Cover
from notebook.screen.step_words import step_text
from notebook.shop import BenchSettings, Shop, open_shop
from tests.conftest import HOSTILE, MORNING
from tests.screen.test_bench_screen import AskedBench, tell, text_of

STEP = told.StepShown(
    number=3, of=9, title="Fit the end housing", state="open", lines=("torque: 45 N·m (said)", "! Never lever there."), still_open=("3  Fit the end housing",)
)  # fmt: skip


class StepBench(AskedBench):
    """A bench that only remembers which steps were asked."""

    def take_step(self, cue: RebuildCue) -> None:
        self.asked.append(cue)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shop = open_shop(tmp_path / "shop")
    (tmp_path / "said.txt").write_text("Gear guard's off.\nDrum's out.\n")
    with open_archive(shop) as archive:
        job = open_job(archive, shop, number="7", machine="forestry winch", opened=MORNING)
        take_in(archive, shop, job, [tmp_path / "said.txt"])
    return shop


def run(shop: Shop, drive: Callable[[BenchScreen, Pilot[None]], Awaitable[None]]) -> None:
    async def go() -> None:
        app = BenchScreen(shop, "7", settings=BenchSettings(), person="Maren", make_bench=StepBench, rebuild=True)
        async with app.run_test(size=(80, 24)) as pilot:
            await drive(app, pilot)

    asyncio.run(go())


def test_the_step_at_hand_is_large_with_all_it_needs(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        await tell(app, pilot, STEP)
        shown = text_of(app, "#parts_text")
        assert "\N{FULL BLOCK}" in shown
        assert "torque: 45 N·m (said)" in shown
        assert app.query_one("#parts").border_subtitle == "step 3 of 9: open"
        assert "Fit the end housing" in text_of(app, "#unsaid")

    run(shop, drive)


def test_a_tick_and_a_doubt_cover_the_screen(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        cover = app.query_one(Cover)
        await tell(app, pilot, told.StepSaid(number=3, state="said", says=""))
        assert not cover.has_class("on")
        await tell(app, pilot, told.StepSaid(number=3, state="torque set", says="TORQUE SET", doubts=("33 % over",)))
        assert cover.says == "TORQUE SET"
        assert "? 33 % over" in str(cover.render())
        summed = told.RebuildSummed(
            done=1, of=9, not_done=("2  Fit the drum",), left=("bag 4: shims",), waiting=(), doubts=()
        )
        await tell(app, pilot, summed)
        assert cover.says == "1 of 9 done"
        assert "bag 4: shims" in str(cover.render())

    run(shop, drive)


def test_keys_do_what_the_words_do(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        bench: Any = app.bench
        await pilot.press("f", "u", "right", "left", "z")
        await pilot.press(*("space" if c == " " else c for c in "no seal"), "enter")
        await pilot.pause()
        assert bench.asked == [
            RebuildCue(name="done"), RebuildCue(name="torque set"), RebuildCue(name="next"), RebuildCue(name="back"),
            RebuildCue(name="skip", rest="no seal"),
        ]  # fmt: skip

    run(shop, drive)


def test_hostile_words_stay_on_their_line() -> None:
    step = told.StepShown(number=1, of=1, title=HOSTILE, state="open", lines=(HOSTILE,))
    assert "\x1b" not in step_text(step, 40, 10).plain
