"""The bench on the screen: listens to the core's messages and shows them; holds no rules.

In: messages of a `BenchSitting`, keys. Out: what the mechanic sees from two metres away. Every change on the screen
comes from a message; every key only asks the core.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from rich.text import Text
from textual import on
from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Button, Static

from notebook.errors import one_line
from notebook.jobs import bench_answers as answers
from notebook.jobs import bench_messages as told
from notebook.jobs.sitting import BenchSitting
from notebook.nouns import Log, Remark
from notebook.reading.bench_cues import Cue
from notebook.reading.rebuild_cues import RebuildCue
from notebook.screen.ask import AskLine
from notebook.screen.desk import DeskScreen
from notebook.screen.keys import KEYS, check_keys, key_name
from notebook.screen.looks import LOOKS, NEXT_LOOK
from notebook.screen.panels import Cover, LastPhoto, LastRemark, StatusLine
from notebook.screen.step_words import open_text, said_lines, step_text, step_title, summed_text, summed_title
from notebook.screen.words import log_by_part
from notebook.shop import BenchSettings, Shop

COVER_S = 2.2
ANSWER_S = 12.0
FLASH_S = 0.9
HINTS_A_LINE = 3


class BenchTold(Message):
    """A message of the core, handed over to the screen's own thread."""

    def __init__(self, what: told.Message) -> None:
        super().__init__()
        self.what = what


