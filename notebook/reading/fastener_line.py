"""A remark laid out piece by piece, each piece with the chunk and the clause it stands in.

In: the clauses of a remark. Out: a `FastenerLine`, which the rules of fasteners, tools and places walk along.
Speech about fasteners runs over the edges of clauses ("eight M8s, thirteen heads, two loose the rest tight"),
so its rules look at words, and ask the clause only how it is meant.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from notebook.reading.clause import Clause
from notebook.reading.lexicon import Lexicon
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk
from notebook.reading.state import State
from notebook.reading.tidy import Piece

STOPS = frozenset({".", ";", "!", "?", "...", "…", ":"})
_LARGEST_COUNT = 200
_NAMING = frozenset(
    {"number", "no.", "numbers", "bag", "tray", "tin", "box", "tub", "shelf", "drawer", "cylinder", "#"}
)


@dataclass(slots=True)
class FastenerLine:
    """The pieces of a remark with what is known of each."""

    pieces: Sequence[Piece]
    lexicon: Lexicon
    lows: list[str]
    chunks: list[Chunk | None]
    clauses: list[Clause | None]
    order: dict[int, int] = field(default_factory=dict)
    """id of a clause -> its place among the clauses."""

    def __len__(self) -> int:
        return len(self.pieces)

    def low(self, at: int) -> str:
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def chunk(self, at: int) -> Chunk | None:
        return self.chunks[at] if 0 <= at < len(self.chunks) else None

    def clause(self, at: int) -> Clause | None:
        return self.clauses[at] if 0 <= at < len(self.clauses) else None

    def kind(self, at: int) -> str:
        return self.pieces[at].kind if 0 <= at < len(self.pieces) else "sign"

    def is_stop(self, at: int) -> bool:
        """Tell whether a sentence ends here."""
        return not 0 <= at < len(self.lows) or (self.kind(at) == "sign" and self.lows[at] in STOPS)

    def is_sign(self, at: int) -> bool:
        return not 0 <= at < len(self.lows) or (self.kind(at) == "sign" and self.lows[at] != "'s")

    def words(self, start: int, end: int) -> tuple[str, ...]:
        return tuple(self.lows[max(0, start) : max(0, end)])

    def whole_number(self, at: int) -> int | None:
        """Give a count said at a piece; None for a name ("number five", "bag 3"), a fraction or an amount."""
        if self.kind(at) != "number" or self.low(at - 1) in _NAMING:
            return None
        value = self.pieces[at].value
        return int(value) if value is not None and value.denominator == 1 and 0 < value <= _LARGEST_COUNT else None

    def phrase_end(self, at: int, phrases: Collection[tuple[str, ...]], longest: int) -> int | None:
        """Give where the longest of the phrases that begins here ends."""
        for n in range(min(longest, len(self.lows) - at), 0, -1):
            if tuple(self.lows[at : at + n]) in phrases:
                return at + n
        return None

    def form_at(self, at: int) -> tuple[str, int] | None:
        """Give the form of fastener named here and where its name ends ("socket head cap screws")."""
        for n in range(min(_LONGEST_FORM, len(self.lows) - at), 0, -1):
            form = self.lexicon.fasteners.get(tuple(self.lows[at : at + n]))
            if form is not None:
                return form, at + n
        return None

    def sentence_start(self, at: int) -> int:
        while at > 0 and not self.is_stop(at - 1):
            at -= 1
        return at

    def clause_start(self, at: int) -> int:
        """Give the first piece of the clause, or of the fragment between signs, that a piece stands in."""
        clause = self.clause(at)
        return clause.start if clause is not None else at


_LONGEST_FORM = 4


def lay_out(clauses: Sequence[Clause], state: State) -> FastenerLine:
    """Lay a remark out; pieces of no clause (signs, joining words, words taken back) have neither chunk nor clause."""
    pieces = state.tidied.pieces
    chunks: list[Chunk | None] = [None] * len(pieces)
    places: list[Clause | None] = [None] * len(pieces)
    for clause in clauses:
        for chunk in clause.chunks:
            for at in range(chunk.start, min(chunk.end, len(pieces))):
                chunks[at], places[at] = chunk, clause
    return FastenerLine(
        pieces=pieces, lexicon=state.lexicon, lows=[p.low for p in pieces], chunks=chunks, clauses=places,
        order={id(clause): n for n, clause in enumerate(clauses)},
    )  # fmt: skip


def one_of(low: str) -> str:
    """Give the singular of a word."""
    return singular(low)
