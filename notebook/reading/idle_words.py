"""Conditions that state nothing of a part: a word about how something came off, a verdict on a number.

In: a clause and a condition in it. Out: whether to leave it out.

Examples: "came off alright", "check the core for hot spots", "it'll be fine".
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.after_be import LINKS
from notebook.reading.clause import Clause
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_RUNS = frozenset(
    "test tests tested check checks checked read reads spin spins turn turns run runs rotate rotates slide slides move moves work works roll rolls fit fits measure measures stand stands sit sits".split()
)


def _is_said_of_deed(before: Sequence[Chunk]) -> bool:
    """ "It still nips up alright": a good word about how something goes, not what it is like."""
    for chunk in reversed(before):
        if chunk.kind == "aux" or chunk.low in LINKS:
            return False
        if chunk.kind == "verb":
            return chunk.tag == "V" and chunk.low not in _RUNS
        if chunk.is_part:
            return False
    return False


_MARKERS = (
    ["file"],
    ["punch"],
    ["chisel"],
    ["scriber"],
    ["paint"],
    ["chalk"],
    ["pen"],
    ["marker"],
    ["pencil"],
    ["pop"],
)
""" "The file nick on its flange": a mark somebody made."""

_MADE_IN = frozenset({"worn", "wore", "cut", "rubbed", "burnt", "burned", "sawn", "hammered", "eaten", "polished"})
""" "A groove worn in it": how the groove was made."""

_WELL_DONE = frozenset({"bang on", "spot on", "dead on"}) | frozenset(
    "tidy nice lovely grand sweet good great right champion perfect perfectly beautiful easy fine magic cushty".split()
)
""" "Cover's away, tidy": said of the work, not of the part."""

_KNOWN_ALREADY = frozenset({"the", "that", "this", "those", "these", "them", "their", "its"})
_PLACING = frozenset(
    "with wi' of in into on onto at by past through over from near behind beside under between along across to".split()
)
""" "Stuck in the grooves", "soldered at the crack": a place that is known already."""


def _is_said_of_figure(chunks: Sequence[Chunk], at: int) -> bool:
    """ "Forty mil bang on", "2.7 is brand new": a verdict on a figure."""
    n = at - 1
    while n >= 0 and chunks[n].kind in ("aux", "adverb"):
        n -= 1
    return n >= 0 and (chunks[n].kind == "amount" or (chunks[n].kind == "number" and "." in chunks[n].low))


_FILLS = frozenset({"dirty", "carboned up", "water", "metal particles", "gritty", "rusty"})


def _is_with(chunks: Sequence[Chunk], at: int) -> bool:
    """ "Chocka with fluff", "plastered with muck": what it is full of is told by the word before."""
    lows = [c.low for c in chunks[:at]]
    if "with" not in lows:
        return False
    told = len(lows) - 1 - lows[::-1].index("with")
    return told > 0 and chunks[told - 1].kind == "condition"


_LOOKING = frozenset(
    (
        "check checked checking look looked looking inspect inspected inspecting test tested testing watch watched watching feel "
        "feeling felt listen listening listened tap tapped dye dyed measure measured examine examined hunt hunting search went"
    ).split()
)

_HOW_BAD = frozenset("so that pretty real right too proper".split())
_TO_COME = frozenset({"'ll", "will", "to", "'d", "would", "can", "could", "won't", "'ll just", "shall", "should"})

_HAPPENED_WELL = frozenset(
    {
        "came",
        "come",
        "backed",
        "undid",
        "went",
        "slid",
        "pulled",
        "lifted",
        "unscrewed",
        "wound",
        "coming",
        "drops",
        "popped",
        "spun",
        "screwed",
    }
)


def is_idle(clause: Clause, at: int, chunk: Chunk, state: State) -> bool:
    """Leave out a good word about how something came off, and a bare verdict on a number."""
    condition = chunk.conditions[0]
    before = clause.chunks[at - 1] if at else None
    if (
        before is not None
        and before.kind == "condition"
        and chunk.low in ("solid", "well", "right", "bad", "stiff", "thin", "up")
    ):
        return True
    if (
        chunk.low in ("bad", "badly")
        and at > 1
        and clause.chunks[at - 2].kind == "condition"
        and clause.chunks[at - 1].low in _HOW_BAD
    ):
        return True
    if (
        len(clause.chunks) == 1
        and chunk.low in _WELL_DONE
        and state.last_chunks
        and state.last_chunks[-1].kind in ("particle", "amount")
    ):
        return True
    if chunk.tag == "noun" and before is not None and before.is_part and (before.name or "").split()[-1:] in _MARKERS:
        return True
    if chunk.low in _MADE_IN and before is not None and before.kind == "condition" and before.tag == "noun":
        return True
    if chunk.tag == "adjective" and before is not None and before.kind == "determiner":
        return True
    if chunk.tag == "noun" and chunk.determiner in _KNOWN_ALREADY and before is not None and before.low in _PLACING:
        return True
    if condition.polarity == "good" and _is_said_of_figure(clause.chunks, at):
        return True
    if chunk.tag == "adjective" and at + 1 < len(clause.chunks) and clause.chunks[at + 1].kind in ("amount", "number"):
        return chunk.low in ("bang on", "spot on", "dead", "down", "flat", "round", "true")
    if before is not None and before.low in ("call", "say") and at > 1 and clause.chunks[at - 2].low in ("'d", "would"):
        return False
    if (before is not None and before.low in _TO_COME) or (
        before is not None and before.kind == "adverb" and at > 1 and clause.chunks[at - 2].low in _TO_COME
    ):
        return True
    if before is not None and before.low == "be" and any(c.low in ("'ll", "will", "'d") for c in clause.chunks[:at]):
        return True
    if chunk.tag == "noun" and condition.term in _FILLS and _is_with(clause.chunks, at):
        return True
    if state.is_correcting and clause.has("i said"):
        return True
    after = clause.chunks[at + 1] if at + 1 < len(clause.chunks) else None
    if (
        after is not None
        and after.pronoun in ("one", "ones")
        and before is not None
        and before.pronoun in ("that", "this", "those", "these")
    ):
        return True
    if (
        chunk.tag == "noun"
        and before is not None
        and before.low == "for"
        and any(c.low in _LOOKING for c in clause.chunks[:at])
    ):
        return True
    earlier = {c.low for c in clause.chunks[:at]}
    if "to" in earlier and any(c.tag == "B" for c in clause.chunks[:at]) and chunk.tag == "adjective":
        return True
    if condition.polarity == "good" and (earlier & _HAPPENED_WELL or _is_said_of_deed(clause.chunks[:at])):
        return True
    if (
        chunk.tag == "noun"
        and condition.term in ("noisy", "rumbling")
        and before is not None
        and chunk.determiner in ("that", "the", "this")
    ):
        return True
    if (
        condition.term in ("free", "sound")
        and any(c.fastener for c in clause.chunks[:at] if c.is_part)
        and condition.term == "free"
    ):
        return True
    if (
        chunk.low in ("good", "fine", "nice", "lovely", "well", "great", "bad")
        and clause.chunks[at + 1 : at + 2]
        and clause.chunks[at + 1].low in ("for", "idea", "luck", "job")
    ):
        return True
    if (
        condition.polarity == "good"
        and clause.chunks[0].pronoun in ("that", "it")
        and any(c.kind in ("amount",) for c in state.last_chunks)
    ):
        return True
    if (
        any(c.kind == "amount" for c in clause.chunks)
        and condition.term
        in ("worn", "play", "sloppy", "end float", "backlash", "out of true", "oval", "tapered", "thin", "side play")
        and chunk.tag == "noun"
    ):
        return True
    if (
        chunk.tag == "noun"
        and at + 1 < len(clause.chunks)
        and clause.chunks[at + 1].kind == "aux"
        and any(c.kind in ("amount", "number") for c in clause.chunks[at + 1 :])
    ):
        return True
    if condition.term in ("play", "missing") and earlier & {"up"} and chunk.tag == "verb":
        return True
    return False