class BenchScreen(App[None]):
    """The bench."""

    CSS_PATH = "bench.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]  # noqa: RUF012 (the base class has it so)
    VERTICAL_BREAKPOINTS = [(0, "-low"), (32, "-tall")]  # noqa: RUF012
    ENABLE_COMMAND_PALETTE = False
    TITLE = "Bench"
    BINDINGS: ClassVar = [Binding(k.key, k.id, k.does, id=k.id, priority=k.id == "listen") for k in KEYS]

    def __init__(
        self,
        shop: Shop,
        number: str,
        *,
        settings: BenchSettings | None = None,
        person: str | None = None,
        make_bench: Callable[..., BenchSitting] = BenchSitting,
        rebuild: bool = False,
    ) -> None:
        super().__init__()
        self._settings = settings or shop.settings.bench
        self._keys = check_keys(dict(self._settings.keys))
        self._shop = shop
        more: dict[str, Any] = {"rebuild": True} if rebuild else {}
        self.bench = make_bench(shop, number, tell=self._take, person=person, settings=self._settings, **more)
        self._step: told.StepShown | None = None
        self._look = self._settings.look
        self._cover_timer: Timer | None = None
        self._last_key = ""
        self._ending = False
        self._zone = ZoneInfo(shop.settings.zone)
        for look in LOOKS.values():
            self.register_theme(look)

    def _take(self, what: told.Message) -> None:
        # Called from the core's threads; posting is safe from any of them.
        self.post_message(BenchTold(what))

    def compose(self) -> ComposeResult:
        """Lay the bench out."""
        yield StatusLine(id="status")
        yield Static(id="trouble")
        yield LastRemark(id="last")
        with Horizontal(id="lists"):
            with VerticalScroll(id="parts"):
                yield Static(id="parts_text")
            with Vertical(id="side"):
                yield Static(id="unsaid")
                yield Static(id="seen")
                yield LastPhoto(id="photo")
        with Horizontal(id="foot"):
            yield Button(id="toggle_button")
            yield Static(id="hints")
        yield Cover(id="cover")

    def on_mount(self) -> None:
        """Start to listen."""
        self.set_keymap(self._keys)
        self.theme = LOOKS[self._look].name
        job = self.bench.job
        status = self.query_one(StatusLine)
        status.job = f"{one_line(job.number)} {one_line(job.machine.kind)}"
        status.person = self.bench.person or ""
        self.query_one("#parts").border_title = "this job, part by part"
        self.query_one("#unsaid").border_title = "not said yet"
        self.query_one("#seen").border_title = "seen before"
        self.query_one("#photo").border_title = "last photo"
        if self.bench.is_rebuild:
            self.screen.add_class("rebuild")
            self.query_one("#parts").border_title = "the way back"
            self.query_one("#unsaid").border_title = "not done yet"
            self.query_one("#photo").border_title = "how it sat"
        self.query_one("#hints", Static).update(self._hints())
        self._show_toggle("starting")
        self.query_one(LastRemark).show_words("Loading the ear. You can speak already; nothing is lost.")
        self.bench.start()

    def _hints(self) -> Text:
        shown = [key for key in KEYS if key.hint and key.id != "listen"]
        out = Text(no_wrap=True)
        for n, key in enumerate(shown):
            out.append("\n" if n and n % HINTS_A_LINE == 0 else "")
            out.append(f" {key_name(self._keys[key.id])} ", "reverse")
            out.append(f" {key.hint:<9}")
        return out

    # --- what the core told ------------------------------------------------------------------------------------

    @on(BenchTold)
    def _show(self, message: BenchTold) -> None:
        what = message.what
        status = self.query_one(StatusLine)
        last = self.query_one(LastRemark)
        match what:
            case told.LevelChanged():
                status.set_level(what.db, what.voice_on, what.dead_s)
            case told.StateChanged():
                status.state = what.state
                self._show_toggle(what.state)
                if what.state == "lost":
                    self._cover("NO MICROPHONE", f"{what.says} {what.remedy}", None)
                elif what.state == "listening" and self.query_one(Cover).says == "NO MICROPHONE":
                    self._cover("LISTENING", "the microphone is back", COVER_S)
            case told.RemarkBegan():
                status.set_voice(True)
                if self.query_one(Cover).is_answer:
                    self.action_clear()
            case told.FirstLineHeard():
                self._last_key = what.key
                last.show_first(what.text)
            case told.FirstLineDropped():
                last.show_first("")
            case told.RemarkStored():
                self._last_key = what.key
                last.show_remark(what.remark)
                if not what.was_left:
                    self._flash()
                self._show_seen(what.remark)
            case told.RemarkErased():
                last.take_back(what.text or f"({what.why}; erased)")
            case told.CueTaken():
                wait_s = None if what.cue == "close" and what.says == "CLOSE?" else COVER_S
                self._cover(what.says, what.more, wait_s)
            case told.JobOpened():
                self._cover("WHERE IT WAS LEFT", "\n".join(what.lines), ANSWER_S, is_answer=True)
            case told.AnswerGiven():
                self._cover(what.says, "\n".join(what.more), ANSWER_S, is_answer=True)
            case told.LogChanged():
                self._show_log(what.log)
            case told.StepShown():
                self._show_step(what)
            case told.StepSaid():
                if what.says:
                    self._cover(what.says, said_lines(what), ANSWER_S if what.doubts else COVER_S)
                elif what.doubts:
                    self._cover("CHECK THIS", said_lines(what), ANSWER_S)
                elif what.fine:
                    self.notify(said_lines(what), timeout=10)
            case told.RebuildSummed():
                self._cover(summed_title(what), summed_text(what), ANSWER_S, is_answer=True)
            case told.QueueChanged():
                status.waiting = what.waiting
            case told.Trouble():
                self._show_trouble(what)
            case told.PersonNamed():
                status.person = what.person or ""
            case told.BenchReady():
                if not last.has_remark:
                    last.show_words(
                        "Ready. Just speak." if self.bench.person else 'Ready. Say "this is ... speaking", then go on.'
                    )
            case told.JobClosed():
                status.closed = what.closed
            case told.CautionGiven():
                self.notify(one_line(f"{what.says} {what.defer}"), title="Take care", severity="warning", timeout=20)
            case told.OutageNoted():
                gone_s = (what.ended - what.began).total_seconds()
                self.notify(f"Nothing was heard for {gone_s:.0f} s ({what.why}). It is in the log.", timeout=10)

    def _show_log(self, log: Log) -> None:
        """Show the list by part; it stays where the reader has scrolled it. A rebuild shows its step there."""
        last = self.query_one(LastRemark)
        if log.remarks and (not self.bench.is_rebuild or last.has_remark):
            last.settle(log.remarks[-1])
        if self.bench.is_rebuild:
            return
        box = self.query_one("#parts", VerticalScroll)
        at_end = box.scroll_offset.y >= box.max_scroll_y - 1
        self.query_one("#parts_text", Static).update(log_by_part(log))
        if at_end:
            self.call_after_refresh(box.scroll_end, animate=False)
        unsaid = answers.list_unsaid(log)
        text = Text("\n".join(f"? {one_line(line)}" for line in unsaid[-6:]) or "nothing")
        if len(unsaid) > 6:
            text.append(f"\n  and {len(unsaid) - 6} more (l)")
        self.query_one("#unsaid", Static).update(text)
        self.query_one(LastPhoto).show(log)

    def _show_step(self, step: told.StepShown) -> None:
        """Show the step at hand, with the photo of how it sat."""
        self._step = step
        box = self.query_one("#parts", VerticalScroll)
        box.border_subtitle = step_title(step)
        width = max(20, box.content_size.width - 1)
        self.query_one("#parts_text", Static).update(step_text(step, width, box.content_size.height))
        box.scroll_home(animate=False)
        self.query_one("#unsaid", Static).update(open_text(step))
        self.query_one(LastPhoto).show_file(step.picture, step.picture_file)

    def _show_seen(self, remark: Remark) -> None:
        def look(bench: BenchSitting) -> None:
            found = answers.seen_for_remark(bench.archive, bench.log, remark)
            self.call_from_thread(self._write_seen, found)

        self.bench.ask(look)

    def _write_seen(self, found: answers.BenchAnswer | None) -> None:
        text = Text("nothing of this in earlier jobs") if found is None else Text("\n".join([found.says, *found.more]))
        self.query_one("#seen", Static).update(text)

    def _show_trouble(self, what: told.Trouble) -> None:
        box = self.query_one("#trouble", Static)
        box.update(Text(f"! {one_line(what.says)} {one_line(what.remedy)}" if what.says else "", "bold"))
        box.set_class(bool(what.says), "on")

    def _flash(self) -> None:
        """Change the whole screen for a moment, for those in ear defenders."""
        self.screen.add_class("stored")
        self.set_timer(FLASH_S, lambda: self.screen.remove_class("stored"))

    def _cover(self, says: str, more: str, wait_s: float | None, *, is_answer: bool = False) -> None:
        self.query_one(Cover).show(says, more, is_answer=is_answer)
        if self._cover_timer is not None:
            self._cover_timer.stop()
        self._cover_timer = self.set_timer(wait_s, self.action_clear) if wait_s is not None else None

    def _show_toggle(self, state: str) -> None:
        button = self.query_one("#toggle_button", Button)
        key = key_name(self._keys["listen"])
        if self.bench.by_key and state == "listening":
            button.label = f"{key}: START / STOP A REMARK"
        else:
            button.label = f"{key}: LISTEN AGAIN" if state == "asleep" else f"{key}: STOP LISTENING"
        button.set_class(state == "asleep", "asleep")

    # --- keys ----------------------------------------------------------------------------------------------------

    @on(Button.Pressed, "#toggle_button")
    def action_listen(self) -> None:
        """Stop or start listening."""
        self.bench.toggle()

    def action_scratch(self) -> None:
        """Strike the last remark out."""
        self.bench.take_cue(Cue(name="scratch"))

    def action_photo(self) -> None:
        """Let the next picture go with what was said last."""
        self.bench.type_remark("Photo.")

    def action_read_back(self) -> None:
        """Read the last remark back."""
        self.bench.take_cue(Cue(name="read back"))

    def action_left(self) -> None:
        """Say what has not been said yet."""
        self.bench.take_cue(Cue(name="left"))

    def action_where(self) -> None:
        """Ask where something was put."""
        self._ask("Where is", lambda words: self.bench.take_cue(Cue(name="where", about=words)))

    def action_step_done(self) -> None:
        """Tick the step."""
        self.bench.take_step(RebuildCue(name="done"))

    def action_step_torque(self) -> None:
        """Tick the step, its torque set."""
        self.bench.take_step(RebuildCue(name="torque set"))

    def action_step_next(self) -> None:
        """Go to the next step."""
        self.bench.take_step(RebuildCue(name="next"))

    def action_step_back(self) -> None:
        """Go to the step before."""
        self.bench.take_step(RebuildCue(name="back"))

    def action_step_skip(self) -> None:
        """Skip the step, and say why."""
        if self.bench.is_rebuild:
            self._ask("Skipped because", lambda words: self.bench.take_step(RebuildCue(name="skip", rest=words)))

    def action_type(self) -> None:
        """Type a remark."""
        self._ask("Remark", self.bench.type_remark)

    def action_who(self) -> None:
        """Say who speaks."""
        self._ask("Who is speaking", self.bench.name_person)

    def _ask(self, what: str, then: Callable[[str], None]) -> None:
        def take(words: str | None) -> None:
            if words and words.strip():
                then(words.strip())

        self.push_screen(AskLine(what), take)

    def action_desk(self) -> None:
        """Go to the desk."""
        if self.bench.log is not None:
            self.push_screen(DeskScreen(self.bench, self.bench.log))

    def action_mode(self) -> None:
        """Let a key start and stop each remark, or the voice."""
        self.bench.set_by_key(not self.bench.by_key)
        self.set_timer(0.3, lambda: self._show_toggle("listening"))

    def action_look(self) -> None:
        """Change the look."""
        self._look = NEXT_LOOK[self._look]
        self.theme = LOOKS[self._look].name

    def action_close(self) -> None:
        """Ask whether to close the job."""
        self.bench.take_cue(Cue(name="close"))

    def action_yes(self) -> None:
        """Close the job, once it was asked."""
        if self.query_one(Cover).says == "CLOSE?":
            self.bench.take_cue(Cue(name="yes"))

    def action_no(self) -> None:
        """Leave the job open, or open it again."""
        asked = self.query_one(Cover).says == "CLOSE?"
        self.bench.take_cue(Cue(name="no" if asked else "reopen"))

    def action_clear(self) -> None:
        """Take away what covers the screen."""
        self.query_one(Cover).hide()

    def action_help(self) -> None:
        """Show the keys that work."""
        lines = []
        for key in KEYS:
            said = f'   say "{key.say}"' if key.say else ""
            lines.append(f"{key_name(self._keys[key.id]):>6}  {key.does}{said}")
        self._cover("KEYS", "\n".join(lines), None)

    async def action_quit(self) -> None:
        """End the sitting; what waits is written down first."""
        if self._ending:
            return
        self._ending = True
        self._cover("WRITING DOWN", "what waits is written down; then it ends", None)
        self.run_worker(self._stop_bench, thread=True)

    def _stop_bench(self) -> None:
        self.bench.stop()
        self.call_from_thread(self.exit)

    def on_unmount(self) -> None:
        """Stop listening, however the screen ends."""
        self.bench.stop(wait_s=5.0)

    def now_text(self) -> str:
        """Give the time of day of the shop."""
        return f"{datetime.now(self._zone):%H:%M}"


def picture_of(app: App[Any]) -> str:
    """Give the screen as SVG, without the frame of a window and the fonts from elsewhere that the export puts in."""
    svg = app.export_screenshot(title="")
    for unwanted in (
        r'<g transform="translate\([^)]*\)">\s*(?:<circle [^>]*/>\s*)+</g>', r"@font-face\s*{[^}]*}", r"<!--.*?-->",
        r'<text[^>]*class="[^"]*-title"[^>]*>[^<]*</text>',
    ):  # fmt: skip
        svg = re.sub(unwanted, "", svg, flags=re.DOTALL)
    return svg.replace("Fira Code", "DejaVu Sans Mono")
