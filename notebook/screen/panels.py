"""The panels of the bench: the line of state, the last remark, the last photo, and what covers the screen.

In: what to show. Out: lines. A panel knows its own size and nothing else.
"""

from __future__ import annotations

from pathlib import Path

from rich.style import Style
from rich.text import Text
from textual.reactive import reactive
from textual.widgets import Static

from notebook.errors import one_line
from notebook.nouns import Log, Remark
from notebook.screen.block_letters import block_lines
from notebook.screen.words import last_remark_text, level_bar

DEAD_AFTER_S = 5.0
_SIGNS = {
    "listening": "\N{BLACK CIRCLE}",
    "asleep": "\N{WHITE CIRCLE}",
    "lost": "!",
    "stopped": "\N{WHITE SQUARE}",
    "speaking": "\N{BLACK RIGHT-POINTING TRIANGLE}",
    "starting": "\N{MIDDLE DOT}",
}
_WORDS = {"listening": "LISTENING", "asleep": "ASLEEP", "lost": "NO MICROPHONE", "stopped": "STOPPED", "speaking": "SPEAKING", "starting": "STARTING"}  # fmt: skip


class StatusLine(Static):
    """The state: always there, in words."""

    state: reactive[str] = reactive("starting")
    job: reactive[str] = reactive("")
    person: reactive[str] = reactive("")
    waiting: reactive[int] = reactive(0)
    closed: reactive[bool] = reactive(False)
    hears: reactive[str] = reactive("")
    bar: reactive[str] = reactive("")

    def set_level(self, db: float, voice_on: bool, dead_s: float) -> None:
        """Show how loud it is."""
        self.bar = level_bar(db)
        self.hears = "NOT HEARING YOU" if dead_s > DEAD_AFTER_S else "HEARING YOU" if voice_on else "quiet"

    def set_voice(self, on: bool) -> None:
        """Show at once that somebody is heard."""
        self.hears = "HEARING YOU" if on else "quiet"

    def render(self) -> Text:
        """Write the line."""
        out = Text(no_wrap=True, overflow="ellipsis")
        out.append(f" {_SIGNS[self.state]} {_WORDS[self.state]} ", "bold reverse")
        if self.state == "listening":
            out.append(f" {self.hears or 'quiet':<15}", "bold" if self.hears != "quiet" else "")
            out.append(self.bar)
        if self.waiting > 1:
            out.append(f"  {self.waiting} WAITING", "bold")
        out.append(
            f"  job {self.job}{' (closed)' if self.closed else ''}  {one_line(self.person) or 'who speaks? (n)'}"
        )
        return out

    def watch_state(self) -> None:
        """Let the whole screen follow the state."""
        for state in _WORDS:
            self.screen.set_class(state == self.state, f"is-{state}")


class LastRemark(Static):
    """The last remark, large, and what was understood beneath it."""

    _remark: Remark | None = None
    _first: str = ""
    _words: str = ""

    @property
    def has_remark(self) -> bool:
        """Whether a remark is shown."""
        return self._remark is not None or bool(self._first)

    def show_words(self, words: str) -> None:
        """Show words of the notebook."""
        self._words = words
        self.refresh(layout=True)

    def show_first(self, words: str) -> None:
        """Show the first line, until the stored words take its place."""
        self._first = words
        self.refresh(layout=True)

    def show_remark(self, remark: Remark) -> None:
        """Show a remark with its entries."""
        self._remark, self._first = remark, ""
        self.refresh(layout=True)

    def settle(self, remark: Remark) -> None:
        """Show the last remark as the log has it now; a first line in between stays."""
        self._remark = remark
        self.refresh(layout=True)

    def take_back(self, words: str) -> None:
        """Show that what was heard was no remark; the last remark comes back."""
        self._first = ""
        self._words = words
        self.refresh(layout=True)

    def render(self) -> Text:
        """Write it as large as the room allows."""
        width, height = max(20, self.content_size.width), max(3, self.content_size.height)
        if self._first:
            lines, whole = block_lines(self._first, width, max(1, (height - 2) // 3))
            out = Text("\n".join(lines), "bold")
            out.append("" if whole else " ...")
            out.append(f'\n.. "{one_line(self._first)}"', "italic")
            return out
        if self._remark is not None:
            return last_remark_text(self._remark, width, height)
        return Text(self._words)


class LastPhoto(Static):
    """The last photo, in half blocks."""

    _shown: tuple[str, int, int] | None = None

    def show(self, log: Log) -> None:
        """Show the photo taken last, where there is room for it."""
        if log.photos:
            photo = log.photos[-1]
            file = str(log.folder / "photos" / f"{photo.sha256}.small.jpg") if log.folder is not None else ""
            self.show_file(photo.name, file)

    def show_file(self, name: str, file: str) -> None:
        """Show a small copy of a photo under its name, where there is room for it; nothing for no name."""
        from notebook.photos.half_blocks import read_half_blocks

        columns, lines = self.content_size.width, self.content_size.height
        if not name or not file or columns < 8 or lines < 3:
            self._shown = None
            self.border_subtitle = ""
            self.update(Text(one_line(name)))
            return
        if (file, columns, lines) == self._shown:
            return
        self._shown = (file, columns, lines)
        picture = Text()
        for row in read_half_blocks(Path(file), columns, lines):
            for upper, lower in row:
                picture.append("\N{UPPER HALF BLOCK}", Style(color=_hex(upper), bgcolor=_hex(lower)))
            picture.append("\n")
        self.border_subtitle = one_line(name)[: max(0, columns - 2)]
        self.update(picture)


def _hex(colour: tuple[int, int, int]) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour)


class Cover(Static):
    """What covers the whole screen for a moment: a cue that was understood, an answer, the keys."""

    says = ""
    is_answer = False
    _more = ""

    def show(self, says: str, more: str, *, is_answer: bool) -> None:
        """Cover the screen."""
        self.says, self._more, self.is_answer = says, more, is_answer
        self.add_class("on")
        self.refresh(layout=True)

    def hide(self) -> None:
        """Show the bench again."""
        self.says, self.is_answer = "", False
        self.remove_class("on")

    def render(self) -> Text:
        """Write it large."""
        width = max(20, self.content_size.width or self.app.size.width - 6)
        more = self._more.splitlines()
        height = max(6, (self.content_size.height or self.app.size.height - 2))
        room = max(1, min(4, (height - min(len(more), height - 4) - 1) // 3))
        lines, whole = block_lines(self.says, width, room)
        out = Text("\n".join(lines), "bold")
        if not whole:
            out.append(f" ...\n{one_line(self.says)}", "bold")
        for line in more:
            out.append(f"\n{one_line(line)}")
        return out
