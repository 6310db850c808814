"""The words beside amounts: what a figure is for, what is measured, whose word it is.

In: `data/amounts.toml`. Out: lists and cues ready for looking up in a stretch of words.
Never decides anything about a remark.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from notebook.reading.lexicon import phrase_of


@dataclass(frozen=True, slots=True)
class Cue:
    """One phrase and what it says."""

    words: tuple[str, ...]
    says: str
    side: str = "either"
    is_strong: bool = False
    needs: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Heard:
    """A cue found in a stretch, from word `start` to `end`."""

    cue: Cue
    start: int
    end: int

    @property
    def text(self) -> str:
        return " ".join(self.cue.words).replace(" '", "'")


@cache
def _table() -> dict[str, Any]:
    text = resources.files("notebook.reading").joinpath("data", "amounts.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def word_set(section: str, name: str) -> frozenset[str]:
    """Give a list of words of the table."""
    return frozenset(_table()[section][name].split())


@cache
def table_of(section: str) -> Any:
    """Give a section of the table as it stands."""
    return _table()[section]


@cache
def _cues(kind: str) -> dict[str, list[Cue]]:
    """Give the cues of a kind by their first word, longest first."""
    cues: list[Cue] = []
    if kind in ("role", "running"):
        for group in _table()[kind]:
            needs = frozenset(group.get("needs", ()))
            for said in group["said"]:
                cues.append(Cue(phrase_of(said), group["role"], group["side"], group.get("is_strong", False), needs))
    else:
        cues = [Cue(phrase_of(said), name) for name, list_ in _table()[kind].items() for said in list_]
    by_word: dict[str, list[Cue]] = defaultdict(list)
    for cue in sorted(cues, key=lambda c: -len(c.words)):
        by_word[cue.words[0]].append(cue)
    return by_word


def cues_in(kind: str, words: Sequence[str], side: str = "either") -> list[Heard]:
    """Give every cue of a kind in a stretch of words, in order; at one word the longest of a kind of saying."""
    by_word = _cues(kind)
    heard: list[Heard] = []
    text = tuple(words)
    for at, word in enumerate(text):
        for cue in by_word.get(word, ()):
            if side in (cue.side, "either") and text[at : at + len(cue.words)] == cue.words:
                heard.append(Heard(cue, at, at + len(cue.words)))
    return heard


def cue_last(kind: str, words: Sequence[str], *, without: str | None = "measured") -> Heard | None:
    """Give the cue that ends last before a figure (the longest of those), if any."""
    heard = [h for h in cues_in(kind, words, "before") if h.cue.says != without and _is_needed(h, words)]
    return max(heard, key=lambda h: (h.end, h.end - h.start), default=None)


def cue_first(kind: str, words: Sequence[str], within: int) -> Heard | None:
    """Give the cue that begins within so many words behind a figure (the first, the longest), if any."""
    heard = [h for h in cues_in(kind, words, "after") if h.start < within]
    return min(heard, key=lambda h: (h.start, h.start - h.end), default=None)


def _is_needed(heard: Heard, words: Sequence[str]) -> bool:
    return not heard.cue.needs or any(w in heard.cue.needs for w in words[: heard.start])
