"""Knows a spoken cue of the bench from a remark.

In: the words of one remark, and the shop's own phrases. Out: the cue with what it is about, or None.
A cue is the whole of what was said, but for "please" and the like: a remark that only holds such words stays a remark.
Never reads a fact and never acts.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

CueName = Literal["photo", "scratch", "correction", "new part", "place", "close", "read back", "left", "where", "seen", "sleep", "wake", "person", "yes", "no", "reopen", "ask", "left off", "inside"]  # fmt: skip

PHRASES: dict[CueName, tuple[str, ...]] = {
    "photo": ("photo", "picture", "photo of this", "photo of that", "take a photo", "photo please"),
    "scratch": ("scratch that", "scratch that last one", "scratch the last one"),
    "close": ("close the job", "close this job"),
    "read back": ("read that back", "read it back", "say that again"),
    "left": ("what's left", "what is left", "what's missing", "what have I not said", "what haven't I said"),
    "left off": ("where were we", "where did we leave it", "where did we leave off", "where did we get to"),
    "sleep": ("stop listening",),
    "wake": ("start listening",),
    "reopen": ("open it again", "open the job again"),
    "yes": ("yes close it", "yes close the job"),
    "no": ("no", "no keep it open", "leave it open", "never mind"),
}
"""Phrases said as they are; each can be replaced in shop.toml under [bench.cues]."""

NOT_REMARKS = frozenset(
    {
        "close",
        "read back",
        "left",
        "where",
        "seen",
        "sleep",
        "wake",
        "person",
        "yes",
        "no",
        "reopen",
        "ask",
        "left off",
        "inside",
    }
)
"""Cues that are no part of the record: their sound is erased."""

_WHERE = re.compile(r"(?:where(?:'s| is| are|'re| did i put| have i put| did the)|which (?:bag|tray|box|shelf) (?:is|are|has|did i put|holds))\s+(?P<what>.+?)(?: in| go| gone)?")  # fmt: skip
_INSIDE = re.compile(r"what(?:'s| is) (?:in|on)(?: the)? (?P<what>(?:bag|tray|box|shelf|bin|tub|tin|jar|drawer)(?:\s+[\w-]+){0,3})")  # fmt: skip
_SEEN = re.compile(r"(?:have (?:we|i) seen (?P<a>.+?) before|seen (?P<b>.+?) before|how often (?:have (?:we|i) had|do we get) (?P<c>.+)|have we had (?P<d>.+?) before)")  # fmt: skip
_ASK = re.compile(r"ask (?:the (?:archive|notebook|book) .+|(?:which|how (?:many|often)|when did|have we|did we|what did we|where did we) .+)")  # fmt: skip
_ASKED = re.compile(r"^.*?\bask(?: the (?:archive|notebook|book))?[\s,]+", re.IGNORECASE | re.DOTALL)
_ASK_MARKED = re.compile(r"\s*ask\s*:\s*(?P<what>\S.*)", re.IGNORECASE | re.DOTALL)
_NEW = re.compile(r"new part,?\s+(?P<what>.+)")
_PERSON = re.compile(
    r"(?:this is|it's|i am|i'm) (?P<what>[a-z][a-z'-]+) (?:speaking|talking|here|now)|(?:speaking is) (?P<other>[a-z][a-z'-]+)"
)
_PLACE = re.compile(r"(?P<what>(?:bag|tray|box|shelf|bin|tub|drawer)\s+[\w-]+(?:\s+[\w-]+)?)")
_CORRECTION = re.compile(r"correction\b[,:.]?\s*(?P<what>.*)")
_POLITE = re.compile(r"^(?:okay|ok|right|so|and|now|please)[, ]+|[, ]+(?:please|now|then|thanks)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """A spoken cue and what it is about."""

    name: CueName
    about: str = ""

    @property
    def is_remark(self) -> bool:
        """Whether its words belong to the record."""
        return self.name not in NOT_REMARKS


def plain_words(text: str) -> str:
    """Give the words in lower case, without marks at the ends and between."""
    low = text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    return " ".join(re.sub(r"[^\w' -]", " ", low).split())


def find_cue(text: str, phrases: Mapping[str, tuple[str, ...]] = {}) -> Cue | None:
    """Give the cue that a remark is; `phrases` of the shop stand in the place of those of the notebook.

    "Where are the drum bolts?" is a question to the bench; "where the drum bolts sit is scored" is a remark.
    "Ask: broken springs" and "ask which jobs had broken springs" ask the archive; "ask the owner" is a remark.
    """
    said = plain_words(text)
    bare = _strip(said)
    for name, usual in PHRASES.items():
        if any(_same(bare, plain_words(phrase)) for phrase in phrases.get(name) or usual):
            return Cue(name=name)
    if match := _ASK_MARKED.fullmatch(text):
        return Cue(name="ask", about=match["what"].strip())
    if _ASK.fullmatch(bare):
        return Cue(name="ask", about=_ASKED.sub("", text).strip())
    if match := _WHERE.fullmatch(bare):
        return Cue(name="where", about=_bare_part(match["what"]))
    if match := _INSIDE.fullmatch(bare):
        return Cue(name="inside", about=match["what"])
    if match := _SEEN.fullmatch(bare):
        return Cue(name="seen", about=_bare_part(next(w for w in match.groups() if w)))
    if match := _NEW.fullmatch(bare):
        return Cue(name="new part", about=_bare_part(match["what"]))
    if match := _CORRECTION.fullmatch(bare):
        return Cue(name="correction", about=match["what"])
    if match := _PERSON.fullmatch(bare):
        return Cue(name="person", about=(match["what"] or match["other"]).title())
    if match := _PLACE.fullmatch(bare):
        return Cue(name="place", about=match["what"])
    return None


def spoken_phrases(phrases: Mapping[str, tuple[str, ...]]) -> str:
    """Give the phrases an ear should know of, as a few short sentences."""
    wanted = ("sleep", "wake", "left", "read back", "close")
    said = [(phrases.get(name) or PHRASES[name])[0] for name in wanted]  # type: ignore[index]
    return " ".join(f"{phrase[:1].upper()}{phrase[1:]}." for phrase in said)


def _same(said: str, phrase: str) -> bool:
    return said.replace("'", "") == phrase.replace("'", "")


def _strip(said: str) -> str:
    before = ""
    while before != said:
        before, said = said, _POLITE.sub("", said).strip()
    return said


def _bare_part(words: str) -> str:
    return re.sub(r"^(?:the|my|our|those|these|that|this|all the|a|an)\s+", "", words.strip())
