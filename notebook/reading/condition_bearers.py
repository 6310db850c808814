"""Says which part is in a condition, and where on it.

In: a clause, the place of the condition, the subject. Out: the bearer and a position.

Examples: "scoring on the drum", "it's stripped the hole", "bearing play".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.reading.after_be import LINKS
from notebook.reading.bearers import part_after, resolve
from notebook.reading.clause import Clause
from notebook.reading.focus import Bearer, is_sub_part
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

ON_PART = frozenset(
    (
        "in on at to of round around across along under between through up down onto into over inside about "
        "near with behind from off by"
    ).split()
)


def bearer_of(
    clause: Clause, at: int, chunk: Chunk, state: State, subject: Bearer | None, subject_at: int
) -> tuple[Bearer | None, str | None]:
    """Give the part that is in the condition, and where on it."""
    chunks = clause.chunks
    position = None
    made = at + 1 < len(chunks) and chunk.tag == "noun" and chunks[at + 1].low in _MADE
    after = part_after(chunks, at + 1 if made else at, ON_PART)
    if chunk.tag == "noun":
        owner = _owner(chunks, at, state)
        if owner is not None:
            return owner, _place_after(chunks, at)
        if after is not None and not _has_owner(chunks, subject_at, at):
            at_part, part = after
            if part.name in _NOWHERE and (further := part_after(chunks, at_part, ON_PART)):
                at_part, part = further
            bearer = resolve(part, state.focus)
            if part.pronoun in ("it", "they", "them") and subject is not None and subject.is_named:
                return subject, position
            if bearer is not None and not bearer.is_place and bearer.component and not _is_place_word(part):
                return bearer, _place_after(chunks, at_part)
            if bearer is not None and bearer.is_place:
                position = bearer.position
            elif bearer is None or _is_place_word(part):
                position = _place_text(chunks, at_part)
    elif after is not None and at and chunks[at - 1].low in _ANYTHING and after[1].name and not after[1].is_unspecific:
        return resolve(after[1], state.focus), None
    elif after is not None:
        position = _place_text(chunks, after[0]) if _is_place(after[1]) else None
        if position is None and after[1].pronoun == "place":
            position = after[1].position
    if (lacked := _lacked(chunks, at, state)) is not None:
        return lacked, position
    if _is_of_whole(chunks, subject_at, chunk, state) and state.focus.whole is not None:
        return replace(state.focus.whole), position
    if (hurt := _hurt(chunks, at, state)) is not None:
        return hurt, position
    if subject is not None and subject_at > at:
        subject = replace(state.focus.bearer) if state.focus.bearer else None
    return subject, position


_MADE = frozenset(
    "worn wore cut rubbed burnt burned sawn hammered eaten torn gouged melted punched knocked drilled running runs ran".split()
)
""" "A groove sawn across the heel", "a crack running from the keyway"."""

_ANYTHING = frozenset({"anything", "owt", "nothing", "nowt", "something", "summat", "aught", "ought", "a thing"})
""" "I can't see owt cracked round the rivets", "nothing loose in the linkage"."""

_NOWHERE = frozenset({"sight", "evidence", "view", "place", "places", "spot", "spots", "way", "bit", "world", "land"})
""" "Not a crack in sight on the casting", "scored in places on the skirt"."""


_HAVING = frozenset("with has have had got having".split())
""" "With fins missing", "has a lug cracked": what one has in a condition bears it."""


def subject_near(clause: Clause, at: int, subject_at: int) -> int | None:
    """ "It's not that the gib's worn", "had the piston out the rings are stuck": the part right before the verb of the verdict.

    Gives the place of its chunk when another verb stands between it and what the clause began with; else None.
    """
    chunks = clause.chunks
    if chunks[at].tag == "noun":
        return None
    if (
        at > 1
        and chunks[at - 1].name
        and not chunks[at - 1].is_unspecific
        and chunks[at - 2].low in _HAVING
        and at - 1 > subject_at
        and chunks[at - 3].pronoun not in ("i", "we", "you")
    ):
        return at - 1
    if _is_pointed_out(chunks, at, subject_at):
        return 2
    n = at - 1
    while (
        n > subject_at
        and chunks[n].kind in ("adverb", "cue", "condition", "conjunction", "verb")
        and (chunks[n].kind != "verb" or chunks[n].low in LINKS)
    ):
        n -= 1
    if n <= 0 or chunks[n].kind != "aux":
        return None
    is_participle = chunks[n].low in ("having", "being")
    while n > 0 and chunks[n].kind == "aux":
        n -= 1
    part = chunks[n]
    if chunks[n - 1].kind == "preposition" and not is_participle:
        return None
    if n <= max(subject_at, 0) or not part.is_part or not part.name or part.is_unspecific:
        return None
    between = chunks[max(subject_at, 0) + 1 : n]
    return n if any(c.kind in ("aux", "verb", "condition") for c in between) else None


def _is_pointed_out(chunks: Sequence[Chunk], at: int, subject_at: int) -> bool:
    """ "It's the union up above dripping": "it" only points to what bears the fault."""
    if subject_at != 0 or at < 3 or chunks[0].pronoun not in ("it", "that") or chunks[1].kind != "aux":
        return False
    part = chunks[2]
    is_named = part.is_part and part.name is not None and not part.is_unspecific and part.determiner == "the"
    return is_named and all(c.kind in ("particle", "preposition", "adverb") for c in chunks[3:at])


def _lacked(chunks: Sequence[Chunk], at: int, state: State) -> Bearer | None:
    """ "Back gear's missing two teeth", "it had lost a circlip": what is missing is named after the word."""
    if chunks[at].low not in ("missing", "lost") or at == 0 or at + 1 >= len(chunks):
        return None
    part = chunks[at + 1]
    if not part.is_part or not part.name or part.is_unspecific or (part.count is None and part.determiner is None):
        return None
    return resolve(part, state.focus)


_OF_THE_WHOLE = frozenset({"worn out", "sound", "stretched", "out of true"})


def _is_of_whole(chunks: Sequence[Chunk], subject_at: int, chunk: Chunk, state: State) -> bool:
    """ "Sixteen links go twelve inches, so it's toast": a verdict on "it" is on the chain, not on its links."""
    if subject_at < 0 or not is_sub_part(state.focus.bearer.component if state.focus.bearer else None):
        return False
    return chunks[subject_at].pronoun in ("it", "that", "she", "this") and chunk.conditions[0].term in _OF_THE_WHOLE


_HURTS = frozenset(
    (
        "stripped chewed scored worn cracked bent broken torn ripped marked damaged ruined chipped burnt melted gouged dented sheared "
        "split cut grooved knackered wrecked buggered holed cooked twisted bruised pitted scratched polished snapped blown wiped warped "
        "wallowed broke tore wore bust busted"
    ).split()
)


def _hurt(chunks: Sequence[Chunk], at: int, state: State) -> Bearer | None:
    """ "It's stripped the hole", "might have chewed the housing": what was done is done to the part behind it."""
    following = at + 1
    while following < len(chunks) and chunks[following].low in ("up", "out"):
        following += 1
    if chunks[at].low.split()[0] not in _HURTS or following >= len(chunks) or not chunks[following].is_part:
        return None
    part = chunks[following]
    is_active = any(c.low in ("has", "have", "'s", "'ve", "had", "having") for c in chunks[:at]) or not any(
        c.kind == "aux" for c in chunks[:at]
    )
    if not part.name or not part.determiner or part.is_unspecific or not is_active or not at:
        return None
    return resolve(part, state.focus)


def _has_owner(chunks: Sequence[Chunk], subject_at: int, at: int) -> bool:
    """Tell "the bore's got rust in the middle" (subject bears it) from "there's rust in the bore"."""
    if subject_at < 0 or subject_at >= at:
        return False
    subject = chunks[subject_at]
    if subject.name is None and subject.pronoun not in (
        "it",
        "they",
        "one",
        "number",
        "other",
        "this",
        "these",
        "that",
        "place",
        "both",
        "all",
    ):
        return False
    words = {c.low for c in chunks[subject_at + 1 : at]}
    return bool(words & {"got", "has", "have", "had", "shows", "showing", "with", "'ve", "having", "shown", "wants"})


def _owner(chunks: Sequence[Chunk], at: int, state: State) -> Bearer | None:
    """Give the part named right before a condition noun: "bearing | play", "tooth | wear"."""
    if at == 0 or not chunks[at - 1].is_part or chunks[at - 1].name is None or chunks[at - 1].is_unspecific:
        return None
    return resolve(chunks[at - 1], state.focus)


def _is_place_word(part: Chunk) -> bool:
    is_put = part.container and (part.name or "").split()[-1:] not in (
        ["case"],
        ["pan"],
        ["cup"],
        ["bowl"],
        ["lid"],
        ["bucket"],
        ["cap"],
    )
    return part.is_unspecific or is_put or part.pronoun == "place"


def _is_place(part: Chunk) -> bool:
    return part.pronoun == "place" or part.name is not None or part.position is not None


def _place_text(chunks: Sequence[Chunk], at: int) -> str | None:
    part = chunks[at]
    if part.pronoun in ("it", "they", "them", "this", "that", "me"):
        return None
    words = [w for w in part.low.split() if w not in ("the", "a", "an", "its", "his", "their")]
    if at and chunks[at - 1].kind == "preposition":
        return f"{chunks[at - 1].low} the {' '.join(words)}" if words else None
    return " ".join(words) or None


def _place_after(chunks: Sequence[Chunk], at: int) -> str | None:
    after = part_after(chunks, at, ON_PART)
    if after is None:
        return None
    return _place_text(chunks, after[0])
