"""The words of a remark laid out for chunking, and the chunk itself.

In and out: used by the modules that group words. Holds no rule.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from notebook.reading.amounts import Amount
from notebook.reading.lexicon import Condition, Lexicon
from notebook.reading.matching import Match
from notebook.reading.tidy import Piece


@dataclass(slots=True)
class Chunk:
    """A stretch of pieces [start, end) that means one thing."""

    kind: str
    """`part`, `condition`, `verb`, `aux`, `amount`, `number`, `thread`, `preposition`, `particle`, `conjunction`,
    `subordinator`, `cue`, `adverb`, `adjective`, `question`, `interjection`, `sign`."""
    start: int
    end: int
    low: str
    tag: str = ""
    name: str | None = None
    """Component as said, singular and without position; None for a pronoun or an unspecific noun."""
    position: str | None = None
    count: int | None = None
    of: int | None = None
    determiner: str | None = None
    pronoun: str | None = None
    """`it`, `they`, `one`, `other`, `rest`, `this`... when it points back."""
    is_plural: bool = False
    is_negative: bool = False
    """Said with "no", "neither", "none of"."""
    is_known: bool = False
    """Named in the vocabulary of components."""
    is_unspecific: bool = False
    fastener: str | None = None
    quantity: str | None = None
    tool: str | None = None
    container: bool = False
    owner: str | None = None
    """What it belongs to: "the pinion" in "the pinion's teeth"."""
    adjectives: list[str] = field(default_factory=list)
    attributes: list[tuple[Condition, str]] = field(default_factory=list)
    conditions: tuple[Condition, ...] = ()
    amount: Amount | None = None
    value: Fraction | None = None
    thread: str | None = None
    length_mm: Fraction | None = None
    cue: str | None = None
    """Name of the cue list."""

    @property
    def is_part(self) -> bool:
        return self.kind == "part"


@dataclass(slots=True)
class Sheet:
    pieces: Sequence[Piece]
    tags: Sequence[str]
    matches: Mapping[int, Sequence[Match]]
    lexicon: Lexicon

    def low(self, at: int) -> str:
        return self.pieces[at].low if 0 <= at < len(self.pieces) else ""

    def tag(self, at: int) -> str:
        return self.tags[at] if 0 <= at < len(self.tags) else "Z"

    def match(self, at: int, label: str) -> Match | None:
        return next((m for m in self.matches.get(at, ()) if m.label == label), None)


def inside_name(sheet: Sheet, start: int, end: int) -> bool:
    """Tell whether the words lie inside a longer name that began earlier ("seal lip", "split pin")."""
    for begin in range(max(0, start - 3), start):
        for match in sheet.matches.get(begin, ()):
            if (
                match.label in ("component", "fastener", "tool", "quantity")
                and match.end >= end
                and match.start < start
            ):
                return True
    return False


def is_clause_after(sheet: Sheet, at: int) -> bool:
    """Tell whether a noun phrase with a verb of its own begins here ("... no bother | filler plug's tight")."""
    steps = at
    while steps < len(sheet.pieces) and steps < at + 5 and sheet.tag(steps) in "NLJDPQ":
        steps += 1
    return steps > at and sheet.tag(steps) in ("S", "X", "V")
