"""The one family of errors, and the problems that are told beside results.

In: what happened, in words. Out: an error that the two fronts print as one line,
or a problem that is listed and does not stop the job.
Never prints and never exits; only the command line and the screen do.
"""

from __future__ import annotations

from dataclasses import dataclass

NOTHING_FOUND = 1
WRONG_USE = 2
COULD_NOT = 3


class NotebookError(Exception):
    """Say what happened, what is safe and what to do, with the exit status for it.

    `message` says what happened (and what is safe where that is not plain),
    `remedy` what to do now; `exit_status` is 1 nothing found, 2 wrong use, 3 could not.
    """

    def __init__(self, message: str, remedy: str = "", exit_status: int = COULD_NOT) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy
        self.exit_status = exit_status

    def __str__(self) -> str:
        return one_line(f"{self.message} {self.remedy}".strip())


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something that went wrong with one remark, sound or photo while the rest went on."""

    about: str
    """The file, remark or line it is about, as a person would name it."""
    message: str
    """What happened and what is safe."""
    remedy: str = ""
    """What to do, where there is something to do."""

    def __str__(self) -> str:
        return one_line(f"{self.about}: {self.message} {self.remedy}".strip())


_KEPT = frozenset("\u00ad\u061c\u200c\u200d\u200e\u200f\u2060")
"""Unseen signs that scripts and joined pictures need, and that only ever touch their neighbours."""


def one_line(text: str) -> str:
    """Fold text to one line without signs that drive a terminal, so that a file name cannot break a message."""
    return "".join(
        c if c.isprintable() or c in _KEPT else " " if c.isspace() else "\N{REPLACEMENT CHARACTER}" for c in text
    )
