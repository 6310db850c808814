"""Finds the phrases of actions.toml in a clause: what is to happen to a part, what was done.

In: the words of a clause. Out: the actions said in it, with the words and where they stand.
A verb is matched in any form and may have its object between it and its particle ("take the shims out").
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from notebook.reading.lexicon import Lexicon, read_toml, standard_lexicon

_LONGEST_OBJECT = 6
_PARTICLES = frozenset(
    "off out up down back in on over away apart through loose together aside clear along home".split()
)


@dataclass(frozen=True, slots=True)
class Action:
    """One action phrase over words [start, end) of a clause."""

    action: str
    words: str
    start: int
    end: int
    verb: str | None
    """Its verb's base form, None for a phrase without one."""


@dataclass(frozen=True, slots=True)
class _Phrase:
    action: str
    words: tuple[str, ...]
    verb: bool


@cache
def _phrases(group: str) -> dict[str, list[_Phrase]]:
    by_first: dict[str, list[_Phrase]] = defaultdict(list)
    for action, said in read_toml("actions.toml")[group].items():
        for text in said:
            verb = text.startswith("~")
            words = tuple(text.removeprefix("~").replace("'", " '").split())
            by_first[words[0]].append(_Phrase(action, words, verb))
    for phrases in by_first.values():
        phrases.sort(key=lambda p: -len(p.words))
    return by_first


def find_actions(
    words: Sequence[str], group: str, lexicon: Lexicon | None = None, is_verb: Sequence[bool] | None = None
) -> list[Action]:
    """Give the actions of a group (`disposition` or `step`) said in a clause, longest phrase first at each place.

    `is_verb` tells for each word whether it can be a verb where it stands ("clock" in "the clock reads" cannot).
    """
    lemmas = (lexicon or standard_lexicon()).lemmas
    phrases = _phrases(group)
    found: list[Action] = []
    at = 0
    while at < len(words):
        best = _best_at(words, at, phrases, lemmas, is_verb is None or is_verb[at])
        if best is not None:
            found.append(best)
        at += 1
    return _longest_only(found)


def _best_at(
    words: Sequence[str], at: int, phrases: dict[str, list[_Phrase]], lemmas: dict[str, str], may_be_verb: bool
) -> Action | None:
    low = words[at]
    lemma = lemmas.get(low, low)
    best: Action | None = None
    for key, needs_verb in ((low, False), (lemma, True)):
        for phrase in phrases.get(key, ()):
            if phrase.verb and not may_be_verb:
                continue
            if phrase.verb != needs_verb and not (phrase.verb and low == lemma):
                continue
            end = _match(words, at, phrase)
            if end is not None and (best is None or len(phrase.words) > len(best.words.split())):
                best = Action(phrase.action, " ".join(phrase.words), at, end, lemma if phrase.verb else None)
    return best


def _match(words: Sequence[str], at: int, phrase: _Phrase) -> int | None:
    rest = phrase.words[1:]
    if tuple(words[at + 1 : at + 1 + len(rest)]) == rest:
        return at + 1 + len(rest)
    if (
        phrase.verb
        and len(rest) == 1
        and rest[0] in _PARTICLES
        and phrase.words[0] not in ("wait", "hold", "hang", "set")
    ):
        for gap in range(2, _LONGEST_OBJECT + 2):
            if at + gap < len(words) and words[at + gap] == rest[0]:
                return at + gap + 1
    return None


def _longest_only(found: list[Action]) -> list[Action]:
    """Leave out an action whose words lie inside a longer one's."""
    out: list[Action] = []
    for action in sorted(found, key=lambda a: (-len(a.words.split()), a.start)):
        if all(action.start >= other.end or action.end <= other.start for other in out):
            out.append(action)
    return sorted(out, key=lambda a: a.start)
