"""Findings said of a second part by pointing at the first: "so is its twin", "the clevis isn't", "bushes likewise".

In: a clause and the state. Out: findings, empty when the clause says nothing of that kind.
Never goes further back than what was found last in the same remark.

Examples: "housing's cracked and so is the other one", "pin is grand, the clevis isn't", "no play in the top one, nor is there in
the bottom", "left one isn't worn but the right one is".
"""

from __future__ import annotations

from dataclasses import replace

from notebook.entries import Finding
from notebook.reading.bearers import resolve
from notebook.reading.clause import FACT, Clause
from notebook.reading.focus import Bearer
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_GOOD = frozenset(
    {"sound", "clean", "free", "straight", "flat", "round", "sealing", "evenly worn", "within limits", "plenty left"}
)
_ALSO = frozenset("too also likewise ditto similarly same either neither".split())
_LIGHT = frozenset("adverb conjunction cue interjection determiner".split())
_POINTING = frozenset({"it", "that", "this", "they", "i", "you", "we", "he", "she", "these", "those", "them"})


def alike_in(clause: Clause, state: State) -> list[Finding]:
    """Give what a clause says by pointing at the finding just read."""
    if clause.mood != FACT or not state.own_findings or _says_more(clause):
        return []
    last = state.own_findings[-1]
    part = _after_so(clause, state) or _likewise(clause, state)
    if part is not None:
        return [_said_of(last, part, clause, state, presence=last.presence, cue=clause.chunks[0].low)]
    return _stands_alone(clause, last, state)


def _says_more(clause: Clause) -> bool:
    return any(c.kind in ("condition", "amount", "verb", "thread", "particle") for c in clause.chunks)


def _after_so(clause: Clause, state: State) -> Bearer | None:
    """ "... and so is its twin", "nor are the seats", "neither has the other one"."""
    chunks = clause.chunks
    opener = clause.joiner if clause.joiner in ("so", "nor") else chunks[0].low
    rest = chunks if clause.joiner in ("so", "nor") else chunks[1:]
    if opener not in ("so", "nor", "neither") or len(rest) < 2 or rest[0].kind != "aux":
        return None
    if rest[0].low.endswith("n't") or (rest[1].is_part and rest[1].pronoun in ("it", "i", "you", "we", "he", "she")):
        return None
    return _part_in(rest[1:], state)


def _likewise(clause: Clause, state: State) -> Bearer | None:
    """ "Bushes likewise", "the other seal too": a part and a word of likeness, with no verb."""
    chunks = clause.chunks
    if not chunks[0].is_part or chunks[0].pronoun in _POINTING or any(c.kind == "aux" for c in chunks):
        return None
    rest = " ".join(c.low for c in chunks[1:])
    if rest not in (
        "likewise",
        "ditto",
        "too",
        "as well",
        "the same",
        "same",
        "similarly",
        "also",
        "an all",
        "and all",
    ):
        return None
    return _part_in(chunks[:1], state)


def _stands_alone(clause: Clause, last: Finding, state: State) -> list[Finding]:
    """ "The clevis isn't", "the other one hasn't", "the right one is too": a part and its verb, and no more."""
    chunks = clause.chunks
    if not chunks[0].is_part or chunks[0].pronoun in _POINTING or clause.sentence_end == "?":
        return []
    rest = chunks[1:]
    verbs = [c for c in rest if c.kind == "aux" or (c.cue == "negation.before" and c.low.endswith(("n't", "nae")))]
    if len(verbs) != 1 or any(c.kind not in _LIGHT and c is not verbs[0] and not c.pronoun for c in rest):
        return []
    if any(c.is_part and c.pronoun not in ("either", "neither", "all", "both") for c in rest):
        return []
    words = {w for c in rest for w in c.low.split()}
    part = _part_in(chunks[:1], state)
    if part is None or (part.component, part.position) == (last.component, last.position):
        return []
    is_denied = verbs[0].low.endswith(("n't", "nae")) or "not" in words
    cue = verbs[0].low
    if is_denied:
        if last.presence == "absent" or last.condition not in _GOOD:
            return [_said_of(last, part, clause, state, presence="absent", cue=cue)]
        if last.condition == "sound":
            return [_said_of(last, part, clause, state, presence="present", cue=cue, condition="bad")]
        return [_said_of(last, part, clause, state, presence="absent", cue=cue)]
    if last.presence == "absent" and (clause.joiner in ("but", "though") or not words & _ALSO):
        return [_said_of(last, part, clause, state, presence="present", cue=cue)]
    if words & _ALSO or "as well" in clause.low:
        return [_said_of(last, part, clause, state, presence=last.presence, cue=cue)]
    return []


def _part_in(chunks: list[Chunk], state: State) -> Bearer | None:
    part = next((c for c in chunks if c.is_part), None)
    if part is None:
        return None
    found = resolve(part, state.focus)
    if found is not None and found.is_place and state.own_findings:
        return replace(found, component=state.own_findings[-1].component)
    return found if found is not None and found.component else None


def _said_of(
    last: Finding, part: Bearer, clause: Clause, state: State, *, presence: str, cue: str, condition: str | None = None
) -> Finding:
    return replace(
        last, component=part.component, position=part.position, presence=presence, condition=condition or last.condition,
        count=part.count, of=part.of if part.count else None, degree=None, span=state.span(clause.start, clause.end), cue=cue,
        rule="finding.alike", doubt=part.doubt,
    )  # fmt: skip
