"""Works out what a clause is about: which part, which one of them, how many of how many.

In: clauses one after the other, and what was spoken of before. Out: a `Bearer` for the subject of a clause
and for any part chunk in it. Keeps the focus (what was just spoken of) and the group being counted.
Never guesses: where nothing points to a part the component is None and there is a doubt.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.reading.clause import Clause
from notebook.reading.focus import Bearer, Focus
from notebook.reading.sheets import Chunk

NOTHING_BEFORE = "nothing said before for this to point to"


SPEAKERS = frozenset(
    "i you we he she who somebody someone anybody nobody everybody ye me us him her himself whoever".split()
)


_POINTING = frozenset(["it", "they", "this", "that", "these", "those", "them"])


_GENERIC = frozenset(
    (
        "tooth teeth thread lip face seat bore hole spline edge rim end groove land skirt crown stem head "
        "shank surface cage ring"
    ).split()
)


def resolve(chunk: Chunk, focus: Focus) -> Bearer | None:
    """Say which part a chunk means; None when it is no part (the speaker, a day, a place to put things)."""
    if chunk.pronoun in ("she", "he", "her", "him") and focus.bearer and focus.is_about_machine:
        return replace(focus.bearer)
    if chunk.pronoun in SPEAKERS:
        return None
    if chunk.name is not None and not chunk.is_unspecific:
        return _named(chunk, focus)
    if chunk.name is not None:
        return _unspecific(chunk, focus)
    return _pointed(chunk, focus)


def _named(chunk: Chunk, focus: Focus) -> Bearer:
    name = chunk.name or ""
    if chunk.quantity and not chunk.is_known:
        owner = chunk.owner
        if owner:
            return Bearer(component=owner, position=chunk.position, is_named=True)
        return replace(focus.bearer, is_named=False) if focus.bearer else Bearer()
    if chunk.owner and name in _GENERIC:
        name = f"{chunk.owner} {name}"
    count, of = chunk.count, chunk.of
    if chunk.determiner in ("both",):
        count = of = 2
    elif chunk.determiner in ("all",) and count is not None:
        of = count
    elif chunk.determiner in ("a", "an", "one") and count is None and not chunk.is_plural:
        count = 1 if chunk.determiner == "one" else None
    if count is not None and of is None and focus.group and focus.total and name == focus.group and count < focus.total:
        of = focus.total
    return Bearer(
        component=name, position=chunk.position, count=count, of=of, is_negative=chunk.is_negative, fastener=chunk.fastener,
        is_named=True, is_many=chunk.is_plural or (count or 0) > 1,
    )  # fmt: skip


def _unspecific(chunk: Chunk, focus: Focus) -> Bearer | None:
    head = (chunk.name or "").split()[-1] if chunk.name else ""
    if head in ("rest", "remaining", "remainder", "balance") and focus.bearer:
        left = focus.total - focus.counted if focus.total and focus.counted else None
        return replace(
            focus.bearer,
            component=focus.group or focus.bearer.component,
            position=None,
            count=left,
            of=focus.total if left else None,
        )
    if head == "pair" and focus.bearer:
        return replace(focus.bearer, count=2, of=2)
    if head == "lot" and focus.bearer:
        return replace(focus.bearer, count=focus.total, of=focus.total)
    return None


def _pointed(chunk: Chunk, focus: Focus) -> Bearer | None:
    before = focus.bearer
    pronoun = chunk.pronoun
    if before is None:
        if pronoun in ("other", "number", "all", "both", "one", "ones", "place") or pronoun in _POINTING:
            return Bearer(
                position=chunk.position, count=chunk.count, is_negative=chunk.is_negative, doubt=NOTHING_BEFORE
            )
        return None
    if pronoun in ("it", "they", "them"):
        before = _agreeing(before, focus, many=pronoun != "it")
    component = before.component
    if pronoun in _POINTING or pronoun is None:
        if chunk.of is not None or chunk.count is not None:
            return replace(
                before,
                component=component,
                count=chunk.count,
                of=chunk.of or focus.total,
                is_negative=chunk.is_negative,
            )
        return replace(before, is_negative=chunk.is_negative)
    if pronoun == "place":
        count = 2 if chunk.is_plural and chunk.determiner == "both" else None
        return replace(before, position=chunk.position, count=count, of=count, is_place=True)
    group = focus.group or component
    if pronoun in ("all", "both"):
        whole = chunk.count or (2 if pronoun == "both" else focus.total)
        return replace(before, component=group, position=None, count=whole, of=whole)
    if pronoun == "either":
        return replace(before, component=group, position=None, count=2, of=2)
    if pronoun in ("none", "neither"):
        whole = chunk.of or (2 if pronoun == "neither" else focus.total)
        return replace(before, component=group, position=None, count=whole, of=whole, is_negative=True)
    if pronoun == "other":
        left = chunk.count
        if left is None and not chunk.is_plural:
            left = 1
        if left is None and focus.total:
            left = focus.total - focus.counted
        single = chunk.low in ("the other", "other", "the other one")
        if single:
            left = 1
        total = focus.total
        if total is None and left is not None and focus.counted:
            total = left + focus.counted
        return replace(before, component=group, position=chunk.position, count=left, of=total)
    if pronoun == "one" and chunk.determiner == "every" and (share := _EVERY.get(chunk.position or "")):
        return replace(
            before, component=group, position=None, count=(focus.total or 0) // share or None, of=focus.total
        )
    if pronoun in ("number", "one", "ones"):
        count = chunk.count
        if chunk.position is None and pronoun == "number" and count is not None:
            return replace(before, component=group, position=None, count=count, of=chunk.of or focus.total)
        if pronoun == "one" and chunk.position is None and chunk.low in ("this one", "that one", "one", "the one"):
            if chunk.low == "one":
                return replace(before, component=group, position=None, count=1, of=focus.total)
            return replace(before)
        return replace(
            before,
            component=_without_position(group, chunk.position),
            position=chunk.position or before.position,
            count=None,
            of=None,
        )
    if pronoun == "each":
        return replace(before, component=group, position=None)
    return None


def _placed(bearer: Bearer, clause: Clause, at: int) -> Bearer:
    """ "The wheel cylinder on the left is seized": which one it is, said behind the name."""
    following = clause.chunks[at + 1 : at + 3]
    if (
        bearer.position
        or len(following) < 2
        or following[0].low not in ("on", "at", "in", "to")
        or not following[1].is_part
    ):
        return bearer
    place = following[1]
    is_which = place.name is None and place.position and place.pronoun in ("one", "place", "number")
    return replace(bearer, position=place.position) if is_which and bearer.component else bearer


_EVERY = {"other": 2, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6}
""" "Every third one" of twenty-four is eight."""


def _agreeing(before: Bearer, focus: Focus, *, many: bool) -> Bearer:
    """ "Governor rope's good, no broken wires, no sign of it being dry": "it" is one thing, "they" are several."""
    if before.is_many == many or not focus.named:
        return before
    fitting = [b for b in focus.named if b.is_many == many and b.component != before.component]
    return replace(fitting[-1], count=None, of=None, is_negative=False, is_named=False) if fitting else before


def _is_said_of(clause: Clause, at: int) -> bool:
    """A tool can be the subject too ("puller's bent", "the stern tube isn't leaking")."""
    following = clause.chunks[at + 1 : at + 5]
    if following and following[0].kind == "condition" and following[0].tag != "noun":
        return True
    if not following or not (following[0].kind == "aux" or following[0].cue == "negation.before"):
        return False
    return any(c.kind == "condition" and c.tag != "noun" for c in following[1:])


_SIDES = frozenset("inlet exhaust left right inner outer front rear top bottom upper lower intake near far".split())


def _without_position(component: str | None, position: str | None) -> str | None:
    """ "Exhaust valve's stuck, inlet's free": the other one is a valve too, not an exhaust valve."""
    words = (component or "").split()
    if position and len(words) > 1 and words[0] in _SIDES:
        return " ".join(words[1:])
    return component


def subject_of(clause: Clause, focus: Focus) -> tuple[Bearer | None, int]:
    """Give the part a clause is about and the place of its chunk (-1 when it is carried over or there is none)."""
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind in ("verb", "condition") and at and not (chunk.kind == "condition" and chunk.tag == "noun"):
            break
        if chunk.kind == "aux" and at:
            break
        if chunk.is_part:
            if at and clause.chunks[at - 1].kind == "preposition":
                continue
            is_tool = chunk.tool is not None and not chunk.is_known and chunk.fastener is None
            if (chunk.container or is_tool) and not _is_said_of(clause, at):
                continue
            bearer = resolve(chunk, focus)
            if bearer is not None:
                return _placed(bearer, clause, at), at
    return (replace(focus.bearer), -1) if focus.bearer is not None else (None, -1)


def subjects_of(clause: Clause, subject: Bearer | None, subject_at: int, focus: Focus) -> list[Bearer]:
    """Give every part a verdict is said of: "A and B are worn", or the parts just listed ("..., all hard")."""
    if subject is None:
        return []
    chunks = clause.chunks
    if subject_at < 0:
        return [subject]
    first = chunks[subject_at]
    if (
        first.name is None
        and first.pronoun in ("all", "both", "they", "these")
        and first.count is None
        and len(focus.listed) > 1
    ):
        return list(focus.listed)
    out = [subject]
    at = subject_at
    while (
        first.name is not None
        and at + 2 < len(chunks)
        and chunks[at + 1].low in ("and", "&", "plus")
        and chunks[at + 2].is_part
        and chunks[at + 2].name
    ):
        bearer = resolve(chunks[at + 2], focus)
        if bearer is None or not bearer.component:
            break
        out.append(bearer)
        at += 2
    return out


def note_group(clause: Clause, focus: Focus) -> None:
    """ "Of the sixteen tappets I'd pass eleven, three are dished": the group that is being counted."""
    chunks = clause.chunks
    at = 1 if chunks[0].low in ("out", "and") and len(chunks) > 1 else 0
    if chunks[at].low == "of" and at + 1 < len(chunks) and chunks[at + 1].name and (chunks[at + 1].count or 0) > 1:
        bearer = resolve(chunks[at + 1], focus)
        if bearer is not None and bearer.component:
            focus.look_at(bearer)


def note_list(clause: Clause, focus: Focus) -> None:
    """Keep parts that are only named, for a verdict that follows on all of them."""
    chunks = clause.chunks
    parts = [c for c in chunks if c.is_part]
    is_bare = bool(parts) and all(
        (c.is_part and c.name and not c.is_unspecific) or c.low in ("and", "&", "plus") for c in chunks
    )
    if not is_bare:
        focus.listed = []
        return
    for chunk in parts:
        bearer = resolve(chunk, focus)
        if bearer is not None and bearer.component:
            focus.listed.append(bearer)


def part_after(chunks: Sequence[Chunk], at: int, prepositions: frozenset[str]) -> tuple[int, Chunk] | None:
    """Give the part that a preposition right after a chunk leads to: "scoring | on the drum"."""
    i = at + 1
    while i < len(chunks) and chunks[i].kind in ("adverb", "particle", "determiner"):
        if chunks[i].low in prepositions:
            break
        i += 1
    if i < len(chunks) and chunks[i].low in prepositions:
        i += 1
        while i < len(chunks) and (
            chunks[i].kind in ("determiner", "particle", "adverb") or chunks[i].low in prepositions
        ):
            i += 1
        if i < len(chunks) and chunks[i].is_part:
            return i, chunks[i]
    return None
