"""Says how the verb of a deed is meant: done, planned, told, only half meant or denied, and by whom.

In: a line and the place of a verb in it. Out: a `Meant`. Reads the words to the left of the verb:
"'ve had ... off" is done, "wants skimming" planned, "bin it" told, "I'd half a mind to bin it" neither.
Never looks at which part it is about.
"""

from __future__ import annotations

from notebook.reading.deed_words import BASE, ING, PAST, THIRD
from notebook.reading.line import Line
from notebook.reading.meant_plain import of_base
from notebook.reading.verb_walk import (
    BE,
    DONE,
    GET,
    HAVE,
    NO,
    OPENERS,
    PLANNED,
    PRESENT,
    STATE,
    TOLD,
    WAS,
    Meant,
    Walk,
    left,
    over_auxiliaries,
    over_be,
)

_NOT_BEFORE_ING = frozenset(
    [
        "before",
        "without",
        "by",
        "from",
        "of",
        "about",
        "avoid",
        "stop",
        "stopped",
        "keep",
        "kept",
        "try",
        "trying",
        "start",
        "started",
        "in",
        "when",
        "while",
    ]
)


def how_meant(line: Line, verb: int, *, start: int | None = None, moves: bool = False) -> Meant:
    """Say how the verb at a place of a line is meant; `start` is where its phrase begins ("wire | brush")."""
    walk = Walk(line, (verb if start is None else start) - 1)
    before = walk.skip()
    found = line.deeds.forms.get(line.low(verb))
    forms = found[1] if found else frozenset({PAST} if "ed" in line.lexicon.word_classes(line.low(verb)) else ())
    if ING in forms:
        return _of_ing(walk, before)
    if PAST in forms and not (BASE in forms and _takes_base(walk, before)):
        return _of_past(walk, before, is_base_too=BASE in forms)
    if BASE in forms:
        return of_base(walk, before, moves=moves)
    if THIRD in forms:
        return Meant(time=PRESENT if moves else NO, is_negative=walk.is_negative, first=walk.at + 1)
    return Meant(time=NO, first=verb)


def _takes_base(walk: Walk, before: str) -> bool:
    """ "To cut", "I'll set": a form that could be past too is not after what takes the plain verb."""
    will = walk.line.deeds.meant["will"] | walk.line.deeds.meant["maybe"]
    return before in will or before in (
        "to",
        "can",
        "can't",
        "don't",
        "won't",
        "you",
        "do",
        "does",
        "did",
        "didn't",
        "doesn't",
    )


def _of_past(walk: Walk, before: str, *, is_base_too: bool) -> Meant:
    line = walk.line
    if before in BE:
        return _of_be(walk, before)
    if before in GET:
        walk.at -= 1
        if before == "get":
            inner = of_base(walk, walk.skip())
            time = PLANNED if inner.time in (TOLD, PRESENT) and line.is_part(walk.at) else inner.time
            return Meant(time=time, is_negative=walk.is_negative, is_passive=True, first=inner.first)
        return Meant(
            time=DONE if before in ("got", "gotten") else PLANNED,
            is_negative=walk.is_negative,
            is_passive=True,
            first=over_be(walk),
        )
    if before in HAVE:
        return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at)
    if before in line.deeds.meant["need"]:
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=over_auxiliaries(walk))
    if before == "'d" and line.low(walk.at - 1) in ("i", "we", "they", "he", "she"):
        return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at)
    if before == "to" or before in line.deeds.meant["maybe"]:
        return Meant(time=NO, first=walk.at)
    if line.is_part(walk.at):
        return _after_part(walk, is_base_too=is_base_too)
    if before == "you":
        return Meant(time=NO, first=walk.at)
    return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at + 1)


