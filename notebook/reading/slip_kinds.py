"""What a slip of the ear is: the stretch heard, the word meant, and why.

In: nothing. Out: the types and word lists that the finders of slips share.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from notebook.reading.words import Token

BEFORE_PART = frozenset(
    (
        "the a an this that these those my your his its our their both each every all no other same new old one two three four five six "
        "seven eight nine ten left right front rear back inner outer top bottom upper lower inlet exhaust main first second third last"
    ).split()
)

BE = frozenset("'s is are was were isn't aren't wasn't has have had hasn't haven't looks look feels feel seems".split())

AWAY = frozenset("off out apart".split())

STOPS = frozenset(", . ; : - ! ?".split())

VERB = frozenset({"base", "s", "ed"})

GRAMMAR = frozenset(
    {
        "auxiliary",
        "pronoun",
        "preposition",
        "conjunction",
        "subordinator",
        "determiner",
        "question",
        "base",
        "s",
        "ed",
        "adverb",
    }
)

NEVER_A_PART = GRAMMAR - VERB - {"adverb"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """One slip put right: the stretch of the text, what it reads now, and why."""

    source: tuple[int, int]
    meant: str
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    start: int
    end: int
    meant: str
    why: str
    weight: float
    """Smaller is better."""


def is_noun_slot(tokens: Sequence[Token], at: int) -> bool:
    if at == 0:
        return True
    before = tokens[at - 1]
    return before.low in BEFORE_PART or before.low in STOPS or before.value is not None or before.low in ("of", "on", "in", "from", "under", "behind", "with", "and", "to", "for")  # fmt: skip


NUMBER_WORDS = frozenset(
    (
        "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen "
        "twenty thirty forty fifty sixty seventy eighty ninety hundred thousand half quarter quarters eighth eighths sixteenth sixteenths point"
    ).split()
)
