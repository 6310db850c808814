"""Lays a clause out word by word, each word with the chunk it stands in, and finds phrases of deeds in it.

In: the chunks of a clause. Out: a `Line`, and the `Deed`s said in it with their places and their slots.
A phrase may have a part in it ("throw the pin out") and small adverbs ("came straight off").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from notebook.reading.clause import Clause
from notebook.reading.deed_words import AGENT, PARTICLES, PAST, PROCESS, SLOT, DeedWords, Phrase, deed_words
from notebook.reading.lexicon import Lexicon
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

JOINS = frozenset({"and", "&", "plus", "an'", ","})
_MIDDLE = frozenset(
    "straight right clean just all both nicely easily easy then now well finally completely out off back first even only fully apart".split()
)
""" "Came straight off", "is now off": words that may stand inside a phrase."""
_ARTICLES = frozenset({"a", "an", "the", "another", "new"})
_LEADING = frozenset({"the", "a", "an", "all", "both", "them", "those", "these", "just", "only", "about", "back"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One word of a clause."""

    low: str
    at: int
    """Place of its chunk in the line."""
    is_part: bool
    may_be_verb: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """A phrase of a deed over words [start, end) of a line."""

    phrase: Phrase
    start: int
    end: int
    verb: int | None
    """Place of its verb."""
    slot: tuple[int, int] | None = None
    """Chunks [first, last) of the part said inside it or right behind its verb."""

    @property
    def action(self) -> str:
        return self.phrase.action

    @property
    def cue(self) -> str:
        return " ".join(w for w in self.phrase.words if w not in (SLOT, AGENT, PROCESS))


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
    next_low: str = ""
    """The word or sign after the clause."""

    def low(self, at: int) -> str:
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def base(self, at: int) -> str:
        return self.deeds.base_of(self.low(at))

    def chunk(self, at: int) -> Chunk | None:
        return self.chunks[self.words[at].at] if 0 <= at < len(self.words) else None

    def is_part(self, at: int) -> bool:
        return 0 <= at < len(self.words) and self.words[at].is_part

    def first_word(self, chunk_at: int) -> int:
        """Give the place of a chunk's first word."""
        return next((n for n, word in enumerate(self.words) if word.at >= chunk_at), len(self.words))

    def list_at(self, chunk_at: int) -> tuple[int, int] | None:
        """Give chunks [first, last) of the part that begins here, or of a list of parts: "the pin and its circlip"."""
        first = chunk_at
        while first < len(self.chunks) and self.chunks[first].kind in (
            "number",
            "thread",
            "determiner",
            "adjective",
            "amount",
        ):
            first += 1
        if first >= len(self.chunks) or not is_thing(self.chunks[first]):
            return None
        last = first + 1
        while last + 1 < len(self.chunks) and self.chunks[last].low in JOINS and is_thing(self.chunks[last + 1]):
            last += 2
        while (
            last < len(self.chunks) and self.chunks[last].pronoun in ("both", "all") and self.chunks[last].name is None
        ):
            last += 1
        return first, last


def is_thing(chunk: Chunk) -> bool:
    """Tell whether a chunk names or points to something that is not a person speaking."""
    return chunk.is_part and chunk.pronoun not in _SPEAKING


_SPEAKING = frozenset("i you we me us he who somebody someone anybody nobody everybody himself herself myself".split())


def lay_out(clause: Clause, state: State) -> Line:
    """Lay a clause out; the end of the clause before is put back where a verb was cut off its object ("pulled | it off")."""
    deeds = deed_words()
    before = state.last_chunks
    pieces = state.tidied.pieces
    chunks = list(clause.chunks)
    cut = 0
    if before and _was_cut(before, clause):
        chunks = [*before, *chunks]
        cut = len(before)
    chunks = [part for chunk in chunks for part in _split_verb(chunk, deeds, state.lexicon)]
    words: list[Word] = []
    own = 0
    for at, chunk in enumerate(chunks):
        if chunk.start < clause.start and cut:
            own = len(words) + len(chunk.low.split())
        is_part = chunk.is_part and chunk.tag != "V"
        for low in chunk.low.split():
            words.append(
                Word(
                    low=low,
                    at=at,
                    is_part=is_part,
                    may_be_verb=not is_part or (low in _ALWAYS_VERBS and len(chunk.low.split()) == 1),
                )
            )
    return Line(
        chunks=tuple(chunks), words=tuple(words), lows=tuple(w.low for w in words), deeds=deeds, lexicon=state.lexicon, own=own,
        next_low=pieces[clause.end].low if clause.end < len(pieces) else "",
    )  # fmt: skip


