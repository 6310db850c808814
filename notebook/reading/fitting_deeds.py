"""Tells whether the verb of a deed stands as it does when something is to happen to a part.

In: a line, a deed in it and how it is meant. Out: yes or no. Never says which part.

Examples: "goes back at 30 lb ft" says how, not that it is used again; "chucked in the blue tray" is put away, not thrown away.
"""

from __future__ import annotations

import re

from notebook.reading.clause import (
    Clause,
)
from notebook.reading.deed_finder import Deed
from notebook.reading.deed_parts import object_of
from notebook.reading.line import Line
from notebook.reading.marking import is_mark
from notebook.reading.state import State
from notebook.reading.verb_walk import CAN, DONE, PLANNED, STATE, TOLD, Meant

NEVER_DONE = frozenset({"check", "reuse", "hold"})
"""Not noted once done: "I measured it" is no disposition."""

_NEVER_STATE = frozenset({"rework", "clean", "modify", "reuse", "check", "overhaul", "hold"})
"""Said of a part with "is", these tell how it is made: "it's chromed", "the end is ground"."""

_KEPT_BY = re.compile(
    r"\bfor (?:a |the |an )?(?:spare|spares|pattern|parts|ornament|museum|shelf|wall|display|show|luck|swaps)\b"
)


def only_goes_back(line: Line, deed: Deed, clause: Clause) -> bool:
    """ "Goes back with the step out", "go back at 30 lb ft", "keep these to their own sides" say how, not that it is used again."""
    if _KEPT_BY.search(clause.low):
        return True
    after = line.low(deed.end)
    words = deed.phrase.words
    if "home" in words and after in ("the", "in", "same", "with"):
        return True
    if words[0] in ("keep", "leave") and len([w for w in words if w != "_"]) == 1:
        end = deed.end if "_" in words else _object_end(line, deed.end)
        return (
            line.low(end) not in ("", "for", "then", "anyway", "regardless")
            or line.next_low in ("till", "until", "to", "in", "on", "off", "while")
            or line.low(end + 1) in ("the",)
        )
    if "back" not in words:
        return is_mark(clause) is not None and "again" not in words and "do" not in words and "stay" not in words
    if any(c.kind in ("amount", "number") for c in line.chunks) or is_mark(clause) is not None:
        return True
    return after not in (
        "",
        "as",
        "again",
        "too",
        "now",
        "then",
        "together",
        "fine",
        "straight",
        "regardless",
        "anyway",
        "in",
        "on",
        "no",
        "afterwards",
        "after",
    )


def _object_end(line: Line, word: int) -> int:
    found = line.list_at(line.words[word].at) if word < len(line.words) else None
    return line.first_word(found[1]) if found else word


_LOOSE_VERBS = frozenset(
    {"turn", "bore", "chase", "whip", "bond", "plane", "run", "last", "live", "serve", "see", "ask", "ring", "call"}
)
"""Verbs of many meanings: only as done to a part ("wants turning"), or with will or can ("it'll live")."""


def fits(line: Line, deed: Deed, meant: Meant, action: str, state: State) -> bool:
    """Tell whether the verb stands as it does when such a thing is meant."""
    if _is_put_away(line, deed) or _is_turned_round(line, deed):
        return False
    verb = line.base(deed.verb if deed.verb is not None else deed.start)
    is_named = bool(object_of(line, deed, meant, state))
    if meant.time == CAN:
        return action == "reuse" or meant.is_passive or is_named
    if meant.time in (DONE, STATE) and action in NEVER_DONE:
        return False
    if meant.time == STATE:
        bare = line.low(deed.start - 1) not in ("is", "are", "'s", "'re")
        return (action not in _NEVER_STATE or bare) and not line.is_part(deed.end)
    if deed.phrase.moves and words_of_running(line, deed):
        return False
    if deed.phrase.moves:
        return meant.time in (PLANNED, "present") and not (len(deed.phrase.words) == 1 and meant.time == "present")
    if not meant.is_passive and verb in _LOOSE_VERBS and len(deed.phrase.words) == 1:
        return False
    if meant.time == TOLD:
        return is_named
    if meant.time == DONE and action in ("clean", "rework") and not meant.is_passive:
        return is_named
    return True


def words_of_running(line: Line, deed: Deed) -> bool:
    """ "A set ought to do ten thousand": how long they last, not that they are used again."""
    last = line.words[deed.end - 1].at
    following = line.chunks[last : last + 3]
    return deed.phrase.words[0] in ("do", "last", "run") and any(
        (c.kind == "number" and (c.value or 0) >= _A_THOUSAND) or (c.amount is not None and c.amount.dimension == "running")
        for c in following
    ) and "'ll" not in line.lows  # fmt: skip


_A_THOUSAND = 1000

_PLACES_TO_KEEP = frozenset({"in", "into", "on", "onto"})


def _is_put_away(line: Line, deed: Deed) -> bool:
    """ "Bolts chucked in the blue tray": put there to keep, not thrown away."""
    if deed.action != "scrap" or len(deed.phrase.words) > 1 or line.low(deed.end) not in _PLACES_TO_KEEP:
        return False
    return any(line.chunks[w.at].container for w in line.words[deed.end + 1 : deed.end + 5])


def _is_turned_round(line: Line, deed: Deed) -> bool:
    """ "Had the box turned round": not on the lathe."""
    return line.base(deed.verb or deed.start) == "turn" and line.low(deed.end) in (
        "round",
        "around",
        "over",
        "about",
        "upside",
    )
