"""Says what every word of a remark is: noun, verb, adjective..., from the words around it.

In: pieces and the phrases found in them. Out: one tag a piece.
Hand rules over closed lists: dictated speech without stops is where a parser loses its way.

Tags: D determiner, P possessive, N noun, J adjective, L position word, V finite verb, B base verb after "to",
a modal or at the start, G -ing form, E -ed/-en form, X auxiliary, S the clitic 's, R adverb, I preposition,
K particle of a verb, C conjunction, U subordinator, O pronoun, Q number, A amount, T thread, W question word,
H interjection, Z sign.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from notebook.reading.closed_tags import CLOSED, clitic_s, closed
from notebook.reading.lexicon import Lexicon
from notebook.reading.matching import Match
from notebook.reading.tag_looks import NOUN, NOUN_FORMS, heads_noun
from notebook.reading.tidy import Piece
from notebook.reading.verb_tags import is_fault_verb, verbish


def tag_pieces(pieces: Sequence[Piece], matches: Mapping[int, Sequence[Match]], lexicon: Lexicon) -> list[str]:
    """Give one tag a piece."""
    in_name = _name_pieces(matches)
    tags: list[str] = []
    for at in range(len(pieces)):
        tags.append(_tag(pieces, at, tags, in_name, lexicon))
    return tags


def _name_pieces(matches: Mapping[int, Sequence[Match]]) -> set[int]:
    """Pieces inside a component, fastener or tool name of two words or more: nouns whatever they look like."""
    inside: set[int] = set()
    for found in matches.values():
        for match in found:
            if match.label in ("component", "fastener", "tool") and match.end - match.start > 1:
                inside.update(range(match.start, match.end))
    return inside


def _tag(pieces: Sequence[Piece], at: int, tags: Sequence[str], in_name: set[int], lexicon: Lexicon) -> str:
    piece = pieces[at]
    if piece.why == "so many of them":
        return "Z"
    if piece.kind != "word":
        return {"number": _number_tag(pieces, at), "amount": "A", "thread": "T"}.get(piece.kind, "Z")
    low = piece.low
    previous = tags[-1] if tags else "Z"
    before = pieces[at - 1].low if at else ""
    after = pieces[at + 1].low if at + 1 < len(pieces) else ""
    classes = lexicon.word_classes(low)
    if (
        piece.hyphened
        and previous == "N"
        and classes & {"base", "s"}
        and after
        and "noun" in lexicon.word_classes(after)
    ):
        return "N"
    if _is_first_of_hyphened(pieces, at, classes, lexicon):
        return "N"
    if after in ("side", "end") and "position" in classes and low != after:
        return "L"
    if low == "end" and (not tags or previous in "ZCDL") and after and "noun" in lexicon.word_classes(after):
        return "N"
    if low == "'s":
        return clitic_s(pieces, at, in_name, lexicon)
    if low in ("'re", "'ve", "'ll", "'d", "'m"):
        return "X"
    if at in in_name and not (classes & {"auxiliary", "pronoun"}):
        return "N"
    if low in CLOSED:
        return closed(low, pieces, at, previous, before, after, lexicon)
    if "interjection" in classes and (previous == "Z" or not tags) and after in ("", ",", "then", "so", "!", "."):
        return "H"
    if "question" in classes and (not tags or previous in "ZCH"):
        return "W"
    if "auxiliary" in classes:
        return "X"
    if "possessive" in classes:
        return "P"
    if low in NOUN_FORMS or (low.endswith("ing") and (low,) in lexicon.components):
        return "N"
    verb = classes & {"base", "s", "ed", "ing"}
    if verb:
        return verbish(low, verb, classes, pieces, at, previous, before, after, lexicon)
    if classes == NOUN and previous == "N" and is_fault_verb(low, lexicon):
        return "V"
    if "position" in classes and heads_noun(pieces, at, lexicon):
        return "L"
    if classes == NOUN and any(c.form == "adjective" for c in lexicon.conditions.get((low,), ())):
        return "J"
    if "adjective" in classes or "position" in classes:
        return "L" if "position" in classes and "adjective" not in classes and previous in "DP" else "J"
    if "preposition" in classes:
        return "I"
    if "subordinator" in classes:
        return "U"
    if "conjunction" in classes:
        return "C"
    if "adverb" in classes:
        return "R"
    if "pronoun" in classes:
        return "O"
    if "determiner" in classes:
        return "D"
    if "negator" in classes:
        return "R"
    if "interjection" in classes:
        return "H"
    return "N"


def _is_first_of_hyphened(pieces: Sequence[Piece], at: int, classes: frozenset[str], lexicon: Lexicon) -> bool:
    """ "Drive-end bearing", "non-return flap": the first word of a joined pair belongs to the name."""
    if at + 2 >= len(pieces) or not pieces[at + 1].hyphened or pieces[at + 2].kind != "word":
        return False
    if pieces[at].low in ("non", "pre", "anti"):
        return True
    if (
        not classes & {"base", "s", "noun", "preposition", "adjective", "position"}
        or pieces[at].low in _PLAIN_POSITIONS
    ):
        return False
    if pieces[at + 1].low in _OFF_OUT and pieces[at].low not in _DONE_TO:
        return True
    second = lexicon.word_classes(pieces[at + 1].low)
    return not second & {"ed", "ing", "adjective", "preposition", "pronoun", "determiner"}


_OFF_OUT = frozenset("off out in up down over".split())
""" "Leak-off", "cut-out", "take-up": a deed and its direction, joined, are a thing."""

_DONE_TO = frozenset("burned worn broken cut knocked split set".split())

_PLAIN_POSITIONS = frozenset(
    "left right inner outer top bottom front rear upper lower near far cross self half".split()
)


def _number_tag(pieces: Sequence[Piece], at: int) -> str:
    """Tell the pronoun in "this one", "the left one" from the number in "one tooth"."""
    if pieces[at].low == "one" and at and pieces[at - 1].kind == "word":
        before = pieces[at - 1].low
        after = pieces[at + 1] if at + 1 < len(pieces) else None
        if before in _BEFORE_ONE and not (
            before == "the" and after is not None and after.kind == "word" and after.low not in _AFTER_ONE
        ):
            return "O"
    return "Q"


_BEFORE_ONE = frozenset(
    (
        "this that the other each every any new old good bad left right inner outer front rear top bottom "
        "upper lower big small last next first second third same another middle inlet exhaust large little "
        "worst best long short neither either which wee worn cracked broken bent loose tight near far offside "
        "nearside lower centre outboard inboard wrong right spare original odd"
    ).split()
)

_AFTER_ONE = frozenset(
    "'s is was has had that will 'll of on in at i we he she they you and but wants needs looks feels".split()
)
