"""Reads what a part is given, gets or wants, said with a noun: "needs a light skim", "give it a good clean", "due a rebuild".

In: a line. Out: dispositions. Never takes "had a rebuild last year" or "doesn't need a skim" for a plan.
"""

from __future__ import annotations

from notebook.entries import Disposition
from notebook.reading.clause import Clause
from notebook.reading.deed_parts import resolve_all, subject_parts
from notebook.reading.doers import OTHER, YOU, doer_of
from notebook.reading.focus import Bearer
from notebook.reading.line import Line
from notebook.reading.meant import how_meant
from notebook.reading.state import State
from notebook.reading.verb_walk import CAN, NEGATIVE, PLANNED, TOLD

_GIVERS = frozenset({"need", "want", "get", "have", "give", "require", "deserve", "take", "do", "due", "like"})


def read_treatments(line: Line, clause: Clause, state: State) -> list[Disposition]:
    """Give what parts are to get."""
    out: list[Disposition] = []
    for at, chunk in enumerate(line.chunks):
        action = _named_treatment(line, at)
        if action is None:
            continue
        parts = _given_to(line, at, clause, state)
        out.extend(
            Disposition(
                component=bearer.component, position=bearer.position, action=action, count=bearer.count,
                span=state.span(clause.start, clause.end), cue=chunk.low, rule="disposition.treatment", doubt=bearer.doubt, from_=bearer.from_,
            )
            for bearer in parts
        )  # fmt: skip
    return out


def _named_treatment(line: Line, at: int) -> str | None:
    """Give the action a noun names, with "a" before it: "a good clean", "a seal kit", "an insert"."""
    chunk = line.chunks[at]
    if chunk.kind == "condition" and at and line.chunks[at - 1].low in ("a", "an"):
        return line.deeds.nouns.get(chunk.low)
    words = (chunk.name or chunk.low).split()
    if not chunk.is_part or chunk.determiner not in ("a", "an", "another", "some", None):
        return None
    for n in range(len(words)):
        action = line.deeds.nouns.get(" ".join(words[n:]))
        if action is not None and (chunk.determiner is not None or n):
            return action
    return None


def _given_to(line: Line, at: int, clause: Clause, state: State) -> list[Bearer]:
    """Give the parts that are to get it; none when nothing says that they are."""
    word = line.first_word(at) - 1
    adverbs = line.deeds.meant["adverbs"]
    given: list[Bearer] = []
    while (
        word >= 0
        and (line.low(word) in adverbs or line.low(word) in ("a", "an", "with", "only", "good"))
        and not line.words[word].is_part
    ):
        word -= 1
    if word >= 0 and line.words[word].is_part:
        last = line.words[word].at
        given = resolve_all(line.chunks[last : last + 1], state)
        word = line.first_word(last) - 1
        if line.base(word) != "give":
            return []
    base = line.base(word)
    if line.low(word) == "for":
        return _rest(subject_parts(line, word, clause, state), state) if word and not given else []
    if base not in _GIVERS or line.low(word) in NEGATIVE:
        return []
    if base in ("need", "want", "require", "deserve", "due"):
        before = line.lows[max(0, word - 3) : word]
        if set(before) & NEGATIVE or "you" in before:
            return []
        return _rest(subject_parts(line, _helped(line, word), clause, state), state)
    meant = how_meant(line, word)
    if base == "do" and line.low(word - 1) not in ("could", "'d"):
        return []
    if (
        base != "do"
        and line.low(word) not in ("having", "getting", "gets")
        and (meant.time not in (PLANNED, CAN, TOLD) or meant.is_negative)
    ):
        return []
    if (
        base in ("get", "have", "take", "like")
        and meant.time == TOLD
        and line.low(word) in ("get", "have", "take", "like")
    ):
        return []
    if doer_of(line, meant.first, clause, state) in (OTHER, YOU):
        return []
    return given or _rest(subject_parts(line, min(meant.first, word), clause, state), state)


def _helped(line: Line, word: int) -> int:
    while word and line.low(word - 1) in (
        "'ll",
        "will",
        "only",
        "just",
        "is",
        "'s",
        "are",
        "'re",
        "really",
        "does",
        "probably",
        "might",
        "also",
        "could",
    ):
        word -= 1
    return word


def _rest(parts: list[Bearer], state: State) -> list[Bearer]:
    if parts:
        return parts
    return [state.focus.bearer] if state.focus.bearer is not None else [Bearer(doubt="which part is not said")]
