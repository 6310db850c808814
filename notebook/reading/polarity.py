"""Says whether a condition is present, absent or possible, and how bad, with the cue that decided it.

In: a clause, the place of the condition in it, and the state. Out: presence, cue and degree.

Examples: "no scoring", "might be a crack", "can't say it isn't cracked", "hardly any wear".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from notebook.reading.clause import Clause
from notebook.reading.sheets import Chunk
from notebook.reading.state import State
from notebook.reading.tag_looks import SPEECH_VERBS


def degree_of(chunk: Chunk) -> str | None:
    words = set(chunk.adjectives)
    if words & {"slight", "light", "small", "little", "tiny", "wee", "minor", "faint", "fine", "hairline"}:
        return "slight"
    if words & {"bad", "heavy", "deep", "big", "massive", "serious", "severe", "huge", "large", "major"}:
        return "severe"
    return None


def polarity_of(clause: Clause, at: int, state: State) -> tuple[str | None, str | None, str | None]:
    """Give presence, the cue that decided it, and the degree."""
    presence, cue, degree = "present", None, None
    before = clause.chunks[:at]
    negations = 0
    for i, chunk in enumerate(before):
        if chunk.kind != "cue" or chunk.cue is None:
            if chunk.low in ("but", "bar", "except"):
                presence, cue, negations = "present", None, 0
            continue
        if chunk.cue == "double_negation.said":
            presence, cue, negations = "present", chunk.low, 0
        elif chunk.cue == "near_none.before":
            degree, cue = "slight", chunk.low
        elif chunk.cue == "negation.before":
            if _reaches(before, i):
                negations += 1
                cue = chunk.low
        elif chunk.cue == "hedge.before":
            if presence == "present":
                presence, cue = "possible", chunk.low
        elif chunk.cue.startswith("degree."):
            if _is_near(before, i):
                degree = chunk.cue.split(".")[1]
    if negations and _is_emphatic(clause, state):
        negations -= 1
    said_first = _said_first(clause, state)
    if presence == "present" and said_first and said_first[-1].cue == "hedge.before":
        presence, cue = "possible", said_first[-1].low
    unsure = _unsure([*said_first, *before])
    if unsure:
        negations -= sum(c.cue == "negation.before" and c.low.startswith(unsure) for c in before)
    if unsure and (negations or unsure not in _SAYING):
        presence, cue = "possible", unsure
    elif unsure or negations:
        presence, cue = "absent", cue or unsure
        if degree in ("severe",):
            degree = None
    if presence == "present" and negations == 0 and _is_turned_round(clause, state):
        presence, cue = "absent", state.last_chunks[0].low
    if presence == "present" and negations == 0 and (inherited := _inherited(clause, state)):
        presence, cue = inherited
    for chunk in clause.chunks[at + 1 : at + 5]:
        if chunk.kind == "cue" and chunk.cue == "hedge.after" and presence == "present":
            presence, cue = "possible", chunk.low
        if (
            chunk.kind == "cue"
            and chunk.cue == "negation.after"
            and chunk.low not in ("not there",)
            and presence == "present"
        ):
            presence, cue = "absent", chunk.low
        if chunk.kind == "cue" and chunk.cue is not None and chunk.cue.startswith("degree.") and degree is None:
            degree = chunk.cue.split(".")[1]
    if degree is None:
        degree = _degree_after(clause, at)
    return presence, cue, degree


def _is_turned_round(clause: Clause, state: State) -> bool:
    """ "Nowhere is | the chrome pitted", "at no point was | the seal wet": denied before the part is named."""
    last = state.last_chunks
    if clause.joiner or len(last) < 2 or last[-1].end != clause.start or last[-1].kind != "aux":
        return False
    return last[-2].cue == "negation.before" or any(c.low == "no" or c.is_negative for c in last[:-1])


_BLOW_ME = re.compile(r"\b(?:blow|damn|bugger|strike|hang|stuff) me if\b|\bi'll be (?:damned|blowed|hanged) if\b")


def _is_emphatic(clause: Clause, state: State) -> bool:
    """ "... and didn't the key come away in two pieces", "blow me if it hasn't cracked": so it is."""
    chunks = clause.chunks
    if len(chunks) > 2 and chunks[0].low.endswith("n't") and chunks[1].is_part and clause.sentence_end != "?":
        return True
    return (
        _BLOW_ME.search(
            " ".join(c.low for c in [*(state.last_chunks if clause.joiner == "if" else ()), *chunks]).replace(" '", "'")
        )
        is not None
    )


_UNSURE = re.compile(
    r"\b(?:(?:can't|couldn't|cannot|wouldn't|won't) (?:say|swear|be sure|promise|rule out|guarantee|tell you)|not (?:sure|saying|convinced|certain))\b"
)

_SAYING = frozenset({"can't say", "couldn't say", "cannot say", "wouldn't say", "not saying"})


def _unsure(before: Sequence[Chunk]) -> str | None:
    """ "Can't say that eye isn't cracked": a doubt about a denial leaves it possible; gives the words of the doubt."""
    said = _UNSURE.search(" ".join(c.low for c in before if c.cue != "double_negation.said").replace(" '", "'"))
    return said.group() if said else None


def _said_first(clause: Clause, state: State) -> list[Chunk]:
    """Give the chunks of "I wouldn't say | the tube's leaking" that stand before what is said."""
    last = state.last_chunks
    if clause.joiner not in ("", "that") or not last or last[-1].end != clause.start - (clause.joiner == "that"):
        return []
    return (
        last
        if last[-1].low in SPEECH_VERBS or last[-1].kind == "cue" or last[-1].low in ("sure", "certain", "swear")
        else []
    )


def _degree_after(clause: Clause, at: int) -> str | None:
    text = " ".join(c.low for c in clause.chunks[at + 1 : at + 5])
    if text.startswith(("a fair bit", "quite a bit", "a good bit")):
        return "moderate"
    if text.startswith(
        (
            "badly",
            "bad",
            "to hell",
            "to bits",
            "something shocking",
            "something awful",
            "something terrible",
            "something chronic",
            "something fierce",
            "something rotten",
            "something cruel",
            "something",
            "real bad",
            "pretty bad",
            "right through",
        )
    ):
        return "severe"
    if text.startswith(("a bit", "a touch", "slightly", "a little", "a wee bit", "bit")):
        return "slight"
    return None


def _is_near(before: Sequence[Chunk], i: int) -> bool:
    """A degree word belongs to the condition right after it (or after "and", another degree)."""
    return all(c.kind in ("cue", "adverb", "adjective", "determiner") for c in before[i + 1 :])


def _reaches(before: Sequence[Chunk], i: int) -> bool:
    """Tell whether a negation reaches the condition: nothing ends its reach between them."""
    between = before[i + 1 :]
    if any(chunk.low in ("but", "just", "only", "bar", "except", "apart") for chunk in between):
        return False
    for n, chunk in enumerate(between):
        if chunk.kind == "condition" and i >= 0:
            rest = [c.low for c in between[n + 1 :]]
            if "or" in rest or "nor" in rest or "and" in rest or not rest:
                continue
            return before[i].low not in ("no", "not a", "without")
        if (
            chunk.is_part
            and chunk.name
            and before[i].low in ("no",)
            and not chunk.is_unspecific
            and chunk.kind != "condition"
        ):
            nxt = between[n + 1] if n + 1 < len(between) else None
            return nxt is None or nxt.kind != "aux"
    return True


def _inherited(clause: Clause, state: State) -> tuple[str, str] | None:
    """ "No cracks, chips | or scoring": a list of bare conditions keeps the negation it began with."""
    if state.last_negation is None or clause.joiner not in (",", "or", "nor"):
        return None
    first = clause.chunks[0]
    is_bare = (
        (first.kind == "condition" and first.tag == "noun")
        or first.low in ("or", "nor")
        or clause.joiner in ("or", "nor")
    )
    if is_bare and not any(c.kind == "aux" for c in clause.chunks):
        return "absent", state.last_negation
    return None
