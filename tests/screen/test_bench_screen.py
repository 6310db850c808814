"""The bench on the screen: what messages change, what keys ask, at 80x24 and without colour."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from notebook.entries import Finding
from notebook.jobs import bench_messages as told
from notebook.jobs.opening import open_archive, open_job
from notebook.jobs.sitting import BenchSitting
from notebook.reading.bench_cues import Cue
from notebook.screen.app import BenchScreen, BenchTold, picture_of
from notebook.screen.block_letters import GLYPHS, block_lines, letters_width
from notebook.screen.keys import KEYS, check_keys
from notebook.screen.looks import LOOKS
from notebook.screen.panels import Cover, LastRemark, StatusLine
from notebook.shop import BenchSettings, Shop, open_shop
from tests.conftest import MORNING, make_log, make_remark

CRACKED = make_remark(
    "2 of the 6 brake shoes are cracked.", Finding(component="brake shoe", condition="cracked", count=2, of=6, confidence=0.9)
)  # fmt: skip


class AskedBench(BenchSitting):
    """A bench that only remembers what it was asked."""

    def start(self) -> None:
        self.asked: list[Any] = []

    def stop(self, wait_s: float = 0.0) -> None:  # noqa: ARG002
        self._lock.release()

    def ask(self, what: Any) -> None:
        self.asked.append(what)

    def take_cue(self, cue: Cue) -> None:
        self.asked.append(cue)

    def toggle(self) -> None:
        self.asked.append("toggle")

    def type_remark(self, words: str) -> None:
        self.asked.append(words)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shop = open_shop(tmp_path / "shop")
    with open_archive(shop) as archive:
        open_job(archive, shop, number="7", machine="forestry winch", opened=MORNING)
    return shop


def run(shop: Shop, drive: Callable[[BenchScreen, Pilot[None]], Awaitable[None]], **settings: Any) -> None:
    """Drive the screen at 80x24."""

    async def go() -> None:
        app = BenchScreen(shop, "7", settings=BenchSettings(**settings), person="Maren", make_bench=AskedBench)
        async with app.run_test(size=(80, 24)) as pilot:
            await drive(app, pilot)

    asyncio.run(go())


async def tell(app: BenchScreen, pilot: Pilot[None], *messages: told.Message) -> None:
    for message in messages:
        app.post_message(BenchTold(message))
    await pilot.pause()


def text_of(app: BenchScreen, selector: str) -> str:
    return str(app.query_one(selector, Static).render())


def test_a_stored_remark_takes_the_place_of_its_first_line(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        await tell(app, pilot, told.FirstLineHeard(key="k", text="two of the six brake shoes", after_s=0.6))
        last = app.query_one(LastRemark)
        assert ".." in str(last.render())
        size = last.size
        await tell(app, pilot, told.RemarkStored(key="k", remark=CRACKED, text_after_s=1.0, after_s=1.2))
        assert "brake shoe, 2 of 6 cracked" in str(last.render())
        assert last.size == size

    run(shop, drive)


def test_the_state_is_always_there_in_words(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        status = app.query_one(StatusLine)
        await tell(
            app,
            pilot,
            told.StateChanged(state="listening", says="LISTENING"),
            told.LevelChanged(db=-20, voice_on=True, dead_s=0),
        )
        assert "LISTENING" in str(status.render())
        assert "HEARING YOU" in str(status.render())
        await tell(app, pilot, told.LevelChanged(db=-90, voice_on=False, dead_s=9.0))
        assert "NOT HEARING YOU" in str(status.render())
        await tell(
            app, pilot, told.StateChanged(state="lost", says="The microphone is lost.", remedy="Plug it in again.")
        )
        assert "NO MICROPHONE" in str(status.render())
        assert app.query_one(Cover).has_class("on")
        await tell(app, pilot, told.Trouble(about="disk", says="Sound cannot be written.", remedy="Free some room."))
        assert "Free some room." in text_of(app, "#trouble")

    run(shop, drive)


def test_a_cue_covers_the_whole_screen_and_is_taken_away(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        await tell(app, pilot, told.CueTaken(cue="place", says="BAG 12", more="drum bolts"))
        cover = app.query_one(Cover)
        assert cover.has_class("on")
        assert (cover.size.width, cover.size.height) == (74, 22) or cover.region.size == app.screen.size
        await pilot.press("escape")
        assert not cover.has_class("on")

    run(shop, drive)


def test_every_key_asks_the_core_and_keys_can_be_changed(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        bench: Any = app.bench
        await pilot.press("f5", "s", "b", "l", "x")
        assert bench.asked == [
            "toggle",
            Cue(name="scratch"),
            Cue(name="read back"),
            Cue(name="left"),
            Cue(name="close"),
        ]
        await pilot.press("t", *"seal leaks", "enter")
        assert bench.asked[-1] == "seal leaks"

    run(shop, drive, keys=(("listen", "f5"),))


def test_help_shows_the_keys_that_work(shop: Shop) -> None:
    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        await pilot.press("question_mark")
        shown = str(app.query_one(Cover).render())
        assert "F5" in shown
        assert "strike the last remark out" in shown

    run(shop, drive, keys=(("listen", "f5"),))


@pytest.mark.parametrize("look", list(LOOKS))
def test_doubts_are_told_by_word_and_sign_in_every_look(shop: Shop, look: str) -> None:
    doubted = make_remark(
        "No play.",
        Finding(component="hub", condition="play", presence="absent", doubt='heard "no", may have been "new"'),
    )

    async def drive(app: BenchScreen, pilot: Pilot[None]) -> None:
        await tell(
            app,
            pilot,
            told.RemarkStored(key="k", remark=doubted, text_after_s=1, after_s=1),
            told.LogChanged(log=make_log(doubted)),
        )
        assert "? " in str(app.query_one(LastRemark).render())
        assert "may have been" in str(app.query_one(LastRemark).render())
        picture = picture_of(app)
        assert "http" not in picture.replace("http://www.w3.org", "")

    run(shop, drive, look=look)


def test_block_letters_are_three_lines_and_never_wider_than_asked() -> None:
    for text in ("brake shoe 2 of 6 cracked", "a", "x" * 90, 'é"&', "7.2 mm +0.05/-0.02"):
        for width in (20, 40, 76):
            lines, _ = block_lines(text, width, 2)
            assert len(lines) in (3, 6)
            assert all(len(line) <= width for line in lines)
    assert all(len(points) == 5 and len({len(p) for p in points}) == 1 for points in GLYPHS.values())
    assert letters_width("ab") == 8


def test_keys_of_the_shop_are_checked() -> None:
    from notebook.errors import NotebookError

    assert check_keys({"listen": "f5"})["listen"] == "f5"
    for wrong in ({"nosuch": "a"}, {"listen": "s"}):
        with pytest.raises(NotebookError):
            check_keys(wrong)
    assert len({k.key for k in KEYS}) == len(KEYS)
