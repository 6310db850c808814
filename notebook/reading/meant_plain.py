"""How the plain verb is meant: after will or can, after "to", told, or of a plural subject.

In: a walk to the left of the verb. Out: a `Meant`.

Examples: "I'll clean it up and lap it in" both planned; "had to drift it out" done; "hard to clean" neither; "bin it" told.
"""

from __future__ import annotations

from notebook.reading.line import Line
from notebook.reading.sheets import Chunk
from notebook.reading.verb_walk import (
    BE,
    CAN,
    DONE,
    HAVE,
    NO,
    OPENERS,
    PLANNED,
    PRESENT,
    TOLD,
    WAS,
    Meant,
    Walk,
    left,
    over_auxiliaries,
    over_be,
)


def of_base(walk: Walk, before: str, *, moves: bool = False) -> Meant:
    """The plain verb: after will or can, after "to", told ("bin it"), or of a plural subject ("they go again")."""
    meant = walk.line.deeds.meant
    here = walk.at
    if before in meant["will"] or before == "won't":
        if before in ("better", "best"):
            return Meant(time=PLANNED, is_negative=walk.is_negative, first=over_auxiliaries(walk))
        return Meant(time=PLANNED, is_negative=walk.is_negative, first=here)
    if before in ("can", "can't", "cannot"):
        return Meant(time=CAN, is_negative=walk.is_negative, first=here)
    if before in ("well", "as"):
        return Meant(
            time=PLANNED if "as well" in " ".join(walk.line.lows[max(0, here - 3) : here + 1]) else NO,
            first=max(0, here - 2),
        )
    if before in meant["maybe"]:
        return Meant(time=CAN if before == "should" and moves else NO, is_negative=walk.is_negative, first=here)
    if before in ("don't", "do", "didn't", "doesn't", "does", "did"):
        return Meant(time=TOLD, is_negative=walk.is_negative, first=here)
    if before == "to":
        walk.at -= 1
        return _of_infinitive(walk, walk.skip())
    if before in OPENERS or not before or walk.line.chunks[walk.line.words[here].at].kind == "interjection":
        return Meant(time=_shared_time(walk.line, here), is_negative=walk.is_negative, first=here + 1)
    if walk.line.is_part(here):
        chunk = walk.line.chunks[walk.line.words[here].at]
        return Meant(time=_of_plain_subject(chunk, moves=moves), is_negative=walk.is_negative, first=here + 1)
    return Meant(time=NO, first=here + 1)


def _of_plain_subject(chunk: Chunk, *, moves: bool) -> str:
    """ "They go again" is present; "extra one, throw it" is told of what was named first; "I bin those" is a habit."""
    if chunk.pronoun in ("i", "we", "you", "ye", "he", "she", "who"):
        return NO
    return PRESENT if moves else TOLD


def _shared_time(line: Line, here: int) -> str:
    """ "I'll clean it up and lap it in", "had to warm it and drift it out": the second verb shares what the first was under."""
    lows = line.lows[: here + 1]
    if not lows or line.low(here) not in ("and", "&", "or"):
        return TOLD
    for n in range(here - 1, -1, -1):
        if line.low(n) in line.deeds.meant["will"]:
            return PLANNED
        if line.low(n) == "to":
            return DONE if line.low(n - 1) in ("had", "managed") else PLANNED
    return TOLD


def _of_infinitive(walk: Walk, before: str) -> Meant:
    """ "Had to drift it out" is done, "going to skim it" planned, "took a puller to shift it" done, "hard to clean" neither."""
    line, here = walk.line, walk.at
    plan = line.deeds.meant["plan"]
    if before in ("had", "managed"):
        return Meant(time=DONE, is_negative=walk.is_negative, first=over_be(left(walk)))
    if before in BE and before not in WAS | {"been", "being"}:
        return Meant(time=PLANNED, is_negative=walk.is_negative, first=here)
    if before in plan:
        if before == "got" and line.low(here - 1) not in ("'ve", "'s", "have", "has", "i", "we"):
            return Meant(time=NO, first=here)
        inner = left(walk)
        auxiliary = inner.skip()
        if (
            auxiliary in WAS
            or auxiliary in ("half", "would")
            or (
                auxiliary in line.deeds.meant["maybe"]
                and before not in ("like", "love", "prefer", "best", "better", "have", "need")
            )
        ):
            return Meant(time=NO, first=inner.at)
        first = (
            inner.at
            if auxiliary in BE | HAVE | line.deeds.meant["will"] | line.deeds.meant["maybe"] | {"don't", "doesn't"}
            else inner.at + 1
        )
        return Meant(time=PLANNED, is_negative=walk.is_negative, first=first)
    if before in ("never", "forgot", "used", "tempted"):
        return Meant(time=NO, first=here)
    return Meant(
        time=NO if not _took_something(line, here) else DONE,
        is_negative=walk.is_negative,
        first=_took_something(line, here) or here,
    )


def _took_something(line: Line, end: int) -> int | None:
    """ "Took the puller to shift it", "needed a bar to get it off": what it took says that it was done."""
    for n in range(end, -1, -1):
        if line.low(n) in ("took", "needed", "used", "wanted", "required") and not (
            n and line.low(n - 1) in ("you", "'d", "have", "would")
        ):
            return n
    return None
