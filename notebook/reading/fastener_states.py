"""How a fastener sat or came: tight, loose, seized, rounded, threadlocked; with heat or without.

In: the chunks of a stretch of words about one fastener or set. Out: its states, and whether heat was used.
Broken, bent and sheared fasteners are findings, not states; those are left to the findings rules.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from notebook.reading.sheets import Chunk
from notebook.reading.word_files import read_toml

STATES = {
    "tight": "tight", "loose": "loose", "seized": "seized", "rounded": "rounded", "stripped": "stripped", "cross-threaded": "cross-threaded",
    "missing": "missing", "free": "free", "soft": "soft", "stuck": "seized", "under-tightened": "loose", "chewed": "rounded",
    "over-tightened": "tight", "rusted solid": "seized",
}  # fmt: skip
"""Condition terms that are the state of a fastener."""
_GONE = re.compile(r"(?:'s|is|are|has|have|was|were)(?: \w+)? gone(?: altogether| completely)?$")
_ANYWAY = ("seized", "loose", "free", "tight", "missing", "threadlocked", "soft")


@cache
def _said(key: str) -> re.Pattern[str]:
    phrases = sorted(read_toml("trade.toml")["fastener_state"][key], key=len, reverse=True)
    return re.compile(r"(?<![\w'])(?:" + "|".join(map(re.escape, phrases)) + r")(?![\w'])")


@cache
def _coming() -> frozenset[str]:
    return frozenset(read_toml("trade.toml")["fastener_state"]["came"].split())


def plain_text(chunks: Sequence[Chunk]) -> str:
    """Give the words of chunks with clitics joined."""
    return re.sub(r" (?='|n't)", "", " ".join(c.low for c in chunks))


def states_in(chunks: Sequence[Chunk]) -> list[str]:
    """Give the states a stretch says: by its conditions, by phrases, and by how they came ("came out no bother")."""
    text = plain_text(chunks)
    came = any(c.low.split()[0] in _coming() for c in chunks if c.kind != "part")
    found: list[str] = []
    found.extend(
        STATES[c.name] for c in chunks if c.is_part and c.is_unspecific and c.name in STATES
    )  # "all free bar one"
    for at, chunk in enumerate(chunks):
        if chunk.kind != "condition" or chunk.is_negative or any(c.cue == "negation.before" for c in chunks[:at]):
            continue
        condition = chunk.conditions[0]
        if condition.term in STATES:
            found.append(STATES[condition.term])
        elif came and condition.polarity == "good":
            found.append("free")
    for state in _ANYWAY:
        if _said(f"{state}_anyway").search(text) and not (
            state == "threadlocked" and _said("not_threadlocked").search(text)
        ):
            found = [s for s in found if not (state == "loose" and s == "tight")]
            found.append(state)
    if not found and _GONE.search(text):
        found.append("missing")
    if came and not found:
        found.extend(state for state in ("free", "tight") if _said(state).search(text))
    return list(dict.fromkeys(found))[:2]


def heat_in(chunks: Sequence[Chunk]) -> bool | None:
    """Tell whether heat was used; None when it is not said."""
    text = plain_text(chunks)
    if _said("no_heat").search(text):
        return False
    return True if _said("heat").search(text) else None
