"""Lays a clause out word by word, each word with the chunk it stands in.

In: the chunks of a clause. Out: a `Line`. What a clause was cut off by mistake is put back ("pulled | it off"),
and a verb that was taken for part of a name is taken out of it ("caps unwound").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from notebook.reading.clause import Clause
from notebook.reading.deed_words import BASE, PAST, DeedWords, deed_words
from notebook.reading.lexicon import Lexicon
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

JOINS = frozenset({"and", "&", "plus", "an'", ","})
SMALL_KINDS = frozenset({"number", "thread", "determiner", "adjective", "amount"})
_SPEAKING = frozenset(
    [
        "i",
        "you",
        "we",
        "me",
        "us",
        "he",
        "who",
        "somebody",
        "someone",
        "anybody",
        "nobody",
        "everybody",
        "himself",
        "herself",
        "myself",
    ]
)
_LOOKING_ON = 5
"""How many words beyond its end a clause may be read on ("I'll see | what the owner says")."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One word of a clause."""

    low: str
    at: int
    """Place of its chunk in the line."""
    is_part: bool
    may_be_verb: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A clause as words over chunks."""

    chunks: tuple[Chunk, ...]
    words: tuple[Word, ...]
    lows: tuple[str, ...]
    deeds: DeedWords
    lexicon: Lexicon
    own: int = 0
    """First word of the clause itself; the words before it were cut off it by mistake."""
    after: tuple[str, ...] = ()
    """The words and signs after the clause."""
    within_reach: frozenset[str] = frozenset()
    """The words of the clause and those after it."""
    people: frozenset[int] = frozenset()
    """Chunks that look like a person's name: "Dougie"."""

    @property
    def next_low(self) -> str:
        return self.after[0] if self.after else ""

    def low(self, at: int) -> str:
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def low_on(self, at: int) -> str:
        """Give a word of the clause or of what follows it ("see | what the owner says")."""
        beyond = at - len(self.lows)
        return self.low(at) if beyond < 0 else self.after[beyond] if beyond < len(self.after) else ""

    def base(self, at: int) -> str:
        return self.deeds.base_of(self.low(at))

    def chunk(self, at: int) -> Chunk | None:
        return self.chunks[self.words[at].at] if 0 <= at < len(self.words) else None

    def is_part(self, at: int) -> bool:
        return 0 <= at < len(self.words) and self.words[at].is_part

    def is_past(self, at: int) -> bool:
        """Tell whether the word here can be a past or passive form."""
        found = self.deeds.forms.get(self.low(at))
        return (found is not None and PAST in found[1]) or "ed" in self.lexicon.word_classes(self.low(at))

    def first_word(self, chunk_at: int) -> int:
        """Give the place of a chunk's first word."""
        return next((n for n, word in enumerate(self.words) if word.at >= chunk_at), len(self.words))

    def list_at(self, chunk_at: int) -> tuple[int, int] | None:
        """Give chunks [first, last) of the part that begins here, or of a list of parts: "the pin and its circlip"."""
        first = chunk_at
        while first < len(self.chunks) and self.chunks[first].kind in SMALL_KINDS:
            first += 1
        if first >= len(self.chunks) or not is_thing(self.chunks[first]):
            return None
        last = first + 1
        while last + 1 < len(self.chunks) and self.chunks[last].low in JOINS and is_thing(self.chunks[last + 1]):
            last += 2
        while last < len(self.chunks) and self.chunks[last].pronoun in ("both", "all") and not self.chunks[last].name:
            last += 1
        return first, last


def is_thing(chunk: Chunk) -> bool:
    """Tell whether a chunk names or points to something that is not a person speaking."""
    return chunk.is_part and chunk.pronoun not in _SPEAKING


def lay_out(clause: Clause, state: State) -> Line:
    """Lay a clause out; the end of the clause before is put back where a verb was cut off its object."""
    if state.line is None or state.line[0] is not clause:
        state.line = (clause, _lay_out(clause, state))
    return state.line[1]


