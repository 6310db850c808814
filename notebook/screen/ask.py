"""One line to type into: who speaks, a remark, a word put right.

In: what is asked, perhaps with words to begin from. Out: the words, or None where it was left.
"""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Label


class AskLine(ModalScreen[str | None]):
    """Asks for one line."""

    BINDINGS: ClassVar = [Binding("escape", "leave", "leave it", id="ask.leave")]

    def __init__(self, asked: str, words: str = "", note: str = "") -> None:
        super().__init__()
        self._asked, self._words, self._note = asked, words, note

    def compose(self) -> ComposeResult:
        """Lay the line out."""
        with Vertical(id="ask"):
            yield Label(self._asked, markup=False)
            yield Input(self._words, id="ask_line")
            yield Label(self._note or "Enter takes it, Esc leaves it.", markup=False)

    @on(Input.Submitted)
    def _take(self, event: Input.Submitted) -> None:
        self.dismiss(event.value)

    def action_leave(self) -> None:
        """Leave it."""
        self.dismiss(None)
