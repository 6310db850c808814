"""Tags the closed words that can be several things: "that", "back", "left", "off", "all", "'s".

In: pieces, a place, the tag before. Out: a tag.

Examples: "drum's off" (S) and "drum's shaft" (P), "left side" (L) and "has left" (E).
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.lexicon import Lexicon
from notebook.reading.tag_looks import NOUN_FORMS, PARTICLES, SUBJECTS, is_clause_next, is_verb_next, starts_noun
from notebook.reading.tidy import Piece
from notebook.reading.verb_tags import BE_HAVE

CLOSED = frozenset(
    (
        "to that no one ones so like then off out up down back in on over away apart through round around "
        "loose together along as for right left well now past near inside outside before after since until "
        "till both all half each either neither none other others this these those what which whatever bit "
        "lot more most less little few enough same her his once besides yet"
    ).split()
)


def closed(low: str, pieces: Sequence[Piece], at: int, previous: str, before: str, after: str, lexicon: Lexicon) -> str:
    is_noun_next = starts_noun(pieces, at + 1, lexicon)
    if low == "to":
        return "I"
    if low == "no":
        if after in (",", "", ".") and previous in "ZC":
            return "H"
        return "D"
    if low in ("so", "then", "yet"):
        return "C"
    if low in ("that", "this", "these", "those"):
        if low == "that" and _says_how_much(pieces, at, lexicon):
            return "R"
        if low == "that" and previous in "NOV" and before not in ("and", "but") and is_noun_next and previous != "V":
            return "U"
        return "D" if is_noun_next and not is_verb_next(pieces, at + 1, lexicon) else "O"
    if low in (
        "both",
        "all",
        "half",
        "each",
        "either",
        "neither",
        "none",
        "more",
        "most",
        "less",
        "few",
        "enough",
        "same",
        "what",
        "which",
        "whatever",
        "other",
        "others",
        "bit",
        "lot",
        "little",
    ):
        return _quantifier(low, previous, is_noun_next)
    if low in ("one", "ones"):
        return "O"
    if low in ("her", "his"):
        return "P" if is_noun_next else "O"
    if low in ("right", "left", "well", "now", "past", "near", "inside", "outside", "back"):
        return _sided(low, at, previous, before, after, is_noun_next)
    if low in PARTICLES:
        if previous in "VBGEXS" or before in ("'s", "is", "are", "come", "all"):
            if not is_noun_next or low in ("off", "out", "apart", "away", "up", "down"):
                return "K"
        if not is_noun_next and (previous in "NOR" or not at):
            return "K"
        return "I"
    if low in ("before", "after", "since", "until", "till", "once", "as"):
        return "U" if is_clause_next(pieces, at + 1, lexicon) else "I"
    if low == "like":
        return "I"
    return "I" if "preposition" in lexicon.word_classes(low) else "R"


def _says_how_much(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """ "They're that worn", "it's that mucky I can't read it": how much, not which."""
    if at < 2 or at + 1 >= len(pieces) or pieces[at - 1].low not in _IS or pieces[at + 1].kind != "word":
        return False
    said_of = lexicon.conditions.get((pieces[at + 1].low,), ())
    return any(c.form == "adjective" for c in said_of) and not starts_noun(pieces, at + 2, lexicon)


_IS = frozenset("is are was were 's 're isn't aren't wasn't weren't gone got not be been being".split())


def _quantifier(low: str, previous: str, is_noun_next: bool) -> str:
    if low in ("other", "others"):
        return "J" if is_noun_next else "O"
    if low in ("bit", "lot"):
        return "N"
    if low in ("what", "which", "whatever"):
        return "W" if previous in "ZC" else "U"
    if low == "little":
        return "J" if is_noun_next else "R"
    if low == "same":
        return "J"
    if low in ("all",) and not is_noun_next and previous in "XS":
        return "R"
    if is_noun_next:
        return "D"
    return "O" if low in ("both", "all", "each", "either", "neither", "none") else "R"


def _sided(
    low: str,
    at: int,
    previous: str,
    before: str,
    after: str,
    is_noun_next: bool,
) -> str:
    if low in ("well", "now"):
        return "R"
    if low == "back":
        if previous in "VBGEXS":
            return "K"
        return "L" if is_noun_next or previous in "DP" else "R"
    if low == "right" and (not at or previous == "Z") and after in (",", "then", "so", ".", ""):
        return "H"
    if low in ("right", "left"):
        if low == "left" and previous in "OXS" and before not in ("'s", "is", "one", "that", "this"):
            return "V" if previous == "O" else "E"
        if previous in "DP" or is_noun_next or after in ("'s", "hand", "side", "one"):
            return "L"
        if low == "left":
            return "E" if previous in "XS" else "V" if previous in "O" else "L" if previous in "CZI" else "E"
        return "R"
    if low in ("inside", "outside", "near") and is_noun_next and previous in "DP":
        return "L"
    if low in ("inside", "outside") and after in ("'s", "is", "one"):
        return "L"
    return "I"


def clitic_s(pieces: Sequence[Piece], at: int, in_name: set[int], lexicon: Lexicon) -> str:
    """Tell "drum's off" (S, is or has) from "drum's shaft" (P, of the drum)."""
    if at and pieces[at - 1].low in SUBJECTS | {
        "here",
        "where",
        "what",
        "who",
        "how",
        "everything",
        "nothing",
        "let",
        "other",
        "rest",
    }:
        if pieces[at - 1].low not in ("other", "rest", "one"):
            return "S"
    nxt = at + 1
    if nxt >= len(pieces):
        return "S"
    following = pieces[nxt]
    if following.kind in ("amount", "thread", "number", "sign"):
        return "S"
    classes = lexicon.word_classes(following.low)
    if classes & {
        "determiner",
        "auxiliary",
        "negator",
        "preposition",
        "adverb",
        "pronoun",
        "possessive",
        "ed",
        "ing",
        "conjunction",
        "subordinator",
    }:
        if not (following.low in NOUN_FORMS or nxt in in_name or "noun" in classes):
            return "S"
    if "adjective" in classes and (following.low,) in lexicon.conditions and _noun_then_clitic(pieces, nxt, lexicon):
        return "S"
    if (following.low,) in lexicon.conditions or (
        nxt + 1 < len(pieces) and (following.low, pieces[nxt + 1].low) in lexicon.conditions
    ):
        if nxt not in in_name:
            return "S" if not _noun_then_verb(pieces, nxt, lexicon) else "P"
    if "adjective" in classes and not ("position" in classes and starts_noun(pieces, nxt + 1, lexicon)):
        return "P" if _noun_then_verb(pieces, nxt, lexicon) else "S"
    return "P" if _noun_then_verb(pieces, nxt, lexicon) else "S"


def _noun_then_clitic(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """ "Block's fine | valve plate's fine": a verdict, and the next noun begins a statement of its own."""
    return any(
        at + step < len(pieces)
        and pieces[at + step].low == "'s"
        and (pieces[at + step - 1].low,) not in lexicon.conditions
        for step in (2, 3, 4)
    ) and all(pieces[at + step].kind == "word" for step in (1, 2) if at + step < len(pieces))


def _noun_then_verb(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell whether a noun phrase of up to four words is followed by a verb."""
    for step in range(1, 5):
        nxt = at + step
        if nxt >= len(pieces) or pieces[nxt].kind != "word":
            return False
        low = pieces[nxt].low
        classes = lexicon.word_classes(low)
        if (low in BE_HAVE and low not in ("get", "got")) or low in ("'s", "needs", "wants", "feels", "looks", "has"):
            return True
        if "preposition" in classes or "conjunction" in classes or "subordinator" in classes:
            return False
    return False
