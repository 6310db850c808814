"""What the reader remembers within a remark and from remark to remark of a job.

In and out: used by the reading rules. A job's memory ends with the job.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from notebook.entries import Entry
from notebook.reading.bearers import Bearer, Focus
from notebook.reading.chunks import Chunk
from notebook.reading.lexicon import Lexicon
from notebook.reading.tidy import Tidied


@dataclass(slots=True)
class JobMemory:
    """What earlier remarks of the job leave behind for "this one's cracked too"."""

    bearer: Bearer | None = None
    group: str | None = None
    total: int | None = None
    line: str | None = None
    """Line or id of the remark the bearer comes from."""
    entries: tuple[Entry, ...] = ()
    """Entries of the remark before."""
    habit: str | None = None
    running_unit: str | None = None
    length_unit: str | None = None
    quantity: str | None = None
    fastener: str | None = None


@dataclass(slots=True)
class State:
    """Where the reading of one remark stands."""

    tidied: Tidied
    lexicon: Lexicon
    memory: JobMemory
    focus: Focus
    last_chunks: list[Chunk] = field(default_factory=list)
    last_negation: str | None = None
    unit: str | None = None
    quantity: str | None = None
    thousands: bool = False
    last_amounts: bool = False
    """An amount was said in the clause before or the one before that."""
    last_role: str | None = None

    def span(self, start: int, end: int) -> tuple[int, int]:
        """Give the characters of pieces [start, end)."""
        pieces = self.tidied.pieces
        return pieces[start].start, pieces[end - 1].end

    def words(self, start: int, end: int) -> str:
        """Give the tidied text of pieces [start, end)."""
        first, last = self.span(start, end)
        return self.tidied.text[first:last]
