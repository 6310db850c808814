"""A word that, put right, makes a known name with its neighbours ("fraction plate", "gudgin pin").

In: tokens, a stretch of them and the word it sounds or is spelled like. Out: a proposal, or nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from functools import cache

from notebook.reading.lexicon import Lexicon, standard_lexicon
from notebook.reading.nouns_said import singular
from notebook.reading.slip_kinds import BE, BEFORE_PART, GRAMMAR, VERB, Proposal, is_noun_slot
from notebook.reading.words import Token

NEAR_IN_A_NAME = {"odd": 0.24, "name": 0.24, "two": 0.17, "thing": 0.2, "spelled": 0.2}

NEAR_VERB_IN_A_NAME = 0.2

SPELLED_ALIKE = 0.75


@cache
def _neighbours() -> dict[str, frozenset[str]]:
    """Give the words that stand in one name with each word, of the standard names of parts and fasteners."""
    found: dict[str, set[str]] = {}
    for phrase in (*standard_lexicon().components, *standard_lexicon().fasteners):
        for word in phrase if len(phrase) > 1 else ():
            found.setdefault(word, set()).update(phrase)
    return {word: frozenset(words) for word, words in found.items()}


def _may_stand_beside(tokens: Sequence[Token], start: int, end: int, meant: str, lexicon: Lexicon) -> bool:
    """Tell quickly whether any name holds the word with the one before or behind; a shop's own names are always tried."""
    if lexicon is not standard_lexicon():
        return True
    beside = _neighbours().get(meant, frozenset())
    return (start > 0 and tokens[start - 1].low in beside) or (end < len(tokens) and tokens[end].low in beside)


@cache
def _beside() -> dict[str, frozenset[str]]:
    """Give the words that stand in one name with each word of the components' names."""
    found: dict[str, set[str]] = {}
    for phrase in standard_lexicon().components:
        for word in phrase:
            found.setdefault(word, set()).update(w for w in phrase if w != word and len(w) > 4)
    return {word: frozenset(words) for word, words in found.items()}


def spelled_alike(tokens: Sequence[Token], at: int) -> tuple[tuple[str, float], ...]:
    """Give words of a name with the word before or behind that are spelled much like the one here."""
    heard = tokens[at].low
    around = {w for n in (at - 1, at + 1) if 0 <= n < len(tokens) for w in _beside().get(tokens[n].low, ())}
    found = []
    for word in around:
        if word[0] == heard[0] and abs(len(word) - len(heard)) <= 2 and singular(word) != singular(heard):
            ratio = SequenceMatcher(None, word, heard).ratio()
            if ratio >= SPELLED_ALIKE:
                found.append((word, round((1 - ratio) / 2, 2)))
    return tuple(sorted(found, key=lambda f: (f[1], f[0]))[:3])


def name_misheard(
    tokens: Sequence[Token], start: int, end: int, sort: str, meant: str, distance: float, lexicon: Lexicon
) -> Proposal | None:
    """ "Fraction plate": with what was meant, the words beside it make a known name."""
    if not _may_stand_beside(tokens, start, end, meant, lexicon):
        return None
    classes = lexicon.classes.get(tokens[start].low, frozenset()) if end == start + 1 else frozenset()
    is_grammar = bool(classes & GRAMMAR) and not lexicon.is_nouny(tokens[start].low)
    if distance > (NEAR_VERB_IN_A_NAME if is_grammar else NEAR_IN_A_NAME[sort]):
        return None
    is_verb = (
        bool(classes & VERB)
        and (distance > 0.1 or not lexicon.is_nouny(tokens[start].low))
        and end < len(tokens)
        and tokens[end].is_word
        and tokens[end].low not in BE
    )
    for left in (0, 1, 2):
        for right in (0, 1, 2):
            if not 0 < left + right <= 3 or start - left < 0 or end + right > len(tokens):
                continue
            around = (*tokens[start - left : start], *tokens[end : end + right])
            if not all(t.is_word for t in around):
                continue
            phrase = (
                *(t.low for t in tokens[start - left : start]),
                meant,
                *(t.low for t in tokens[end : end + right]),
            )
            if phrase not in lexicon.components and phrase not in lexicon.fasteners:
                continue
            if (is_grammar or sort == "two") and not is_noun_slot(tokens, start - left):
                continue
            if (is_verb and not right) or (left and not right and tokens[start - 1].low in BEFORE_PART):
                continue
            if tokens[start].low == "some" and singular(phrase[-1]) != phrase[-1]:
                continue
            if tokens[start].low in ("break", "breaks") and left == 0 and not is_noun_slot(tokens, start):
                continue
            return Proposal(
                start, end, meant, f'sounds like "{" ".join(phrase)}"', distance - 0.3 - 0.1 * (left + right)
            )
    return None
