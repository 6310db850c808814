"""Finds the vocabulary's phrases in a tidied remark with spaCy's phrase matcher.

In: the pieces of a remark. Out: for every piece the phrases that begin there, longest first.
The only module that imports spaCy. Never decides between meanings.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc
from spacy.vocab import Vocab

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
        self._vocab = Vocab()
        self._matcher = PhraseMatcher(self._vocab, attr="ORTH")
        self._meanings: dict[tuple[int, Phrase], Any] = {}
        for label, phrases in _labelled(lexicon).items():
            self._add(label, phrases)

    def _add(self, label: str, phrases: Mapping[Phrase, Any]) -> None:
        docs = [Doc(self._vocab, words=list(phrase)) for phrase in phrases]
        self._matcher.add(label, docs)
        key = self._vocab.strings[label]
        for phrase, meaning in phrases.items():
            self._meanings[key, phrase] = meaning

    def find(self, pieces: Sequence[Piece]) -> dict[int, list[Match]]:
        """Give the matches that begin at each piece, longest first."""
        if not pieces:
            return {}
        words = [p.low if p.kind == "word" or p.kind == "sign" else p.text.lower() or "-" for p in pieces]
        doc = Doc(self._vocab, words=[w.replace(" ", "_") for w in words])
        strings = self._vocab.strings
        found: dict[int, list[Match]] = defaultdict(list)
        for key, start, end in self._matcher(doc):
            meaning = self._meanings.get((key, tuple(words[start:end])))
            found[start].append(Match(strings[key], start, end, meaning))
        for matches in found.values():
            matches.sort(key=lambda m: (-(m.end - m.start), m.label))
        return found


def _labelled(lexicon: Lexicon) -> dict[str, dict[Phrase, Any]]:
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


__all__ = ["Condition", "Match", "Matcher", "cue_lists", "matcher_with", "standard_matcher"]