_ALWAYS_VERBS = frozenset({"need", "needs", "wants", "want", "needing", "wanting", "lob", "throw", "recheck"})


def _was_cut(before: Sequence[Chunk], clause: Clause) -> bool:
    """A clause that begins with a part, straight after a verb that has none yet, is the rest of that verb's clause."""
    last, first = before[-1], clause.chunks[0]
    if last.end != clause.start or clause.joiner not in ("", last.low) or not (first.is_part or first.low == "clear"):
        return False
    if last.kind == "verb" or (last.kind == "aux" and last.low in ("get", "had", "have")):
        return first.pronoun not in ("i", "we", "you")
    return last.kind == "condition" and len(before) > 1 and before[-2].low in ("'ll", "to", "will")


def _split_verb(chunk: Chunk, deeds: DeedWords, lexicon: Lexicon) -> list[Chunk]:
    """Take a verb off the end of a name: "caps | unwound", "seals | relined", where the name was read too far."""
    words = chunk.low.split()
    if not chunk.is_part or chunk.name is None or len(words) < 2 or chunk.end - chunk.start != len(words):
        return [chunk]
    last = words[-1]
    if not deeds.is_past(last) or (last in deeds.forms and deeds.forms[last][0] == last):
        return [chunk]
    if (
        lexicon.is_nouny(last)
        or tuple((chunk.name or "").split()) in lexicon.components
        or " " not in (chunk.name or "")
    ):
        return [chunk]
    name = " ".join(chunk.name.split()[:-1])
    return [
        replace(chunk, end=chunk.end - 1, low=" ".join(words[:-1]), name=name),
        Chunk("verb", chunk.end - 1, chunk.end, last, tag="E"),
    ]


def find_deeds(line: Line, group: str) -> list[Deed]:
    """Give the phrases of a group said in a line, longest first at each place; none inside a longer one."""
    found: list[Deed] = []
    for at in range(len(line.words)):
        best = _best_at(line, at, group)
        if best is not None and best.end > line.own:
            found.append(best)
    kept: list[Deed] = []
    for deed in sorted(found, key=lambda d: (-_weight(d), d.start)):
        if all(deed.start >= other.end or deed.end <= other.start for other in kept):
            kept.append(deed)
    return sorted(kept, key=lambda d: d.start)


def _weight(deed: Deed) -> int:
    return len([w for w in deed.phrase.words if w not in (SLOT, AGENT, PROCESS)]) * 2 + (deed.slot is not None)


def _best_at(line: Line, at: int, group: str) -> Deed | None:
    best: Deed | None = None
    keys = {line.low(at), line.base(at)}
    for key in keys:
        for phrase in line.deeds.phrases.get(key, ()):
            if phrase.group != group or (best is not None and len(phrase.words) < len(best.phrase.words)):
                continue
            if phrase.verb_at == 0 and not (line.words[at].may_be_verb and line.base(at) == phrase.words[0]):
                continue
            if phrase.verb_at != 0 and line.low(at) != phrase.words[0]:
                continue
            deed = _match(line, at, phrase)
            if deed is not None and (best is None or _weight(deed) > _weight(best)):
                best = deed
    return best


