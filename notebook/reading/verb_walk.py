"""How one verb stands, and the walk to its left that tells.

In: a line and a place in it. Used by `meant` and `meant_plain`. Holds no rule of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from notebook.reading.line import Line

DONE, PLANNED, TOLD, STATE, CAN, PRESENT, NO = "done", "planned", "told", "state", "can", "present", "no"
"""Done: "I've binned it". Planned: "I'll bin it", "wants binning". Told: "bin it". State: "it's binned", "was" left out.
Can: "it can stay". Present: "it goes again". No: would, was going to, a plain infinitive."""

BE = frozenset(
    ["is", "are", "'s", "'re", "am", "'m", "isn't", "aren't", "be", "been", "being", "was", "were", "wasn't", "weren't"]
)

WAS = frozenset(["was", "were", "wasn't", "weren't"])

HAVE = frozenset(["have", "has", "'ve", "had", "haven't", "hasn't", "hadn't"])

GET = frozenset(["get", "gets", "getting", "got", "gotten"])

NEGATIVE = frozenset(
    [
        "not",
        "never",
        "no",
        "don't",
        "doesn't",
        "didn't",
        "isn't",
        "aren't",
        "wasn't",
        "weren't",
        "haven't",
        "hasn't",
        "hadn't",
        "won't",
        "can't",
        "cannot",
        "wouldn't",
        "shouldn't",
        "couldn't",
        "needn't",
        "mustn't",
        "nor",
        "without",
        "neither",
        "hardly",
        "'nt",
        "ain't",
        "nowt",
    ]
)

OPENERS = frozenset(
    ["and", "then", "so", "just", "please", "right", "well", "okay", "or", "but", "now", "also", "&", "plus"]
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """How one verb stands."""

    time: str
    is_negative: bool = False
    is_passive: bool = False
    first: int = 0
    """First word of the verb with its auxiliaries: "'ll have to" and on; what stands before it may be its subject."""
    causative: tuple[int, int] | None = None
    """Chunks of the part that is had or got done: "having | that | skimmed"."""


@dataclass(slots=True)
class Walk:
    """A place in the line, going left, and whether something denied was passed."""

    line: Line
    at: int
    is_negative: bool = False

    def skip(self) -> str:
        """Pass over adverbs and negatives; give the word that stands there, empty at the beginning."""
        adverbs = self.line.deeds.meant["adverbs"]
        while self.at >= 0:
            low = self.line.low(self.at)
            chunk = self.line.chunks[self.line.words[self.at].at]
            if chunk.cue in ("negation.before", "not_looked.said", "negation.after") and low not in BE | HAVE:
                self.is_negative |= chunk.low not in ("i don't think", "don't think")
                if low not in NEGATIVE or low in _LONE:
                    self.at -= 1
                    continue
            if low in _LONE:
                self.is_negative = True
            elif low not in adverbs or self.line.words[self.at].is_part:
                break
            self.at -= 1
        low = self.line.low(self.at)
        if low in NEGATIVE:
            self.is_negative = True
        return low


_LONE = frozenset(["not", "never", "nor", "neither", "hardly", "no", "nowt"])


def over_be(walk: Walk) -> int:
    """Give the place of an auxiliary "is" or "have" before the verb, or the place right behind."""
    low = walk.skip()
    return walk.at if low in BE | HAVE else walk.at + 1


def over_auxiliaries(walk: Walk) -> int:
    walk.at -= 1
    low = walk.skip()
    return (
        walk.at
        if low in walk.line.deeds.meant["will"] | BE | {"do", "does", "don't", "doesn't", "might", "may"}
        else walk.at + 1
    )


def left(walk: Walk) -> Walk:
    walk.at -= 1
    return walk
