"""A word that cannot be a part, standing where a part stands with a fault said of it ("the general's scored").

In: tokens, a stretch of them, the word it sounds like and the words of the parts named so far. Out: a proposal, or nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from functools import cache

from notebook.reading.lexicon import Lexicon, standard_lexicon
from notebook.reading.nouns_said import singular
from notebook.reading.slip_kinds import AWAY, BE, BEFORE_PART, NEVER_A_PART, STOPS, VERB, Proposal, is_noun_slot
from notebook.reading.words import Token

NEAR_ALONE = {"odd": 0.15, "name": 0.13, "two": 0.13, "thing": 0.08}
"""How near the sound must be (share of phonemes that differ) by what the heard word is."""

SAME_SOUND = 0.03

NAMED_BEFORE = 0.06
"""How much further off a word may be when the part it would mean was named in the job already."""


def part_misheard(
    tokens: Sequence[Token], start: int, end: int, sort: str, meant: str, distance: float, named: AbstractSet[str], lexicon: Lexicon
) -> Proposal | None:  # fmt: skip
    """ "The general's scored": what was heard is no part, stands where a part stands, and a fault is said of it."""
    is_named = meant in named or singular(meant) in named
    if distance <= SAME_SOUND and _is_modifier(tokens, start, end, meant, lexicon):
        return Proposal(start, end, meant, f'sounds like "{meant}" before "{tokens[end].low}"', distance)
    if ((meant,) not in lexicon.components and singular(meant) not in lexicon.heads) or sort not in NEAR_ALONE:
        return None
    if distance > NEAR_ALONE[sort] + (NAMED_BEFORE if is_named or _part_before(tokens, start, lexicon) else 0.0):
        return None
    classes = lexicon.classes.get(tokens[start].low, frozenset())
    if end == start + 1 and classes & NEVER_A_PART and not lexicon.is_nouny(tokens[start].low):
        return None
    if classes & VERB and (end >= len(tokens) or tokens[end].low not in BE):
        return None
    before = tokens[start - 1] if start else None
    follows_part = (
        before is not None and before.is_word and ((before.low,) in lexicon.components or before.low in lexicon.heads)
    )
    is_slot = (
        before is None or before.low in BEFORE_PART or before.low in STOPS or before.value is not None or follows_part
    )
    if not is_slot or (before is not None and before.low in _NO_PART_AFTER):
        return None
    is_pointed_at = (before is not None and (before.low in BEFORE_PART or follows_part)) or _is_numbered(tokens, end)
    has_fault = _fault_follows(tokens, end, meant, lexicon, follows_part=follows_part)
    if sort == "name" and not is_pointed_at and not is_named:
        return None
    if sort == "thing" and not (is_pointed_at and (has_fault or is_named)):
        return None
    is_numbered = _is_numbered(tokens, end)
    same_sound = distance <= SAME_SOUND and is_pointed_at and sort == "odd" and _ends_phrase(tokens, end)
    if not (has_fault or same_sound or is_numbered or (is_named and is_pointed_at and _ends_phrase(tokens, end))):
        return None
    return Proposal(start, end, meant, f'sounds like "{meant}"', distance)


_NO_PART_AFTER = frozenset("that all each same".split())


def _ends_phrase(tokens: Sequence[Token], at: int) -> bool:
    return (
        at >= len(tokens)
        or not tokens[at].is_word
        or tokens[at].low in BE
        or tokens[at].low in ("and", "off", "out", "on", "in", "from", "with")
    )


@cache
def _modifiers() -> frozenset[str]:
    return frozenset(phrase[0] for phrase in standard_lexicon().components if len(phrase) > 1)


def _is_modifier(tokens: Sequence[Token], start: int, end: int, meant: str, lexicon: Lexicon) -> bool:
    """ "Break piston": the same sound as a word that begins names, before a word that ends them."""
    if end >= len(tokens) or meant not in _modifiers() or singular(tokens[end].low) not in lexicon.heads:
        return False
    if tokens[end].low in lexicon.unspecific or not is_noun_slot(tokens, start):
        return False
    return (
        end + 1 >= len(tokens)
        or not tokens[end + 1].is_word
        or tokens[end + 1].low in BE | AWAY | {"popped", "came", "was", "were", "and", "on", "in"}
    )


def _part_before(tokens: Sequence[Token], start: int, lexicon: Lexicon) -> bool:
    return start > 0 and ((tokens[start - 1].low,) in lexicon.components or tokens[start - 1].low in lexicon.heads)


def _fault_follows(
    tokens: Sequence[Token], at: int, meant: str, lexicon: Lexicon, *, follows_part: bool = False
) -> bool:
    """ "...'s scored", "... is off": a condition or a taking off is said of what stands before."""
    if at >= len(tokens):
        return False
    if tokens[at].low not in BE:
        return follows_part and (tokens[at].low,) in lexicon.conditions and tokens[at].low.endswith(("ing", "ed"))
    if singular(meant) != meant and tokens[at].low in ("'s", "is", "was", "has") and at + 1 < len(tokens):
        return False
    for n in range(at + 1, min(at + 4, len(tokens))):
        if tokens[n].low in STOPS:
            return False
        if tokens[n].low in AWAY and n == at + 1:
            return True
        for width in (3, 2, 1):
            phrase = tuple(t.low for t in tokens[n : n + width])
            if len(phrase) == width and phrase in lexicon.conditions:
                return True
    return False


def _is_numbered(tokens: Sequence[Token], at: int) -> bool:
    """ "Conrad number one's off": what has a number is one of several parts."""
    return at + 1 < len(tokens) and tokens[at].low in ("number", "no.")
