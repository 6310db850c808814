"""What the owner was promised: "told him it'd be ready by Friday".

In: the tidied text of a remark. Out: promises. Never takes what a supplier promised us, nor a question, for one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from notebook.entries import Promise

_DAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_MONTH = r"(?:january|february|march|april|may|june|july|august|september|october|november|december)"
_WHEN = re.compile(
    rf"\b(?:(?:by|before|for|on|within|in|inside)\s+)?(?P<when>(?:the\s+)?(?:end of\s+(?:the\s+|next\s+)?)?(?:(?:next|this)\s+)?(?:{_DAY}|{_MONTH}(?:\s+\d+)?|\d+(?:st|nd|rd|th)?(?:\s+of)?\s+{_MONTH}|(?:next|this|the)\s+(?:week|month|weekend|morning|afternoon|evening)|(?:week|month|season)\b|tomorrow|tonight|christmas|easter|harvest|\d+\s+(?:days?|weeks?|months?|hours?)|a\s+(?:week|month|fortnight|day)|(?:the\s+)?\d+(?:st|nd|rd|th)))\b"
)
_TOLD = re.compile(
    r"(?:^|[.;,!]\s*|\b(?:i|we)(?:'ve| have)?(?: just| already)? |\band )"
    r"(?P<verb>promised|told|assured|said to|gave (?:him|her|them|the owner) my word)\s*"
    r"(?:(?:the |our )?(?:owner|customer|client|farmer|skipper)|him|her|them|himself|herself)?\s*"
    r"(?P<what>[^.;!?]+)"
)
_AHEAD = re.compile(r"\b(?:'d|'ll|would|will|ready|back|done|finished|running|no more than|not over|won't|wouldn't)\b|(?<=\w)'(?:d|ll)\b")  # fmt: skip
_TO_OWNER = re.compile(r"\b(?:owner|customer|client|farmer|skipper|him|her|them|himself|herself)\b")
_OURS = re.compile(r"\b(?:it's|it is|that's|she's|he's|job's|machine's) promised (?:for|by|to)\b[^.;!?]*")


def read_promises(text: str) -> list[Promise]:
    """Give what was promised to the owner, each in its own words."""
    low = text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    return list(_found(text, low))


def _found(text: str, low: str) -> Iterator[Promise]:
    for match in _TOLD.finditer(low):
        start, end = match.start("verb"), match.end("what")
        if "?" in low[end : end + 1]:
            continue
        is_promise = match["verb"] != "told" and match["verb"] != "said to"
        to_owner = bool(_TO_OWNER.search(low, start, match.start("what")))
        if (is_promise and (to_owner or match["verb"] == "promised")) or (to_owner and _AHEAD.search(match["what"])):
            yield _promise(text, low, start, end, match["verb"])
    for match in _OURS.finditer(low):
        yield _promise(text, low, match.start(), match.end(), "promised")


def _promise(text: str, low: str, start: int, end: int, cue: str) -> Promise:
    words = text[start:end].rstrip(" ,")
    when = _WHEN.search(low, start, start + len(words))
    return Promise(
        text=words, by_when=text[when.start("when") : when.end("when")] if when else None, span=(start, start + len(words)), cue=cue,
        rule="promise",
    )  # fmt: skip
