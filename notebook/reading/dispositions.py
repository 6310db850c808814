"""Dispositions: what is to happen to a part.

In: a clause, and what was spoken of before. Out: dispositions, one a part.
What is denied, half meant, asked or said of other jobs gives none; an instruction or a tip gives none.

Examples: "that'll go again" reuse, "bin the rotor" scrap, "it wants changing" replace, "that's getting a new drum" replace drum,
"I'll have all four remetalled" rework, "away for a rewind" send out, "rings are on order" order (done).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Disposition
from notebook.reading.clause import (
    ELSEWHERE,
    HYPOTHETICAL,
    INSTRUCTION,
    QUESTION,
    USUAL,
    WARNING,
    Clause,
)
from notebook.reading.deed_finder import Deed, find_deeds
from notebook.reading.deed_parts import parts_of, resolve_all
from notebook.reading.doers import OTHER, YOU, doer_of
from notebook.reading.fitting_deeds import NEVER_DONE, fits, only_goes_back
from notebook.reading.focus import Bearer, is_sub_part
from notebook.reading.line import JOINS, Line, lay_out
from notebook.reading.meant import how_meant
from notebook.reading.new_parts import read_new_parts
from notebook.reading.state import State
from notebook.reading.steps import is_here
from notebook.reading.treatments import read_treatments
from notebook.reading.verb_walk import DONE, NEGATIVE, NO, PLANNED, STATE, Meant

_NOT_MEANT = frozenset({QUESTION, USUAL, WARNING, INSTRUCTION})

_PAST_BEHIND = frozenset({"was", "were", "went"})
""" "A new one was fitted at 34,000" tells of before."""
_WAYS = frozenset({"back", "out", "in", "up", "down", "home", "through", "round"})
""" "On the way back" is when it is put together, no order."""
_ASIDE = frozenset(
    [
        "before",
        "when",
        "once",
        "till",
        "until",
        "if",
        "after",
        "while",
        "unless",
        "whenever",
        "where",
        "wherever",
        "as",
        "which",
    ]
)


def read_dispositions(clause: Clause, state: State) -> list[Disposition]:
    """Give what a clause says is to happen to a part."""
    if not _may_be_meant(clause):
        return []
    line = lay_out(clause, state)
    if line.deeds.half.search(clause.low):
        return []
    found: list[Disposition] = []
    for deed in find_deeds(line, "disposition"):
        if _only_is(line, deed):
            continue
        found.extend(_of_deed(line, deed, clause, state))
    if all(d.action != "send out" for d in found):
        found.extend(read_treatments(line, clause, state))
    found.extend(read_new_parts(line, clause, state, found))
    earlier = _of_this_remark(state)
    found = [_put_in(d, clause) for d in found]
    found = [d for d in _once(found or _goes_on(earlier, clause, state)) if not _is_among(d, earlier)]
    if found:
        state.memory.dispositions = (*earlier, *found)
    return found


_IN_PLACE = re.compile(r"\b(?:in|on|at|to) the ((?:[a-z-]+ )?(?:side|end)|inlet|outlet|exhaust|left|right|front|rear|back|inboard|outboard|inner|outer|top|bottom)$")  # fmt: skip


def _put_in(found: Disposition, clause: Clause) -> Disposition:
    """ "New bearing fitted | in the drive side": which one, said behind what was put in."""
    if found.action != "replace" or found.position is not None or found.component is None:
        return found
    match = _IN_PLACE.search(clause.low.rstrip(" .,;"))
    return replace(found, position=match.group(1)) if match else found


def _only_is(line: Line, deed: Deed) -> bool:
    """ "The spring is fine" is how it is found; "it'll be fine" is what is to happen with it."""
    return deed.phrase.words[0] == "be" and line.low(deed.start) in (
        "is",
        "are",
        "'s",
        "'re",
        "was",
        "were",
        "am",
        "'m",
    )


def _of_this_remark(state: State) -> list[Disposition]:
    """Give the dispositions said so far in this remark; those of the remark before do not fit its words."""
    text = state.tidied.text.lower()
    return [
        d
        for d in state.memory.dispositions
        if isinstance(d, Disposition) and d.cue and d.cue.split(" ")[0].strip("'")[:3] in text[d.span[0] : d.span[1]]
    ]


def _is_among(entry: Disposition, earlier: Sequence[Disposition]) -> bool:
    return any(
        (e.component, e.action, e.position, e.count) == (entry.component, entry.action, entry.position, entry.count)
        for e in earlier
    )


def _may_be_meant(clause: Clause) -> bool:
    if clause.mood in _NOT_MEANT or (clause.mood == ELSEWHERE and not is_here(clause)):
        return False
    if clause.mood == HYPOTHETICAL and (clause.cue == "if" or not _is_glad(clause)):
        return False
    return clause.joiner not in _ASIDE and clause.chunks[0].low not in _ASIDE


def _is_glad(clause: Clause) -> bool:
    """ "I'd happily run those another year", "I'd like it measured" is meant, though it says would."""
    return clause.has(
        "happily", "gladly", "happy to", "could do with", "like", "might as well", "may as well", "'d better"
    )


def _of_deed(line: Line, deed: Deed, clause: Clause, state: State) -> list[Disposition]:
    meant = (
        _of_saying(line, deed)
        if deed.verb is None
        else how_meant(line, deed.verb, start=deed.start, moves=deed.phrase.moves)
    )
    if meant is None or meant.time == NO:
        return []
    if _is_glad(clause) and clause.mood == HYPOTHETICAL and deed.action not in ("reuse", "check", "clean", "rework"):
        return []
    action = _denied(line, deed, meant) if meant.is_negative else deed.action
    if action is None or not _is_said_by_me(line, deed, meant, clause, state):
        return []
    if action == "reuse" and not meant.is_negative and only_goes_back(line, deed, clause):
        return []
    if deed.verb is not None and not fits(line, deed, meant, action, state):
        return []
    parts = parts_of(line, deed, meant, clause, state)
    is_done = meant.time in (DONE, STATE) and action not in NEVER_DONE
    return [
        _disposition(action, _whole_of(bearer, action, state), deed.cue, clause, state, is_done=is_done)
        for bearer in parts
        if _may_bear(bearer)
    ]


def _may_bear(bearer: Bearer) -> bool:
    return bool(bearer.component or bearer.doubt)


def _of_saying(line: Line, deed: Deed) -> Meant | None:
    """Say how "for the bin", "on order", "will do" stands: denied, past, would be; or so."""
    at = deed.start - 1
    adverbs = line.deeds.meant["adverbs"]
    behind = line.low(deed.end) if deed.end < len(line.words) else ""
    if behind in _PAST_BEHIND or (deed.cue.endswith("on the way") and behind in _WAYS):
        return None
    is_negative, time = False, STATE if deed.action in ("order", "send out") else PLANNED
    first = deed.start
    while at >= 0 and not line.words[at].is_part:
        low = line.low(at)
        is_negative |= low in NEGATIVE
        if low in ("was", "were", "would", "'d", "might", "could", "may", "if"):
            return None
        if low in ("get", "'ll", "will", "to", "be", "going", "needs", "wants", "put", "want", "need"):
            time = PLANNED
        elif (
            low not in adverbs
            and low not in ("is", "are", "'s", "'re", "been", "has", "have", "'ve", "go", "goes", "gone", "both", "all")
            and low not in NEGATIVE
        ):
            break
        first = at
        at -= 1
    return Meant(time=time, is_negative=is_negative, first=first)


def _denied(line: Line, deed: Deed, meant: Meant) -> str | None:
    """ "No need to change them", "I'm not touching it", "not worth renewing" is reuse; any other thing denied is nothing."""
    if deed.action == "replace" and meant.time == PLANNED:
        return None if line.base(deed.start) == "swap" else "reuse"  # "not to be swapped" keeps each to its own
    if deed.verb is None and deed.phrase.words[0] in NEGATIVE:
        return deed.action
    return None


def _is_said_by_me(line: Line, deed: Deed, meant: Meant, clause: Clause, state: State) -> bool:
    """What others did or think of doing is no disposition; what they are to do ("they must check the core") is."""
    if deed.verb is None:
        return True
    doer = doer_of(line, meant.first, clause, state)
    if doer == YOU:
        return False
    return doer != OTHER or meant.time == PLANNED or deed.action == "hold"


def _whole_of(bearer: Bearer, action: str, state: State) -> Bearer:
    """ "Two teeth are chipped, so that's scrap": the gear is, not the teeth."""
    whole = state.focus.whole
    if bearer.is_named or not is_sub_part(bearer.component) or whole is None or action in ("rework", "clean", "check"):
        return bearer
    return whole


def _disposition(
    action: str, bearer: Bearer, cue: str, clause: Clause, state: State, *, is_done: bool, rule: str | None = None
) -> Disposition:
    return Disposition(
        component=bearer.component, position=bearer.position, action=action, count=bearer.count, done=is_done or None,
        span=state.span(clause.start, clause.end), cue=cue, rule=rule or f"disposition.{action}", doubt=bearer.doubt, from_=bearer.from_,
    )  # fmt: skip


_TOO = frozenset(["too", "also", "likewise", "included", "regardless", "well", "again", "both", "all"])


def _goes_on(earlier: Sequence[Disposition], clause: Clause, state: State) -> list[Disposition]:
    """ "I've ordered bearings, | seals and a belt", "scrap, | the pair of them", "wiper too": the list goes on in a clause of its own."""
    before = [d for d in earlier if _stands_before(d, clause, state)]
    if not before or clause.joiner not in (",", "and", "&", "") or not clause.chunks[0].is_part:
        return []
    for n, chunk in enumerate(clause.chunks):
        is_small = chunk.low in JOINS | _TOO | {"as"} or (
            chunk.low in ("with", "for")
            and n + 1 < len(clause.chunks)
            and clause.chunks[n + 1].pronoun in ("it", "they", "them", "that")
        )
        if (
            not (chunk.is_part and not chunk.is_negative and chunk.pronoun not in ("i", "we", "you", "place"))
            and not is_small
        ):
            return []
    named = [
        c
        for c in clause.chunks
        if (c.name and not c.is_unspecific) or "pair" in c.low.split() or c.pronoun in ("both", "all") or c.count == 2
    ]
    last = before[-1]
    known = {d.component for d in before}
    return [
        _disposition(
            last.action, bearer, last.cue or "", clause, state, is_done=bool(last.done), rule="disposition.list"
        )
        for bearer in resolve_all(named, state)
        if bearer.component and (bearer.component not in known or bearer.count)
    ]


def _stands_before(earlier: Disposition, clause: Clause, state: State) -> bool:
    start = state.span(clause.start, clause.end)[0]
    between = state.tidied.text[earlier.span[1] : start]
    return earlier.span[1] <= start and between.strip(" ,") in ("", "and", "&")


def _once(found: Sequence[Disposition]) -> list[Disposition]:
    """Give each part and action once; what is known of no part gives way to what is."""
    out: list[Disposition] = []
    for entry in found:
        if all((e.component, e.action, e.position) != (entry.component, entry.action, entry.position) for e in out):
            out.append(entry)
    named = {e.action for e in out if e.component}
    return [e for e in out if e.component or e.action not in named]