def _lay_out(clause: Clause, state: State) -> Line:
    deeds = deed_words()
    pieces = state.tidied.pieces
    before = list(state.last_chunks) if _was_cut(state.last_chunks, clause) else []
    chunks = [part for chunk in (*before, *clause.chunks) for part in _split_verb(chunk, deeds, state.lexicon)]
    words: list[Word] = []
    own = 0
    for at, chunk in enumerate(chunks):
        said = chunk.low.split()
        is_part = chunk.is_part and not _is_verb_after_all(said, words, deeds)
        words.extend(Word(low=low, at=at, is_part=is_part, may_be_verb=not is_part) for low in said)
        if chunk.start < clause.start:
            own = len(words)
    lows = tuple(w.low for w in words)
    after = tuple(p.low for p in pieces[clause.end : clause.end + _LOOKING_ON])
    return Line(
        chunks=tuple(chunks),
        words=tuple(words),
        lows=lows,
        deeds=deeds,
        lexicon=state.lexicon,
        own=own,
        after=after,
        within_reach=frozenset(lows).union(after),
        people=frozenset(n for n, chunk in enumerate(chunks) if _is_name(chunk, state)),
    )


_ALWAYS_VERBS = frozenset({"need", "needs", "wants", "want", "needing", "wanting", "due"})
_BEFORE_BASE = frozenset(
    ["'ll", "will", "to", "can", "can't", "won't", "gonna", "must", "let's", "'d", "would", "could"]
)


def _is_verb_after_all(said: Sequence[str], before: Sequence[Word], deeds: DeedWords) -> bool:
    """ "It only needs ...", "it'll bore out": a word taken for a name that can only be a verb where it stands."""
    if len(said) > 1:
        return False
    if said[0] in _ALWAYS_VERBS:
        return True
    forms = deeds.forms.get(said[0])
    return bool(before) and before[-1].low in _BEFORE_BASE and forms is not None and BASE in forms[1]


def _was_cut(before: Sequence[Chunk], clause: Clause) -> bool:
    """Tell whether a clause is the rest of the one before: a part straight after a verb that has none yet."""
    if not before:
        return False
    last, first = before[-1], clause.chunks[0]
    if last.end != clause.start or clause.joiner not in ("", last.low) or not (first.is_part or first.low == "clear"):
        return False
    if first.pronoun in ("i", "we", "you"):
        return False
    if last.kind == "verb" or (last.kind == "aux" and last.low in ("get", "had", "have", "'ll", "will")):
        return True
    return last.kind == "condition" and len(before) > 1 and before[-2].low in ("'ll", "to", "will")


def _split_verb(chunk: Chunk, deeds: DeedWords, lexicon: Lexicon) -> list[Chunk]:
    """Take a verb off the end of a name: "caps | unwound", "seals | due", where the name was read too far."""
    words, name = chunk.low.split(), chunk.name or ""
    last = words[-1]
    if not chunk.is_part or " " not in name or chunk.end - chunk.start != len(words) or not name.endswith(last):
        return [chunk]
    is_verb = last == "due" or (deeds.is_past(last) and deeds.base_of(last) != last and not lexicon.is_nouny(last))
    if not is_verb or tuple(name.split()) in lexicon.components:
        return [chunk]
    return [
        replace(chunk, end=chunk.end - 1, low=" ".join(words[:-1]), name=" ".join(name.split()[:-1])),
        Chunk("verb", chunk.end - 1, chunk.end, last, tag="E"),
    ]


def _is_name(chunk: Chunk, state: State) -> bool:
    """Tell a person's name from a part's: one unknown word with a capital and no article, not the first of all."""
    if not chunk.is_part or chunk.name is None or chunk.is_known or chunk.determiner or chunk.fastener:
        return False
    text = state.words(chunk.start, chunk.end)
    return not chunk.is_plural and chunk.start > 0 and " " not in text and text[:1].isupper() and not text.isupper()