def _match(line: Line, at: int, phrase: Phrase) -> Deed | None:
    i, slot = at + 1, None
    verb = at if phrase.verb_at == 0 else None
    words = phrase.words
    for n, wanted in enumerate(words[1:], 1):
        if n == phrase.verb_at:
            if line.base(i) != wanted:
                return None
            verb, i = i, i + 1
            continue
        step = _match_word(line, i, wanted, words[n - 1], slot)
        if (
            step is None
            and phrase.verb_at is not None
            and n == len(words) - 1
            and wanted in PARTICLES
            and slot is None
            and n >= 1
        ):
            step = _over_object(line, i, wanted)
        if step is None:
            return None
        i, slot = step
    return Deed(phrase=phrase, start=at, end=i, verb=verb, slot=slot)


_Place = tuple[int, tuple[int, int] | None]


def _match_word(line: Line, i: int, wanted: str, before: str, slot: tuple[int, int] | None) -> _Place | None:
    """Match one word of a phrase from word i on; give the next word and the slot so far."""
    if i >= len(line.words):
        return None
    if wanted == SLOT:
        return _slot_at(line, i)
    if wanted == AGENT:
        end = _agent_at(line, i)
        return None if end is None else (end, slot)
    if wanted == PROCESS:
        end = _process_at(line, i)
        return None if end is None else (end, slot)
    for skip in range(3):
        if line.low(i + skip) == wanted:
            return i + skip + 1, slot
        if before in _ARTICLES and line.words[min(i + skip, len(line.words) - 1)].is_part:
            continue
        if line.low(i + skip) not in _MIDDLE:
            return None
    return None


def _slot_at(line: Line, i: int) -> _Place | None:
    found = line.list_at(line.words[i].at)
    if found is None or line.first_word(line.words[i].at) != i:
        return None
    return line.first_word(found[1]), found


def _over_object(line: Line, i: int, particle: str) -> _Place | None:
    """Find the particle behind the object: "throw the old pin out", "backed the side lay off"."""
    found = line.list_at(line.words[i].at) if i < len(line.words) else None
    if found is None:
        return None
    end = line.first_word(found[1])
    for skip in range(4):
        if line.low(end + skip) == particle:
            return end + skip + 1, found
        if line.low(end + skip) not in _MIDDLE and line.low(end + skip) not in ("the", "way", "back", "about"):
            return None
    return None


def _agent_at(line: Line, i: int) -> int | None:
    """Match who a part is sent to: "the platers", "the hard chrome mob", "Dougie", "the machine shop"."""
    chunk = line.chunk(i)
    while chunk is not None and (chunk.kind in ("determiner", "adjective") or chunk.low in ("a", "the", "our", "my")):
        i += 1
        chunk = line.chunk(i)
    if chunk is None:
        return None
    end = line.first_word(line.words[i].at + 1)
    words = [w.low for w in line.words[i:end]]
    while end < len(line.words) and line.low(end) in ("'s", "shop", "lads", "boys", "mob"):
        words.append(line.low(end))
        end += 1
    return end if words and is_agent(words, chunk, line) else None


def is_agent(words: Sequence[str], chunk: Chunk, line: Line) -> bool:
    """Tell whether words name somebody who works on parts: a known trade, or a plural in -ers that is no part."""
    agents = line.deeds.meant["agents"]
    last = words[-1]
    if words[-1] in ("'s", "shop", "mob", "lads", "boys") or last in agents or last.rstrip("s") in agents:
        return chunk.kind != "condition"
    known = chunk.is_known or chunk.fastener is not None
    return (
        last.endswith(("ers", "smith", "smiths", "wright", "wrights"))
        and not known
        and last not in ("others", "rivers")
    )


def _process_at(line: Line, i: int) -> int | None:
    """Match what is to be done to a part elsewhere: "a rewind", "regrinding", "a light skim"."""
    for at in range(i, min(i + 4, len(line.words))):
        if line.low(at) in line.deeds.meant["processes"]:
            return at + 1
        if not (
            line.words[at].is_part
            or line.low(at) in _LEADING
            or line.chunks[line.words[at].at].kind in ("adjective", "adverb")
        ):
            return None
    return None


def past_form(line: Line, at: int) -> bool:
    """Tell whether the word here can be a past or passive form."""
    found = line.deeds.forms.get(line.low(at))
    return (found is not None and PAST in found[1]) or "ed" in line.lexicon.word_classes(line.low(at))
