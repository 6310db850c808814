"""Says how the verb of a deed is meant: done, planned, told, only half meant or denied, and by whom.

In: a line and the place of a verb in it. Out: a `Meant`. Reads the words to the left of the verb:
"'ve had ... off" is done, "wants skimming" planned, "bin it" told, "I'd half a mind to bin it" neither.
Never looks at which part it is about.
"""

from __future__ import annotations

from dataclasses import dataclass

from notebook.reading.deed_words import BASE, ING, PAST, THIRD
from notebook.reading.line import Line
from notebook.reading.sheets import Chunk

DONE, PLANNED, TOLD, STATE, CAN, PRESENT, NO = "done", "planned", "told", "state", "can", "present", "no"
"""Done: "I've binned it". Planned: "I'll bin it", "wants binning". Told: "bin it". State: "it's binned", "was" left out.
Can: "it can stay". Present: "it goes again". No: would, was going to, a plain infinitive."""

_BE = frozenset(
    ["is", "are", "'s", "'re", "am", "'m", "isn't", "aren't", "be", "been", "being", "was", "were", "wasn't", "weren't"]
)
_WAS = frozenset(["was", "were", "wasn't", "weren't"])
_HAVE = frozenset(["have", "has", "'ve", "had", "haven't", "hasn't", "hadn't"])
_GET = frozenset(["get", "gets", "getting", "got", "gotten"])
NEGATIVE = frozenset(
    [
        "not",
        "never",
        "no",
        "don't",
        "doesn't",
        "didn't",
        "isn't",
        "aren't",
        "wasn't",
        "weren't",
        "haven't",
        "hasn't",
        "hadn't",
        "won't",
        "can't",
        "cannot",
        "wouldn't",
        "shouldn't",
        "couldn't",
        "needn't",
        "mustn't",
        "nor",
        "without",
        "neither",
        "hardly",
        "'nt",
        "ain't",
        "nowt",
    ]
)
_OPENERS = frozenset(
    ["and", "then", "so", "just", "please", "right", "well", "okay", "or", "but", "now", "also", "&", "plus"]
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """How one verb stands."""

    time: str
    is_negative: bool = False
    is_passive: bool = False
    first: int = 0
    """First word of the verb with its auxiliaries: "'ll have to" and on; what stands before it may be its subject."""
    causative: tuple[int, int] | None = None
    """Chunks of the part that is had or got done: "having | that | skimmed"."""


@dataclass(slots=True)
class _Walk:
    """A place in the line, going left, and whether something denied was passed."""

    line: Line
    at: int
    is_negative: bool = False

    def skip(self) -> str:
        """Pass over adverbs and negatives; give the word that stands there, empty at the beginning."""
        adverbs = self.line.deeds.meant["adverbs"]
        while self.at >= 0:
            low = self.line.low(self.at)
            chunk = self.line.chunks[self.line.words[self.at].at]
            if chunk.cue in ("negation.before", "not_looked.said", "negation.after") and low not in _BE | _HAVE:
                self.is_negative |= chunk.low not in ("i don't think", "don't think")
                if low not in NEGATIVE or low in _LONE:
                    self.at -= 1
                    continue
            if low in _LONE:
                self.is_negative = True
            elif low not in adverbs or self.line.words[self.at].is_part:
                break
            self.at -= 1
        low = self.line.low(self.at)
        if low in NEGATIVE:
            self.is_negative = True
        return low


_LONE = frozenset(["not", "never", "nor", "neither", "hardly", "no", "nowt"])


def how_meant(line: Line, verb: int, *, start: int | None = None, moves: bool = False) -> Meant:
    """Say how the verb at a place of a line is meant; `start` is where its phrase begins ("wire | brush")."""
    walk = _Walk(line, (verb if start is None else start) - 1)
    before = walk.skip()
    found = line.deeds.forms.get(line.low(verb))
    forms = found[1] if found else frozenset({PAST} if "ed" in line.lexicon.word_classes(line.low(verb)) else ())
    if ING in forms:
        return _of_ing(walk, before)
    if PAST in forms and not (BASE in forms and _takes_base(walk, before)):
        return _of_past(walk, before, is_base_too=BASE in forms)
    if BASE in forms:
        return _of_base(walk, before, moves=moves)
    if THIRD in forms:
        return Meant(time=PRESENT if moves else NO, is_negative=walk.is_negative, first=walk.at + 1)
    return Meant(time=NO, first=verb)


def _takes_base(walk: _Walk, before: str) -> bool:
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


def _of_past(walk: _Walk, before: str, *, is_base_too: bool) -> Meant:
    line = walk.line
    if before in _BE:
        return _of_be(walk, before)
    if before in _GET:
        walk.at -= 1
        if before == "get":
            inner = _of_base(walk, walk.skip())
            time = PLANNED if inner.time in (TOLD, PRESENT) and line.is_part(walk.at) else inner.time
            return Meant(time=time, is_negative=walk.is_negative, is_passive=True, first=inner.first)
        return Meant(
            time=DONE if before in ("got", "gotten") else PLANNED,
            is_negative=walk.is_negative,
            is_passive=True,
            first=_over_be(walk),
        )
    if before in _HAVE:
        return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at)
    if before in line.deeds.meant["need"]:
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=_over_auxiliaries(walk))
    if before == "'d" and line.low(walk.at - 1) in ("i", "we", "they", "he", "she"):
        return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at)
    if before == "to" or before in line.deeds.meant["maybe"]:
        return Meant(time=NO, first=walk.at)
    if line.is_part(walk.at):
        return _after_part(walk, is_base_too=is_base_too)
    if before == "you":
        return Meant(time=NO, first=walk.at)
    return Meant(time=DONE, is_negative=walk.is_negative, first=walk.at + 1)


