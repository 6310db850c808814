"""Finishes a part when all its words are read: its name, what kind of thing it is, or what it points back to.

In: a part chunk with its nouns and positions. Out: the chunk made whole, or None when it names nothing.

Examples: "the other two" points back, "flywheel side" is a place, "the cylinder's internals" is the cylinder.
"""

from __future__ import annotations

from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk, Sheet

POSITIONAL = frozenset(
    (
        "left right inner outer front rear back top bottom upper lower inside outside near far first second "
        "third fourth fifth sixth seventh eighth inboard outboard inlet exhaust nearside offside middle "
        "centre central leading trailing rearmost foremost port starboard outermost innermost topmost last "
        "intake"
    ).split()
)


def finish_part(sheet: Sheet, part: Chunk, at: int, end: int, nouns: list[str], positions: list[str]) -> Chunk | None:
    if end == at:
        return None
    if sheet.low(end - 1) in ("'s",):
        end -= 1
    if not nouns:
        while end > at + 1 and sheet.tag(end - 1) in "JR" and sheet.low(end - 1) not in POSITIONAL:
            end -= 1
        part.adjectives = []
    part.end = end
    part.low = " ".join(sheet.low(i) for i in range(at, end))
    part.position = " ".join(positions) or None
    if not nouns:
        return _headless(sheet, part, end)
    if nouns[-1] in ("one", "ones"):
        part.pronoun = "one" if nouns[-1] == "one" else "ones"
        part.is_plural = nouns[-1] == "ones"
        return part
    if nouns[0] in ("couple", "pair") and len(nouns) > 1:
        nouns = nouns[1:]
        part.count = 2
    head = nouns[-1]
    is_end = tuple(nouns) in sheet.lexicon.components and nouns[0] not in POSITIONAL
    if (
        not is_end
        and head in ("side", "sides", "end", "ends")
        and len(nouns) + len(positions) + len(part.adjectives) > 0
    ):
        return _place_only(part, nouns, positions)
    part.is_plural = singular(head) != head or head in ("teeth", "points")
    part.name = name_of(nouns)
    part.is_known = tuple(part.name.split()) in sheet.lexicon.components or singular(head) in sheet.lexicon.heads
    is_component = tuple(part.name.split()) in sheet.lexicon.components
    part.is_unspecific = (
        head in sheet.lexicon.unspecific
        and not (part.is_known and (is_component or len(nouns) > 1))
        and all(n in sheet.lexicon.unspecific for n in nouns)
    ) or (not part.is_known and singular(head) in sheet.lexicon.no_things)
    if head == "way" and len(nouns) == 1:
        part.is_unspecific = True
    if at and sheet.pieces[at - 1].kind == "amount" and singular(head) in _HEADS_OF_TOOLS and len(nouns) == 1:
        part.is_unspecific = True
    if part.is_unspecific and part.owner and singular(head) in _INSIDES:
        part.name, part.is_unspecific = part.owner, False
    if part.is_unspecific:
        part.is_known = False
    part.container = singular(head) in sheet.lexicon.containers
    phrase = tuple(nouns)
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.fasteners:
            part.fastener = sheet.lexicon.fasteners[phrase[n:]]
            part.tag = " ".join(phrase[:n])
            break
    adjectives = tuple(part.adjectives)
    for n in range(len(adjectives)):
        if (*adjectives[n:], *phrase) in sheet.lexicon.fasteners:
            part.fastener = sheet.lexicon.fasteners[(*adjectives[n:], *phrase)]
            part.tag = ""
            break
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.quantities:
            part.quantity = sheet.lexicon.quantities[phrase[n:]]
            part.owner = part.owner or (name_of(list(phrase[:n])) if n else None)
            break
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.tools:
            part.tool = " ".join((*adjectives, *phrase))
            part.is_known = part.is_known and is_component
            break
    return part


_HEADS_OF_TOOLS = frozenset("head hex socket spanner wrench key driver ring bit".split())


_INSIDES = frozenset(
    {"internal", "inside", "gut", "innard", "surface", "condition", "state", "edge", "end", "outside", "body"}
)
""" "The cylinder's internals are gummed up": the cylinder is."""


def _place_only(part: Chunk, nouns: list[str], positions: list[str]) -> Chunk:
    """Read a place that stands for what sits there: "flywheel side", "the dial end", "both sides"."""
    part.position = " ".join([*positions, *part.adjectives, *nouns[:-1], singular(nouns[-1])])
    part.pronoun = "place"
    part.is_plural = nouns[-1].endswith("s")
    part.adjectives = []
    return part


def _headless(sheet: Sheet, part: Chunk, end: int) -> Chunk | None:
    """Read a phrase without a noun: "the other two", "both", "all eight", "the left", "the rest"."""
    words = part.low.split()
    if part.count is not None or any(
        w in ("both", "all", "none", "neither", "each", "either", "other", "others", "rest", "same") for w in words
    ):
        part.pronoun = (
            "other"
            if "other" in words or "others" in words
            else words[0]
            if words[0] in ("both", "all", "none", "neither", "each", "either")
            else "number"
        )
        part.is_plural = True
        part.is_negative = part.is_negative or part.pronoun in ("none", "neither")
        return part
    if part.position and (part.determiner or sheet.tag(end) in "SX" or sheet.low(end) in (",", "'s")):
        part.pronoun = "one"
        return part
    if part.determiner in ("this", "that", "these", "those"):
        part.pronoun = part.determiner
        return part
    return None


def name_of(nouns: list[str]) -> str:
    return " ".join([*nouns[:-1], singular(nouns[-1])])