def _of_be(walk: Walk, be: str) -> Meant:
    """ "Is skimmed", "'s been binned", "to be relined", "being replaced"."""
    place = walk.at
    walk.at -= 1
    if be == "be":
        inner = of_base(walk, walk.skip())
        return Meant(time=inner.time, is_negative=walk.is_negative, is_passive=True, first=inner.first)
    if be == "being":
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=over_be(walk))
    if be == "been":
        before = walk.skip()
        time = NO if before in walk.line.deeds.meant["maybe"] else DONE
        return Meant(time=time, is_negative=walk.is_negative, is_passive=True, first=over_be(walk))
    if be in WAS:
        return Meant(time=NO, is_negative=walk.is_negative, is_passive=True, first=place)
    return Meant(time=STATE, is_negative=walk.is_negative, is_passive=True, first=place)


def _after_part(walk: Walk, *, is_base_too: bool) -> Meant:
    """A part right before the verb: had done ("having that skimmed"), its subject ("I binned"), or done to it ("belt dropped")."""
    line = walk.line
    chunk_at = line.words[walk.at].at
    chunk = line.chunks[chunk_at]
    if chunk.pronoun in ("i", "we"):
        return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at)
    if chunk.pronoun in ("you", "ye"):
        return Meant(time=NO, first=walk.at)
    had = _had_done(walk, chunk_at)
    if had is not None:
        return had
    return Meant(time=NO if is_base_too else STATE, is_negative=walk.is_negative, is_passive=True, first=walk.at + 1)


def _had_done(walk: Walk, chunk_at: int) -> Meant | None:
    """ "I'll have all four remetalled", "get the crank ground", "I'd like it measured", "want that checked"."""
    line = walk.line
    first = chunk_at
    while first and (
        line.chunks[first - 1].kind in ("number", "thread", "determiner") or line.chunks[first - 1].low in ("and", "&")
    ):
        first -= 2 if line.chunks[first - 1].low in ("and", "&") else 1
    inner = Walk(line, line.first_word(first) - 1)
    before = inner.skip()
    causative = (first, chunk_at + 1)
    if before in ("have", "get"):
        inner.at -= 1
        found = of_base(inner, inner.skip())
        if found.time == NO and inner.at >= 0 and line.low(inner.at) in ("i", "we", "they") and before == "have":
            found = Meant(time=DONE, first=inner.at)
        return Meant(
            time=found.time, is_negative=inner.is_negative, is_passive=True, first=found.first, causative=causative
        )
    if before in ("having", "getting"):
        return Meant(
            time=PLANNED,
            is_negative=inner.is_negative,
            is_passive=True,
            first=over_be(left(inner)),
            causative=causative,
        )
    if before in ("had", "got"):
        return Meant(
            time=DONE, is_negative=inner.is_negative, is_passive=True, first=over_be(left(inner)), causative=causative
        )
    if before in ("want", "need", "like", "wants", "needs", "love", "prefer"):
        return Meant(
            time=PLANNED,
            is_negative=inner.is_negative,
            is_passive=True,
            first=over_auxiliaries(inner),
            causative=causative,
        )
    return None


def _of_ing(walk: Walk, before: str) -> Meant:
    """ "Wants skimming", "I'm ordering", "for regrinding", "binning that"; "after slackening the clamp" is done."""
    line, here = walk.line, walk.at
    if before in line.deeds.meant["need"] or before == "worth":
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=over_auxiliaries(walk))
    if before in BE:
        if before in WAS or before == "been":
            return Meant(time=NO, first=here)
        if before == "be":
            inner = of_base(left(walk), walk.skip())
            return Meant(time=inner.time, is_negative=walk.is_negative, first=inner.first)
        return Meant(time=PLANNED, is_negative=walk.is_negative, first=here)
    if before == "for":
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=here)
    if before in ("after", "since", "once"):
        return Meant(time=DONE, is_negative=walk.is_negative, first=here)
    if line.is_part(here):
        return _had_done(walk, line.words[here].at) or Meant(time=NO, first=here)
    if before in _NOT_BEFORE_ING:
        return Meant(time=NO, first=here)
    if not before or before in OPENERS:
        return Meant(time=TOLD, is_negative=walk.is_negative, first=here + 1)
    return Meant(time=NO, first=here)
