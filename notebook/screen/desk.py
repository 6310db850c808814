"""The desk: go through the remarks by keyboard, play them, and put right what was misheard or misread.

In: the log of the job and keys. Out: mends, asked of the core. Holds no rules of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from notebook.errors import NotebookError, one_line
from notebook.jobs.sitting import BenchSitting
from notebook.nouns import Log, Remark
from notebook.screen.ask import AskLine
from notebook.screen.words import understood_line

_KEYS = (
    ("p", "play", "play"), ("e", "retype", "retype"), ("c", "change", "change"), ("a", "add", "add"), ("x", "strike", "strike"),
    ("y", "confirm", "confirm"), ("d", "decide", "decide"), ("t", "teach", "teach"), ("escape", "leave", "bench"),
)  # fmt: skip


class DeskScreen(Screen[None]):
    """Remarks on the left, the entries of one on the right."""

    BINDINGS: ClassVar = [Binding(key, action, does, id=f"desk.{action}") for key, action, does in _KEYS]

    def __init__(self, bench: BenchSitting, log: Log) -> None:
        super().__init__()
        self._bench, self._log = bench, log
        self._offered: tuple[str, str] | None = None

    def compose(self) -> ComposeResult:
        """Lay the desk out."""
        yield Static(id="desk_head")
        with Horizontal(id="desk_lists"):
            yield OptionList(id="desk_remarks")
            with Vertical(id="desk_side"):
                yield Static(id="desk_said")
                yield OptionList(id="desk_entries")
        yield Static(id="desk_note")
        yield Static(
            " ".join(f"[reverse] {'Esc' if k == 'escape' else k} [/] {does} " for k, _, does in _KEYS), id="desk_hints"
        )

    def on_mount(self) -> None:
        """Show the last remark first."""
        self.query_one("#desk_head", Static).update(
            Text(f" DESK  job {one_line(self._log.job.number)}  {one_line(self._log.job.machine.kind)}", "bold")
        )
        self._fill(len(self._log.remarks) - 1)
        self.query_one("#desk_remarks", OptionList).focus()

    def _fill(self, at: int) -> None:
        remarks = self.query_one("#desk_remarks", OptionList)
        remarks.clear_options()
        for remark in self._log.remarks:
            sign = "?" if remark.doubt or any(e.doubt for e in remark.entries) else " "
            remarks.add_option(
                Option(
                    Text(
                        f"{remark.order:3} {sign} {one_line(remark.tidied or remark.text)}",
                        no_wrap=True,
                        overflow="ellipsis",
                    )
                )
            )
        if self._log.remarks:
            remarks.highlighted = max(0, min(at, len(self._log.remarks) - 1))

    @property
    def _at(self) -> int:
        return self.query_one("#desk_remarks", OptionList).highlighted or 0

    @property
    def _remark(self) -> Remark | None:
        return self._log.remarks[self._at] if self._log.remarks else None

    @property
    def _entry_id(self) -> str | None:
        remark, at = self._remark, self.query_one("#desk_entries", OptionList).highlighted
        return remark.entries[at].id if remark is not None and at is not None and at < len(remark.entries) else None

    @on(OptionList.OptionHighlighted, "#desk_remarks")
    def _show_remark(self) -> None:
        remark = self._remark
        if remark is None:
            return
        said = Text(f'"{one_line(remark.text)}"\n', "bold")
        if remark.heard != remark.text:
            said.append(f'heard: "{one_line(remark.heard)}"\n')
        if remark.doubt:
            said.append(f"? {one_line(remark.doubt)}\n", "bold")
        self.query_one("#desk_said", Static).update(said)
        entries = self.query_one("#desk_entries", OptionList)
        entries.clear_options()
        for entry in remark.entries:
            mended = "  (mended)" if entry.mended else ""
            entries.add_option(Option(Text(f"{entry.kind}: {understood_line(entry).strip()}{mended}")))
        if remark.entries:
            entries.highlighted = 0

    # --- keys ----------------------------------------------------------------------------------------------------

    def action_leave(self) -> None:
        """Back to the bench."""
        self.dismiss()

    def action_play(self) -> None:
        """Play the sound of the remark."""
        remark = self._remark
        if remark is not None:
            self._do(lambda bench: bench.play_remark(remark), "playing")

    def action_retype(self) -> None:
        """Type what was really said."""
        if (remark := self._remark) is not None:
            self._ask(
                "What was really said", remark.text, lambda words: self._mend(lambda b: b.mend_words(remark, words))
            )

    def action_change(self) -> None:
        """Give a field of the entry another value."""
        remark, entry_id = self._remark, self._entry_id
        if remark is None or entry_id is None:
            return
        self._ask(
            "Change, FIELD=VALUE", "condition=", lambda words: self._mend(lambda b: b.mend_entry(remark, entry_id, "set", words)),
            "component, position, condition, presence, count, of, value, unit, role, action, place ...",
        )  # fmt: skip

    def action_add(self) -> None:
        """Add an entry that was not read."""
        if (remark := self._remark) is not None:
            self._ask(
                "Add, KIND FIELD=VALUE, FIELD=VALUE", "finding component=, condition=",
                lambda words: self._mend(lambda b: b.add_entry(remark, words)),
            )  # fmt: skip

    def action_strike(self) -> None:
        """Strike the entry out."""
        remark, entry_id = self._remark, self._entry_id
        if remark is not None and entry_id is not None:
            self._mend(lambda b: b.mend_entry(remark, entry_id, "strike", ""))

    def action_confirm(self) -> None:
        """Accept the entry as it stands, doubt and all."""
        remark, entry_id = self._remark, self._entry_id
        if remark is not None and entry_id is not None:
            self._mend(lambda b: b.mend_entry(remark, entry_id, "accept", ""))

    def action_decide(self) -> None:
        """Write down what was decided about the part of the entry."""
        remark, entry_id = self._remark, self._entry_id
        entry = next((e for e in remark.entries if e.id == entry_id), None) if remark is not None else None
        component = getattr(entry, "component", None)
        if component is None:
            return
        position = getattr(entry, "position", None)
        part = f"{component} ({position})" if position else component
        self._ask(
            f"Decide on the {one_line(part)}", "approved by owner", lambda words: self._do(lambda b: b.decide(part, words), "decided"),
            "approved, declined, asked or advised; by whom; then a colon and the words",
        )  # fmt: skip

    def action_teach(self) -> None:
        """Teach the vocabulary a word."""
        name, heard = self._offered or ("", "")
        self._ask(
            "Teach, NAME = OTHER WAY OF SAYING IT", f"{name} = {heard}" if name else "",
            lambda words: self._do(lambda b: b.teach(words), "taught"),
        )  # fmt: skip

    def _ask(self, asked: str, words: str, then: Callable[[str], None], note: str = "") -> None:
        self.app.push_screen(AskLine(asked, words, note), lambda said: then(said) if said and said.strip() else None)

    def _mend(self, what: Callable[[BenchSitting], Any]) -> None:
        def mend(bench: BenchSitting) -> Any:
            self._offered = what(bench)
            return self._offered

        self._do(mend, "mended")

    def _do(self, what: Callable[[BenchSitting], Any], done: str) -> None:
        def run(bench: BenchSitting) -> None:
            try:
                what(bench)
                note = done
            except NotebookError as error:
                note = f"! {error}"
            self.app.call_from_thread(self._did, note, bench.log)

        self._bench.ask(run)

    def _did(self, note: str, log: Log | None) -> None:
        at = self._at
        if log is not None:
            self._log = log
            self._fill(at)
            self._show_remark()
        if self._offered is not None and note == "mended":
            note = f'mended. Teach it for next time: "{self._offered[1]}" is {self._offered[0]}? (t)'
        self.query_one("#desk_note", Static).update(Text(one_line(note)))
