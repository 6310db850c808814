"""Finds the phrases of deeds in a line: "bin", "throw ... out", "for the skip", "send ... away for a rewind".

In: a line. Out: the `Deed`s said in it, with their places and slots, longest first at each place.
A phrase may have a part in it ("throw the pin out") and small adverbs ("came straight off").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from notebook.reading.deed_words import AGENT, PARTICLES, PROCESS, SLOT, Phrase
from notebook.reading.line import Line
from notebook.reading.sheets import Chunk

_MIDDLE = frozenset(
    [
        "straight",
        "right",
        "clean",
        "just",
        "all",
        "both",
        "nicely",
        "easily",
        "easy",
        "then",
        "now",
        "well",
        "finally",
        "completely",
        "out",
        "off",
        "back",
        "first",
        "even",
        "only",
        "fully",
        "apart",
    ]
)
""" "Came straight off", "is now off": words that may stand inside a phrase."""
_ARTICLES = frozenset({"a", "an", "the", "another", "new"})
_LEADING = frozenset({"the", "a", "an", "all", "both", "them", "those", "these", "just", "only", "about", "back"})
_BEHIND_NAME = frozenset({"'s", "shop", "lads", "boys", "mob", "works", "crowd"})

_Slot = tuple[int, int] | None
_Place = tuple[int, _Slot]


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """A phrase of a deed over words [start, end) of a line."""

    phrase: Phrase
    start: int
    end: int
    verb: int | None
    """Place of its verb."""
    slot: _Slot = None
    """Chunks [first, last) of the part said inside it."""

    @property
    def action(self) -> str:
        return self.phrase.action

    @property
    def cue(self) -> str:
        return " ".join(w for w in self.phrase.words if w not in (SLOT, AGENT, PROCESS))


def find_deeds(line: Line, group: str) -> list[Deed]:
    """Give the phrases of a group said in a line; none inside a longer one."""
    found = [best for at in range(len(line.words)) if (best := _best_at(line, at, group)) and best.end > line.own]
    kept: list[Deed] = []
    for deed in sorted(found, key=lambda d: (-_weight(d), d.start)):
        if all(deed.start >= other.end or deed.end <= other.start for other in kept):
            kept.append(deed)
    return sorted(kept, key=lambda d: d.start)


def _weight(deed: Deed) -> int:
    return len([w for w in deed.phrase.words if w not in (SLOT, AGENT, PROCESS)]) * 2 + (deed.slot is not None)


def _best_at(line: Line, at: int, group: str) -> Deed | None:
    best: Deed | None = None
    low, base = line.low(at), line.base(at)
    for key in (low,) if low == base else (low, base):
        for phrase in line.deeds.phrases[group].get(key, ()):
            if not phrase.needs <= line.within_reach:
                continue
            if phrase.verb_at == 0 and not (line.words[at].may_be_verb and base == key):
                continue
            if phrase.verb_at != 0 and low != key:
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
        is_last = n == len(words) - 1 and phrase.verb_at is not None
        if step is None and is_last and wanted in PARTICLES and slot is None:
            step = _over_object(line, i, wanted)
        if step is None:
            return None
        i, slot = step
    return Deed(phrase=phrase, start=at, end=i, verb=verb, slot=slot)


def _match_word(line: Line, i: int, wanted: str, before: str, slot: _Slot) -> _Place | None:
    """Match one word of a phrase from word i on; give the next word and the slot so far."""
    if wanted == SLOT:
        return _slot_at(line, i)
    if wanted in (AGENT, PROCESS):
        end = _agent_at(line, i) if wanted == AGENT else _process_at(line, i)
        return None if end is None else (end, slot)
    for skip in range(3):
        if line.low_on(i + skip) == wanted:
            return i + skip + 1, slot
        if before in _ARTICLES and line.is_part(i + skip):
            continue
        if line.low(i + skip) not in _MIDDLE:
            return None
    return None


def _slot_at(line: Line, i: int) -> _Place | None:
    if i >= len(line.words) or line.first_word(line.words[i].at) != i:
        return None
    found = line.list_at(line.words[i].at)
    return None if found is None else (line.first_word(found[1]), found)


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
    at = line.words[i].at
    words = [w.low for w in line.words[i:end]]
    while line.low(end) in _BEHIND_NAME:
        words.append(line.low(end))
        end += 1
    return end if at in line.people or _is_agent(words, chunk, line) else None


def _is_agent(words: Sequence[str], chunk: Chunk, line: Line) -> bool:
    """Tell whether words name somebody who works on parts: a known trade, or a plural in -ers that is no part."""
    agents = line.deeds.meant["agents"]
    last = words[-1]
    if last in _BEHIND_NAME or last in agents or last.rstrip("s") in agents:
        return chunk.kind != "condition"
    is_trade = last.endswith(("ers", "smith", "smiths", "wright", "wrights"))
    return is_trade and not chunk.is_known and chunk.fastener is None and last not in ("others", "rivers")


def _process_at(line: Line, i: int) -> int | None:
    """Match what is to be done to a part elsewhere: "a rewind", "regrinding", "a light skim"."""
    for at in range(i, min(i + 4, len(line.words))):
        if line.low(at) in line.deeds.meant["processes"]:
            return at + 1
        kind = line.chunks[line.words[at].at].kind
        if not (line.words[at].is_part or line.low(at) in _LEADING or kind in ("adjective", "adverb")):
            return None
    return None
