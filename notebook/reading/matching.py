"""Finds the vocabulary's phrases in a tidied remark.

In: the pieces of a remark. Out: for every piece the phrases that begin there, longest first.
Never decides between meanings.

Phrases are looked up whole, by their first word and their lengths: the same matches as spaCy's phrase matcher on a
blank pipeline (a test compares the two), without the second and a half that loading spaCy takes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from notebook.reading.lexicon import Condition, Lexicon, Phrase, phrase_of, standard_lexicon, with_shop_words
from notebook.reading.tidy import Piece
from notebook.reading.word_files import read_toml
from notebook.shop import NO_WORDS, ShopWords


@dataclass(frozen=True, slots=True)
class Match:
    """A phrase of the vocabulary over pieces [start, end)."""

    label: str
    """`condition`, `component`, `fastener`, `quantity`, `tool`, or the name of a cue list ("negation.before")."""
    start: int
    end: int
    meaning: Any
    """Conditions, a name, or None for a cue."""


class Matcher:
    """Holds the compiled vocabulary; made once a vocabulary, used for every remark."""

    def __init__(self, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self._meanings: dict[Phrase, list[tuple[str, Any]]] = defaultdict(list)
        for label, phrases in sorted(labelled_phrases(lexicon).items()):
            for phrase, meaning in phrases.items():
                self._meanings[phrase].append((label, meaning))
        lengths: dict[str, set[int]] = defaultdict(set)
        for phrase in self._meanings:
            lengths[phrase[0]].add(len(phrase))
        self._lengths = {first: sorted(found, reverse=True) for first, found in lengths.items()}

    def find(self, pieces: Sequence[Piece]) -> dict[int, list[Match]]:
        """Give the matches that begin at each piece, longest first."""
        words = [p.low if p.kind == "word" or p.kind == "sign" else p.text.lower() or "-" for p in pieces]
        found: dict[int, list[Match]] = defaultdict(list)
        for start, first in enumerate(words):
            for length in self._lengths.get(first, ()):
                phrase = tuple(words[start : start + length])
                for label, meaning in self._meanings.get(phrase, ()) if len(phrase) == length else ():
                    found[start].append(Match(label, start, start + length, meaning))
        return found


def labelled_phrases(lexicon: Lexicon) -> dict[str, dict[Phrase, Any]]:
    """Give every phrase of the vocabulary with its meaning, by the list it stands in."""
    labelled: dict[str, dict[Phrase, Any]] = {
        "condition": dict(lexicon.conditions),
        "component": dict(lexicon.components),
        "fastener": dict(lexicon.fasteners),
        "quantity": dict(lexicon.quantities),
        "tool": dict(lexicon.tools),
    }
    for name, phrases in cue_lists():
        labelled[name] = dict.fromkeys(phrases)
    return {label: phrases for label, phrases in labelled.items() if phrases}


@cache
def _cues() -> dict[str, list[Phrase]]:
    out: dict[str, list[Phrase]] = {}
    for group, lists in read_toml("cues.toml").items():
        for name, said in lists.items():
            if isinstance(said, list):
                out[f"{group}.{name}"] = [phrase_of(s) for s in said]
    return out


def cue_lists() -> Iterator[tuple[str, list[Phrase]]]:
    """Give every cue list by name, with its phrases."""
    yield from _cues().items()


@cache
def standard_matcher() -> Matcher:
    """Compile the vocabulary that comes with the package."""
    return Matcher(standard_lexicon())


@lru_cache(maxsize=4)
def matcher_with(words: ShopWords) -> Matcher:
    """Compile the vocabulary with a shop's own words added."""
    if words == NO_WORDS:
        return standard_matcher()
    return Matcher(with_shop_words(standard_lexicon(), words.components, words.conditions))


__all__ = ["Condition", "Match", "Matcher", "cue_lists", "labelled_phrases", "matcher_with", "standard_matcher"]
