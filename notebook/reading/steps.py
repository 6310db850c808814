"""Steps: what was done to get there.

In: a clause, and what was spoken of before. Out: steps of this job, in the order said.
What will be done is no step; what somebody else did is no step; moving on is no step.

Examples: "brake band's off", "that's the drum out", "whipped the guard off the flywheel", "out come the vanes",
"had to rattle it out", "when I pulled the cover ...", "backed the anvil off a turn", "nut's back on finger tight".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from notebook.entries import Step
from notebook.reading.bearers import resolve
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
from notebook.reading.deed_parts import object_of, resolve_all, subject_parts
from notebook.reading.doers import OTHER, PART, YOU, doer_of
from notebook.reading.focus import Bearer
from notebook.reading.line import Line, lay_out
from notebook.reading.meant import how_meant
from notebook.reading.sheets import Chunk
from notebook.reading.state import State
from notebook.reading.verb_walk import DONE, STATE, Meant
from notebook.reading.where_words import Move
from notebook.reading.whereabouts import find_moves

_NOT_DONE = frozenset({QUESTION, USUAL, HYPOTHETICAL, WARNING, INSTRUCTION})
_NOT_YET = frozenset(
    ["before", "when", "once", "till", "until", "if", "unless", "whenever", "while", "as", "where", "wherever"]
)
"""A state in a clause joined by one of these has still to come: "once the capstan's off you can ..."."""
_BARELY = re.compile(r"\bliked? to (?:have )?never\b")
""" "I like to never got that drum off": hardly got it off, but got it off. source: Southern American usage"""


def read_steps(clause: Clause, state: State) -> list[Step]:
    """Give what a clause says was done, each part once."""
    barely = _BARELY.search(clause.low) is not None
    if (clause.mood in _NOT_DONE or (clause.mood == ELSEWHERE and not is_here(clause))) and not barely:
        return []
    if clause.joiner in ("if", "unless") or clause.chunks[0].low in ("if", "unless"):
        return []
    line = lay_out(clause, state)
    found: list[tuple[int, list[Step]]] = []
    taken: set[int] = set()
    deeds = find_deeds(line, "step")
    for move in find_moves(line):
        if any(d.verb == move.verb and len(d.phrase.words) > 1 for d in deeds if d.verb is not None):
            continue
        steps = _of_move(line, move, clause, state)
        if steps:
            found.append((move.start, steps))
        if move.verb is not None:
            taken.add(move.verb)
    for deed in deeds:
        if deed.verb not in taken:
            found.append((deed.start, _of_deed(line, deed, clause, state)))
    return _once([step for _, steps in sorted(found, key=lambda f: f[0]) for step in steps])


def is_here(clause: Clause) -> bool:
    """ "Chuck 'em back in", "I've had the disc out": words that may tell of another job, and here do not."""
    return (clause.cue or "").replace(" '", "'") in (
        "back in",
        "i've had",
        "i have had",
        "had in",
        "i had a",
        "we had a",
    )


def _of_move(line: Line, move: Move, clause: Clause, state: State) -> list[Step]:
    if move.is_state and (clause.joiner in _NOT_YET or clause.chunks[0].low in _NOT_YET):
        return []
    if "already" in line.lows and not move.is_active:
        return []
    if move.subject_first is not None:
        doer = doer_of(line, move.subject_first, clause, state)
        if doer in (OTHER, YOU) or (move.is_active and doer == PART and _does_it_itself(line, move.subject_first)):
            return []
    parts = resolve_all(move.parts, state)
    if not parts and not move.parts and move.subject_first is not None:
        parts = subject_parts(line, move.subject_first, clause, state)
    if not parts and move.is_state and move.parts:
        return []
    steps = []
    for bearer in parts or _focus(state):
        action = _kind_of_move(move, bearer, line)
        if action is not None and not (move.is_state and _is_reading(bearer, state)):
            steps.append(_step(action, bearer, move.cue, clause, state, off=_name(move.off, bearer, state)))
    return steps


def _focus(state: State) -> list[Bearer]:
    return [state.focus.bearer] if state.focus.bearer is not None else []


def _does_it_itself(line: Line, first: int) -> bool:
    """ "That's pulled its thread", "it dropped the oil": a part that does something to another has not been taken off."""
    chunk = line.chunk(first - 1)
    return chunk is not None and (chunk.pronoun is not None or not chunk.is_known)


def _is_reading(bearer: Bearer, state: State) -> bool:
    """ "So it's out", said of a number, is a verdict and no step."""
    return not bearer.is_named and bool(state.amounts)


def _kind_of_move(move: Move, bearer: Bearer, line: Line) -> str | None:
    """Give the step a move makes of a part; None when that part cannot make it ("the grease is off")."""
    head = (bearer.component or "").split()[-1:] or [""]
    lists = line.deeds.step
    if move.is_state or move.verb is None:
        if head[0] in line.deeds.meant["fluids"] and not move.is_active:
            return None
        if head[0] in (
            "timing",
            "alignment",
            "reading",
            "power",
            "light",
            "gauge",
            "heat",
            "ignition",
            "setting",
            "calibration",
            "figure",
        ):
            return None
    if head[0] in line.deeds.meant["fluids"] and not move.is_active:
        return None
    if (
        move.action == "opened"
        and move.cue.endswith("open")
        and move.is_state
        and head[0] not in line.deeds.meant["openable"]
    ):
        return None
    if move.action == "opened" and move.cue.startswith("in ") and head[0] not in lists["opened.assemblies"]:
        return None
    if (
        move.verb is not None
        and line.base(move.verb) in ("back", "wind", "turn", "screw")
        and head[0] in lists["adjusted.adjusters"]
    ):
        return "adjusted"
    return move.action


def _of_deed(line: Line, deed: Deed, clause: Clause, state: State) -> list[Step]:
    if deed.verb is None:
        return []
    meant = how_meant(line, deed.verb, start=deed.start)
    is_told_past = meant.time not in (DONE, STATE) or (meant.is_negative and not _BARELY.search(clause.low))
    if is_told_past or (meant.time == STATE and (clause.joiner in _NOT_YET or "already" in line.lows)):
        return []
    doer = doer_of(line, meant.first, clause, state)
    if doer in (OTHER, YOU) or (not meant.is_passive and doer == PART and _does_it_itself(line, meant.first)):
        return []
    if meant.is_passive and meant.causative is None:
        parts = subject_parts(line, meant.first, clause, state)
    else:
        parts = object_of(line, deed, meant, state) or _named_before(line, meant, clause, state)
    steps = []
    for bearer in parts:
        action = _kind_of_deed(line, deed, meant, bearer)
        if action is not None:
            steps.append(_step(action, bearer, deed.cue, clause, state, off=_off_of(line, deed, bearer, state)))
    return steps


def _named_before(line: Line, meant: Meant, clause: Clause, state: State) -> list[Bearer]:
    """ "Bottom shaft I spun by hand": the part named first; nothing for a verb that simply has no part."""
    at = line.words[meant.first - 1].at if meant.first else 0
    return subject_parts(line, line.first_word(at), clause, state) if at else []


_TESTS_OF_STATE = frozenset({"tested", "adjusted"})


def _kind_of_deed(line: Line, deed: Deed, meant: Meant, bearer: Bearer) -> str | None:
    """Give the step a verb makes of a part; None where the verb says something else of it ("the ring's split")."""
    head = (bearer.component or "").split()[-1:] or [""]
    verb = line.base(deed.verb or 0)
    lists = line.deeds.step
    one_word = len(deed.phrase.words) == 1
    after = line.low(deed.end)
    if meant.time == STATE and deed.action in _TESTS_OF_STATE:
        return None
    if deed.action == "tested" and bearer.component is None:
        return None
    if (
        one_word
        and verb in ("split", "strip", "part", "open", "empty", "separate")
        and meant.is_passive
        and head[0] not in lists["opened.assemblies"]
        and head[0] not in line.deeds.meant["openable"]
    ):
        return None
    if verb == "strip" and head[0] in ("thread", "hole", "nut", "screw", "bolt", "stud", "spline", "tooth"):
        return None
    if (
        one_word
        and verb in ("crack", "start", "ease", "release", "relieve", "free")
        and bearer.fastener is None
        and (verb in ("crack", "start") or meant.is_passive)
    ):
        return None
    if one_word and verb == "crack" and meant.is_passive and after != "with":
        return None
    if (
        one_word
        and verb in ("drop", "pop", "pull", "draw")
        and (_goes_into(line, deed) or (meant.is_passive and verb == "pop"))
    ):
        return None
    if verb in ("drain", "empty", "tip") and head[0] in line.deeds.meant["fluids"]:
        return "removed"
    if verb in ("back", "wind", "turn", "screw") and head[0] in lists["adjusted.adjusters"]:
        return "adjusted"
    return deed.action


def _goes_into(line: Line, deed: Deed) -> bool:
    """ "Popped it in the tub", "dropped the cover on my toe": put somewhere, not taken off."""
    at = line.words[deed.end].at if deed.end < len(line.words) else len(line.chunks)
    found = line.list_at(at) if at < len(line.chunks) else None
    after = line.low(line.first_word(found[1])) if found else line.low(deed.end)
    return after in ("in", "into", "on", "onto", "back", "over", "through", "up", "a")


def _off_of(line: Line, deed: Deed, bearer: Bearer, state: State) -> str | None:
    """Give the assembly: "split it from the midsection", "unbolted the pump off the block"."""
    at = line.words[deed.end - 1].at + 1
    for n in range(at, len(line.chunks) - 1):
        if line.chunks[n].low in ("from", "off") and line.chunks[n + 1].is_part:
            return _name(line.chunks[n + 1], bearer, state)
    return None


def _name(chunk: Chunk | None, bearer: Bearer, state: State) -> str | None:
    if chunk is None or not chunk.is_part or (chunk.name and chunk.is_unspecific) or chunk.tool:
        return None
    named = resolve(chunk, state.focus)
    return named.component if named and named.component != bearer.component else None


def _step(action: str, bearer: Bearer, cue: str, clause: Clause, state: State, *, off: str | None) -> Step:
    return Step(
        action=action, component=bearer.component, position=bearer.position, off=off, span=state.span(clause.start, clause.end), cue=cue,
        rule=f"step.{action}", from_=bearer.from_, doubt=bearer.doubt,
    )  # fmt: skip


def _once(found: Sequence[Step]) -> list[Step]:
    out: list[Step] = []
    for step in found:
        if all((s.component, s.position) != (step.component, step.position) for s in out):
            out.append(step)
    return out
