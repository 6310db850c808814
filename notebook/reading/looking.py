"""Moves the focus: which part the next "it" will mean, once a clause has been read.

In: a clause with its subject, and the state. Out: the focus moved, or left where it was.
A noun of no list takes the focus only when something is said of it or done to it.
"""

from __future__ import annotations

from notebook.reading.bearers import resolve
from notebook.reading.clause import QUESTION, Clause
from notebook.reading.focus import Bearer
from notebook.reading.sheets import Chunk
from notebook.reading.state import State


def look(clause: Clause, at: int, subject: Bearer | None, state: State) -> None:
    """Move the focus: to the subject when it is named, else to a part named in the clause.

    `at` is the place of the subject's chunk, -1 when it is carried over.
    """
    if clause.mood == QUESTION or (clause.joiner in _BESIDE and state.focus.named):
        return
    if clause.chunks[0].low in _EXCEPTING and len(clause.chunks) > 1 and clause.chunks[1].is_part:
        named = resolve(clause.chunks[1], state.focus)
        if named is not None and named.component and named.position:
            state.focus.look_at(named)
            return
    if subject is not None and at >= 0 and subject.component and not _is_clock(clause.chunks[at].name):
        if not subject.is_named or _is_worth(clause, at):
            state.focus.look_at(subject)
        if subject.is_named:
            note_one(clause, state)
            return
    for n, chunk in enumerate(clause.chunks):
        if _can_be_next(clause, n, chunk, subject, at, state):
            bearer = resolve(chunk, state.focus)
            if bearer is not None and bearer.is_named:
                state.focus.look_at(bearer)
                return


def note_one(clause: Clause, state: State) -> None:
    """ "A ding in one blade, the other three are fine": what there is one of is what is counted next."""
    for n, chunk in enumerate(clause.chunks):
        is_one = chunk.determiner == "one" or chunk.count == 1
        if (
            n
            and chunk.is_part
            and chunk.name
            and is_one
            and not chunk.is_unspecific
            and clause.chunks[n - 1].kind == "preposition"
        ):
            state.focus.group, state.focus.total, state.focus.counted = chunk.name, None, 1


def _can_be_next(clause: Clause, n: int, chunk: Chunk, subject: Bearer | None, at: int, state: State) -> bool:
    if not (chunk.is_part and chunk.name) or chunk.is_unspecific or chunk.tool or chunk.container or chunk.quantity:
        return False
    in_phrase = n > 0 and clause.chunks[n - 1].kind == "preposition"
    has_own_subject = at >= 0 or any(c.low in ("there", "here") for c in clause.chunks[:2])
    if state.focus.named and (in_phrase or not (has_own_subject or _is_done_to(clause, n))):
        return False
    is_cleft = n >= 2 and clause.chunks[0].pronoun in ("it", "that", "this") and clause.chunks[1].kind == "aux"
    if subject is not None and at >= 0 and subject.component and not is_cleft:
        return False
    return _is_worth(clause, n) and not _is_clock(chunk.name)


def _is_worth(clause: Clause, n: int) -> bool:
    """Tell whether a noun is likely a part here: a known one, a counted one, or one something is said of."""
    chunk = clause.chunks[n]
    return bool(chunk.is_known or chunk.fastener or chunk.owner or chunk.count is not None or _is_spoken_of(clause, n))


def _is_done_to(clause: Clause, n: int) -> bool:
    """ "Pulled the drum", "take out the shims": the object of a deed is what is spoken of next."""
    return any(c.kind == "verb" and c.tag in ("V", "B", "E") for c in clause.chunks[:n])


def _is_spoken_of(clause: Clause, n: int) -> bool:
    """A noun of no list is taken for a part when something is said of it or done to it."""
    following = clause.chunks[n + 1 : n + 3]
    return (
        any(c.kind in _SAYING or (c.kind == "verb" and c.tag == "V") for c in following)
        or (n > 0 and clause.chunks[n - 1].kind == "verb")
        or (n > 1 and clause.chunks[n - 1].kind == "preposition" and clause.chunks[n - 2].tool is not None)
        or len(clause.chunks) <= 2
    )


_SAYING = frozenset({"condition", "particle", "aux", "amount", "number"})
""" "Housing bore | 152.08": a size is said of a part as a condition is; "put the meter on the start cap" speaks of the cap."""

_EXCEPTING = frozenset({"bar", "except", "but", "save"})

_BESIDE = frozenset("where when while as before after since until till once if because that cause cos".split())
"""A clause joined by one of these says something by the way; what was spoken of stays."""


_TELLS = frozenset(
    "clock book speedo meter limit spec manual minimum maximum photo picture placard nameplate sticker chart sheet label gauge dial handbook".split()
)
""" "Placard says 225": what tells a figure is not what is spoken of."""


def _is_clock(name: str | None) -> bool:
    return (name or "").split()[-1:] != [] and (name or "").split()[-1] in _TELLS
