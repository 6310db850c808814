"""Leads from a place in the tidied text back to the words heard and the second of sound.

In: a remark, or its text, changes and words. Out: a place in the text as heard, the words of a stretch, a second from
the start of the remark, and entries whose confidence counts how surely their words were heard.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from notebook.entries import Entry
from notebook.nouns import Change, Remark, Unsettled, Word


def place_in_text(remark: Remark, at: int) -> int:
    """Give the character of `text` that a character of `tidied` came from."""
    return _place(remark.text, remark.changes, at)


def second_of(remark: Remark, at: int) -> float | None:
    """Give the second, from the start of the remark, of a character of `tidied`; None without word times."""
    if not remark.words:
        return None
    place = place_in_text(remark, at)
    for word, (_, end) in _places(remark.text, remark.words):
        if end > place:
            return word.start_s
    return remark.words[-1].start_s


def weigh_words(entries: Sequence[Entry], text: str, changes: Sequence[Change], words: Sequence[Word]) -> list[Entry]:
    """Multiply each entry's confidence by the mean probability of the words it rests on; words not heard weigh nothing."""
    return [
        replace(entry, confidence=round(entry.confidence * sum(known) / len(known), 2)) if known else entry
        for entry in entries
        for known in [[w.probability for w in _words_of(entry, text, changes, words)]]
    ]


def doubt_unsettled(
    entries: Sequence[Entry], text: str, changes: Sequence[Change], unsettled: Sequence[Unsettled]
) -> list[Entry]:
    """Put a doubt on each entry that rests on words which the ear left unsettled; an older doubt stands."""
    out = []
    for entry in entries:
        first, last = entry.span
        start, end = _place(text, changes, first), _place(text, changes, max(first, last - 1)) + 1
        other = next((what for from_, to, what in unsettled if from_ < end and to > start), None)
        out.append(replace(entry, doubt=other) if other is not None and entry.doubt is None else entry)
    return out


def _words_of(entry: Entry, text: str, changes: Sequence[Change], words: Sequence[Word]) -> Iterator[Word]:
    first, last = entry.span
    start, end = _place(text, changes, first), _place(text, changes, max(first, last - 1)) + 1
    for word, (from_, to) in _places(text, words):
        if from_ < end and to > start:
            yield word


def _place(text: str, changes: Sequence[Change], at: int) -> int:
    shift = 0
    for (start, end), (from_, to), _ in changes:
        if start <= at < end:
            return from_
        if end <= at:
            shift = to - end
    return max(0, min(len(text), at + shift))


def _places(text: str, words: Sequence[Word]) -> Iterator[tuple[Word, tuple[int, int]]]:
    """Give each word with where it stands in the text; one that is not there stands where the one before ended."""
    reached = 0
    for word in words:
        said = word.text.strip()
        found = text.find(said, reached)
        start = found if found >= 0 else reached
        reached = found + len(said) if found >= 0 else reached
        yield word, (start, reached)
