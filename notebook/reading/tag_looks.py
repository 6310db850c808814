"""Looks ahead from a word: does a noun, a verb, a clause begin there?

In: pieces and a place. Out: yes or no.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.lexicon import Lexicon
from notebook.reading.tidy import Piece

NOUN_FORMS = frozenset(
    (
        "bearing bearings lining linings winding windings fitting fittings mounting mountings bushing "
        "bushings wiring casing casings ring rings spring springs string opening coating plating marking "
        "markings setting settings reading readings drawing packing piping lacing housing housings coupling "
        "couplings casting castings ceiling railing webbing sheathing landing ducting gearing shafting "
        "bedding decking footing guarding splining"
    ).split()
)
"""Words that end like a verb form and name a thing."""

SPEECH_VERBS = frozenset(
    (
        "say says said think thinks thought reckon reckons reckoned know knew see saw find found feel felt "
        "hear heard tell told suspect guess suppose believe hope notice noticed bet swear"
    ).split()
)

SUBJECTS = frozenset("i you he she it we they who there that this these those one ye youse ones".split())

NOUN = frozenset({"noun"})

PARTICLES = frozenset("off out up down back in on over away apart through round around loose together along".split())


def starts_noun(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell whether what begins here could go on as a noun phrase."""
    if at >= len(pieces):
        return False
    piece = pieces[at]
    if piece.kind in ("number", "amount", "thread"):
        return True
    if piece.kind != "word":
        return False
    classes = lexicon.word_classes(piece.low)
    if piece.low in ("one", "ones", "other", "others", "same", "bit", "lot", "three", "two"):
        return True
    if classes & {"auxiliary", "conjunction", "pronoun", "interjection", "negator"} and "noun" not in classes:
        return False
    if "preposition" in classes and not classes & {"adjective", "position"}:
        return False
    if classes & {"noun", "adjective", "position", "possessive", "determiner"}:
        return True
    if lexicon.is_nouny(piece.low) or piece.low in NOUN_FORMS:
        return True
    if "ed" in classes:
        nxt = at + 1
        return nxt < len(pieces) and pieces[nxt].kind == "word" and _is_plain_noun(pieces[nxt].low, lexicon)
    return bool(classes & {"base"}) and not classes & {"adverb"}


def _is_plain_noun(low: str, lexicon: Lexicon) -> bool:
    return lexicon.is_nouny(low) or low in NOUN_FORMS or lexicon.word_classes(low) == {"noun"}


def heads_noun(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    nxt = at + 1
    if nxt >= len(pieces):
        return False
    if pieces[nxt].low in ("one", "ones", "'s", "side", "end", "hand", "and", "two", "three"):
        return True
    return starts_noun(pieces, nxt, lexicon) and pieces[nxt].low not in ("the", "a", "an", "this")


def is_verb_next(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell "that wants doing" from "that bearing wants doing"."""
    if at >= len(pieces) or pieces[at].kind != "word":
        return False
    classes = lexicon.word_classes(pieces[at].low)
    if "auxiliary" in classes:
        return True
    if classes & {"s"} and not lexicon.is_nouny(pieces[at].low):
        return True
    if "ed" in classes and not starts_noun(pieces, at, lexicon):
        return True
    if lexicon.is_nouny(pieces[at].low) and classes & {"s"}:
        return False
    return (
        "base" in classes
        and not lexicon.is_nouny(pieces[at].low)
        and "noun" not in classes
        and "adjective" not in classes
    )


def is_clause_next(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    for step in range(5):
        if at + step >= len(pieces) or pieces[at + step].kind == "sign":
            return False
        classes = lexicon.word_classes(pieces[at + step].low)
        if "auxiliary" in classes or (classes & {"s", "ed"} and not lexicon.is_nouny(pieces[at + step].low)):
            return True
        if step == 0 and pieces[at].low in SUBJECTS:
            return True
    return False