def _of_be(walk: _Walk, be: str) -> Meant:
    """ "Is skimmed", "'s been binned", "to be relined", "being replaced"."""
    place = walk.at
    walk.at -= 1
    if be == "be":
        inner = _of_base(walk, walk.skip())
        return Meant(time=inner.time, is_negative=walk.is_negative, is_passive=True, first=inner.first)
    if be == "being":
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=_over_be(walk))
    if be == "been":
        before = walk.skip()
        time = NO if before in walk.line.deeds.meant["maybe"] else DONE
        return Meant(time=time, is_negative=walk.is_negative, is_passive=True, first=_over_be(walk))
    if be in _WAS:
        return Meant(time=NO, is_negative=walk.is_negative, is_passive=True, first=place)
    return Meant(time=STATE, is_negative=walk.is_negative, is_passive=True, first=place)


def _over_be(walk: _Walk) -> int:
    """Give the place of an auxiliary "is" or "have" before the verb, or the place right behind."""
    low = walk.skip()
    return walk.at if low in _BE | _HAVE else walk.at + 1


def _over_auxiliaries(walk: _Walk) -> int:
    walk.at -= 1
    low = walk.skip()
    return (
        walk.at
        if low in walk.line.deeds.meant["will"] | _BE | {"do", "does", "don't", "doesn't", "might", "may"}
        else walk.at + 1
    )


def _after_part(walk: _Walk, *, is_base_too: bool) -> Meant:
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


def _had_done(walk: _Walk, chunk_at: int) -> Meant | None:
    """ "I'll have all four remetalled", "get the crank ground", "I'd like it measured", "want that checked"."""
    line = walk.line
    first = chunk_at
    while first and (
        line.chunks[first - 1].kind in ("number", "thread", "determiner") or line.chunks[first - 1].low in ("and", "&")
    ):
        first -= 2 if line.chunks[first - 1].low in ("and", "&") else 1
    inner = _Walk(line, line.first_word(first) - 1)
    before = inner.skip()
    causative = (first, chunk_at + 1)
    if before in ("have", "get"):
        inner.at -= 1
        found = _of_base(inner, inner.skip())
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
            first=_over_be(_left(inner)),
            causative=causative,
        )
    if before in ("had", "got"):
        return Meant(
            time=DONE, is_negative=inner.is_negative, is_passive=True, first=_over_be(_left(inner)), causative=causative
        )
    if before in ("want", "need", "like", "wants", "needs", "love", "prefer"):
        return Meant(
            time=PLANNED,
            is_negative=inner.is_negative,
            is_passive=True,
            first=_over_auxiliaries(inner),
            causative=causative,
        )
    return None


def _left(walk: _Walk) -> _Walk:
    walk.at -= 1
    return walk


def _of_base(walk: _Walk, before: str, *, moves: bool = False) -> Meant:
    """The plain verb: after will or can, after "to", told ("bin it"), or of a plural subject ("they go again")."""
    meant = walk.line.deeds.meant
    here = walk.at
    if before in meant["will"] or before == "won't":
        if before in ("better", "best"):
            return Meant(time=PLANNED, is_negative=walk.is_negative, first=_over_auxiliaries(walk))
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
    if before in _OPENERS or not before or walk.line.chunks[walk.line.words[here].at].kind == "interjection":
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


def _of_infinitive(walk: _Walk, before: str) -> Meant:
    """ "Had to drift it out" is done, "going to skim it" planned, "took a puller to shift it" done, "hard to clean" neither."""
    line, here = walk.line, walk.at
    plan = line.deeds.meant["plan"]
    if before in ("had", "managed"):
        return Meant(time=DONE, is_negative=walk.is_negative, first=_over_be(_left(walk)))
    if before in _BE and before not in _WAS | {"been", "being"}:
        return Meant(time=PLANNED, is_negative=walk.is_negative, first=here)
    if before in plan:
        if before == "got" and line.low(here - 1) not in ("'ve", "'s", "have", "has", "i", "we"):
            return Meant(time=NO, first=here)
        inner = _left(walk)
        auxiliary = inner.skip()
        if (
            auxiliary in _WAS
            or auxiliary in ("half", "would")
            or (
                auxiliary in line.deeds.meant["maybe"]
                and before not in ("like", "love", "prefer", "best", "better", "have", "need")
            )
        ):
            return Meant(time=NO, first=inner.at)
        first = (
            inner.at
            if auxiliary in _BE | _HAVE | line.deeds.meant["will"] | line.deeds.meant["maybe"] | {"don't", "doesn't"}
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


def _of_ing(walk: _Walk, before: str) -> Meant:
    """ "Wants skimming", "I'm ordering", "for regrinding", "binning that"; "after slackening the clamp" is done."""
    line, here = walk.line, walk.at
    if before in line.deeds.meant["need"] or before == "worth":
        return Meant(time=PLANNED, is_negative=walk.is_negative, is_passive=True, first=_over_auxiliaries(walk))
    if before in _BE:
        if before in _WAS or before == "been":
            return Meant(time=NO, first=here)
        if before == "be":
            inner = _of_base(_left(walk), walk.skip())
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
    if not before or before in _OPENERS:
        return Meant(time=TOLD, is_negative=walk.is_negative, first=here + 1)
    return Meant(time=NO, first=here)
