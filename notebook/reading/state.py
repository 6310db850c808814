"""What the reader remembers within a remark and from remark to remark of a job.

In and out: used by the reading rules. A job's memory ends with the job.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from notebook.entries import Entry, Finding
from notebook.reading.focus import Bearer, Focus
from notebook.reading.lexicon import Lexicon
from notebook.reading.sheets import Chunk
from notebook.reading.tidy import Tidied

if TYPE_CHECKING:
    from notebook.reading.clause import Clause
    from notebook.reading.figures import Figure
    from notebook.reading.line import Line


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
    words: set[str] = field(default_factory=set)
    """Words of the parts named so far in the job."""
    named: tuple[Bearer, ...] = ()
    """Parts named in the remark before, each once."""
    dispositions: tuple[Entry, ...] = ()
    measured: Entry | None = None
    """The last measurement."""


@dataclass(slots=True)
class State:
    """Where the reading of one remark stands."""

    tidied: Tidied
    lexicon: Lexicon
    memory: JobMemory
    focus: Focus
    last_chunks: list[Chunk] = field(default_factory=list)
    last_negation: str | None = None
    denied: list[Finding] = field(default_factory=list)
    """What "it's not the bearing that's noisy" denied, for "it's the gear"."""
    units: list[tuple[int, str, str | None]] = field(default_factory=list)
    """(piece, unit, dimension) of every amount of the remark that names its unit."""
    quantity: str | None = None
    amounts: list[Entry] = field(default_factory=list)
    """Measurements and mileages read so far in the remark."""
    thousands: bool = False
    findings: list[Finding] = field(default_factory=list)
    """Findings so far, those of the remark before first."""
    figures: tuple[bool, list[Figure]] | None = None
    """The figures of the remark, and whether it was taken to go on with a size just said."""
    lows: list[str] = field(init=False)
    """The words of the remark, one a piece."""
    numbers: list[int] = field(init=False)
    """The pieces that are numbers or amounts."""
    line: tuple[Clause, Line] | None = None
    """The clause that was laid out last, and how."""
    own_findings: list[Finding] = field(default_factory=list)
    """Findings of this remark."""
    shadow: list[Finding] = field(default_factory=list)
    """What the last clause about other machines would have found."""
    is_correcting: bool = False
    """The remark takes something back and says it again."""

    def __post_init__(self) -> None:
        self.lows = [p.low for p in self.tidied.pieces]
        self.numbers = [n for n, p in enumerate(self.tidied.pieces) if p.kind in ("number", "amount")]

    def remember_findings(self, found: list[Finding]) -> None:
        """Keep findings for "the guide's worse" and its like."""
        self.findings.extend(found)
        self.own_findings.extend(found)

    def unit_near(self, piece: int, *, running: bool) -> str | None:
        """Give the unit that a number without one takes: the one said last, else the one said next."""
        fitting = [(at, unit) for at, unit, dimension in self.units if (dimension == "running") == running]
        earlier = [unit for at, unit in fitting if at < piece]
        later = [unit for at, unit in fitting if at > piece]
        return earlier[-1] if earlier else later[0] if later else None

    def span(self, start: int, end: int) -> tuple[int, int]:
        """Give the characters of pieces [start, end)."""
        pieces = self.tidied.pieces
        return pieces[start].start, pieces[end - 1].end

    def words(self, start: int, end: int) -> str:
        """Give the tidied text of pieces [start, end)."""
        first, last = self.span(start, end)
        return self.tidied.text[first:last]
