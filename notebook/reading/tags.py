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

from notebook.reading.lexicon import Lexicon
from notebook.reading.matching import Match
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
_SUBJECTS = frozenset("i you he she it we they who there that this these those one ye youse ones".split())
_MODALS = frozenset(
    (
        "will would can could shall should may might must 'll won't wouldn't can't cannot couldn't shouldn't "
        "mustn't needn't do does did don't doesn't didn't cannae couldnae wouldnae dinnae didnae doesnae to "
        "gonna gotta wanna"
    ).split()
)
_BE_HAVE = frozenset(
    (
        "is are was were be been being am 's 're 'm isn't aren't wasn't weren't ain't has have had having 've "
        "'d hasn't haven't hadn't isnae wasnae hasnae havenae arenae got get gets getting"
    ).split()
)
_NOUN = frozenset({"noun"})
_PARTICLES = frozenset("off out up down back in on over away apart through round around loose together along".split())
_LINKING = frozenset(["feel", "feels", "felt", "look", "looks", "looked", "seem", "seems", "seemed", "sound", "sounds", "run", "runs", "ran", "turn", "turns", "turned", "measure", "measures", "go", "goes", "gone", "went", "come", "comes", "came", "stay", "stays", "get", "gets", "got", "spin", "spins", "spun", "sit", "sits", "move", "moves", "smell", "smells"])  # fmt: skip


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
    if piece.hyphened and previous == "N" and classes & {"base", "s"} and after and "noun" in lexicon.word_classes(after):
        return "N"
    if _is_first_of_hyphened(pieces, at, classes, lexicon):
        return "N"
    if low == "'s":
        return _clitic_s(pieces, at, previous, in_name, lexicon)
    if low in ("'re", "'ve", "'ll", "'d", "'m"):
        return "X"
    if at in in_name and not (classes & {"auxiliary", "pronoun"}):
        return "N"
    if low in _CLOSED:
        return _closed(low, pieces, at, previous, before, after, lexicon)
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
        return _verbish(low, verb, classes, pieces, at, previous, before, after, lexicon)
    if "position" in classes and _heads_noun(pieces, at, lexicon):
        return "L"
    if classes == _NOUN and any(c.form == "adjective" for c in lexicon.conditions.get((low,), ())):
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
    if not classes & {"base", "s", "noun", "preposition", "adjective"} or pieces[at].low in _PLAIN_POSITIONS:
        return False
    second = lexicon.word_classes(pieces[at + 1].low)
    return not second & {"ed", "ing", "adjective", "preposition", "pronoun", "determiner"}


_PLAIN_POSITIONS = frozenset("left right inner outer top bottom front rear upper lower near far cross self half".split())


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


_CLOSED = frozenset(
    (
        "to that no one ones so like then off out up down back in on over away apart through round around "
        "loose together along as for right left well now past near inside outside before after since until "
        "till both all half each either neither none other others this these those what which whatever bit "
        "lot more most less little few enough same her his once besides yet"
    ).split()
)


def _closed(
    low: str, pieces: Sequence[Piece], at: int, previous: str, before: str, after: str, lexicon: Lexicon
) -> str:
    starts_noun = _starts_noun(pieces, at + 1, lexicon)
    if low == "to":
        return "I"
    if low == "no":
        if after in (",", "", ".") and previous in "ZC":
            return "H"
        return "D"
    if low in ("so", "then", "yet"):
        return "C"
    if low in ("that", "this", "these", "those"):
        if low == "that" and previous in "NOV" and before not in ("and", "but") and starts_noun and previous != "V":
            return "U"
        return "D" if starts_noun and not _is_verb_next(pieces, at + 1, lexicon) else "O"
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
        return _quantifier(low, pieces, at, previous, starts_noun)
    if low in ("one", "ones"):
        return "O"
    if low in ("her", "his"):
        return "P" if starts_noun else "O"
    if low in ("right", "left", "well", "now", "past", "near", "inside", "outside", "back"):
        return _sided(low, pieces, at, previous, before, after, starts_noun, lexicon)
    if low in _PARTICLES:
        if previous in "VBGEXS" or before in ("'s", "is", "are", "come", "all"):
            if not starts_noun or low in ("off", "out", "apart", "away", "up", "down"):
                return "K"
        if not starts_noun and (previous in "NOR" or not at):
            return "K"
        return "I"
    if low in ("before", "after", "since", "until", "till", "once", "as"):
        return "U" if _is_clause_next(pieces, at + 1, lexicon) else "I"
    if low == "like":
        return "I"
    return "I" if "preposition" in lexicon.word_classes(low) else "R"


def _quantifier(low: str, pieces: Sequence[Piece], at: int, previous: str, starts_noun: bool) -> str:
    if low in ("other", "others"):
        return "J" if starts_noun else "O"
    if low in ("bit", "lot"):
        return "N"
    if low in ("what", "which", "whatever"):
        return "W" if previous in "ZC" else "U"
    if low == "little":
        return "J" if starts_noun else "R"
    if low == "same":
        return "J"
    if low in ("all",) and not starts_noun and previous in "XS":
        return "R"
    if starts_noun:
        return "D"
    return "O" if low in ("both", "all", "each", "either", "neither", "none") else "R"


def _sided(
    low: str,
    pieces: Sequence[Piece],
    at: int,
    previous: str,
    before: str,
    after: str,
    starts_noun: bool,
    lexicon: Lexicon,
) -> str:
    if low in ("well", "now"):
        return "R"
    if low == "back":
        if previous in "VBGEXS":
            return "K"
        return "L" if starts_noun or previous in "DP" else "R"
    if low == "right" and (not at or previous == "Z") and after in (",", "then", "so", ".", ""):
        return "H"
    if low in ("right", "left"):
        if low == "left" and previous in "OXS" and before not in ("'s", "is", "one", "that", "this"):
            return "V" if previous == "O" else "E"
        if previous in "DP" or starts_noun or after in ("'s", "hand", "side", "one"):
            return "L"
        if low == "left":
            return "E" if previous in "XS" else "V" if previous in "O" else "L" if previous in "CZI" else "E"
        return "R"
    if low in ("inside", "outside", "near") and starts_noun and previous in "DP":
        return "L"
    if low in ("inside", "outside") and after in ("'s", "is", "one"):
        return "L"
    return "I"


def _clitic_s(pieces: Sequence[Piece], at: int, previous: str, in_name: set[int], lexicon: Lexicon) -> str:
    """Tell "drum's off" (S, is or has) from "drum's shaft" (P, of the drum)."""
    if at and pieces[at - 1].low in _SUBJECTS | {
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
    if "adjective" in classes and not ("position" in classes and _starts_noun(pieces, nxt + 1, lexicon)):
        return "P" if _noun_then_verb(pieces, nxt, lexicon) else "S"
    return "P" if _noun_then_verb(pieces, nxt, lexicon) or (classes == {"noun"} and _ends_soon(pieces, nxt)) else "S"


def _noun_then_clitic(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """ "Block's fine | valve plate's fine": a verdict, and the next noun begins a statement of its own."""
    return any(
        at + step < len(pieces) and pieces[at + step].low == "'s" and (pieces[at + step - 1].low,) not in lexicon.conditions
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
        if (low in _BE_HAVE and low not in ("get", "got")) or low in ("'s", "needs", "wants", "feels", "looks", "has"):
            return True
        if "preposition" in classes or "conjunction" in classes or "subordinator" in classes:
            return False
    return False


def _ends_soon(pieces: Sequence[Piece], at: int) -> bool:
    return False


def _starts_noun(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
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


def _heads_noun(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    nxt = at + 1
    if nxt >= len(pieces):
        return False
    if pieces[nxt].low in ("one", "ones", "'s", "side", "end", "hand", "and", "two", "three"):
        return True
    return _starts_noun(pieces, nxt, lexicon) and pieces[nxt].low not in ("the", "a", "an", "this")


def _is_verb_next(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell "that wants doing" from "that bearing wants doing"."""
    if at >= len(pieces) or pieces[at].kind != "word":
        return False
    classes = lexicon.word_classes(pieces[at].low)
    if "auxiliary" in classes:
        return True
    if classes & {"s"} and not lexicon.is_nouny(pieces[at].low):
        return True
    if "ed" in classes and not _starts_noun(pieces, at, lexicon):
        return True
    if lexicon.is_nouny(pieces[at].low) and classes & {"s"}:
        return False
    return (
        "base" in classes
        and not lexicon.is_nouny(pieces[at].low)
        and "noun" not in classes
        and "adjective" not in classes
    )


def _is_clause_next(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    for step in range(5):
        if at + step >= len(pieces) or pieces[at + step].kind == "sign":
            return False
        classes = lexicon.word_classes(pieces[at + step].low)
        if "auxiliary" in classes or (classes & {"s", "ed"} and not lexicon.is_nouny(pieces[at + step].low)):
            return True
        if step == 0 and pieces[at].low in _SUBJECTS:
            return True
    return False


def _verbish(
    low: str, verb: frozenset[str], classes: frozenset[str], pieces: Sequence[Piece], at: int, previous: str, before: str, after: str,
    lexicon: Lexicon,
) -> str:  # fmt: skip
    if before in ("kindly", "please") and "base" in verb:
        return "B"
    if before == "to" or before in _MODALS:
        if "base" in verb and not (lexicon.is_nouny(low) and before == "to" and after in ("the", "'s")):
            return "B"
    nouny = lexicon.is_nouny(low) or "noun" in classes
    if "ing" in verb:
        return _ing(low, previous, before, after, pieces, at, lexicon)
    if "ed" in verb and "base" not in verb:
        return _ed(previous, before, pieces, at, lexicon)
    if previous in ("D", "P", "J", "L", "Q", "T") or (previous == "A" and nouny):
        if before in ("this", "that") and "s" in verb and not nouny:
            return "V"
        if "adjective" in classes and _starts_noun(pieces, at + 1, lexicon) and not nouny:
            return "J"
        return "N"
    if before in _SUBJECTS and previous in "OUQW":
        return "V"
    if previous in "XS" and "ed" in verb:
        return "E"
    if previous == "I" and nouny:
        return "N"
    if "s" in verb:
        return _s_form(nouny, previous, after, pieces, at, lexicon)
    if previous == "N":
        return _after_noun(nouny, after, pieces, at, lexicon)
    if "adjective" in classes or "position" in classes:
        return "J"
    if previous in "ZCHRW" or not at:
        return _opening(nouny, after, pieces, at, lexicon)
    return "N" if nouny else "V" if previous in "OX" else "B"


def _ing(low: str, previous: str, before: str, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if previous in "XSVRO" and before not in ("there",):
        return "G"
    if previous in "DPJ":
        return "J" if _starts_noun(pieces, at + 1, lexicon) and after not in ("one", "a", "the") else "N"
    return "G"


def _ed(previous: str, before: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if previous in "XS" or before in _BE_HAVE:
        return "E"
    if previous in "DPJLQ" and _starts_noun(pieces, at + 1, lexicon):
        return "J"
    if previous in "RN" and at and _has_be(pieces, at):
        return "E"
    if previous in "O":
        return "V"
    return "V" if previous == "N" and not _has_be(pieces, at) else "E"


def _has_be(pieces: Sequence[Piece], at: int) -> bool:
    return any(p.low in _BE_HAVE for p in pieces[max(0, at - 4) : at])


def _s_form(nouny: bool, previous: str, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if nouny:
        follows_verb = after in _BE_HAVE or after in ("need", "want", "look", "feel", "went", "came", "go")
        if (
            previous == "N"
            and not follows_verb
            and (after in ("off", "out", "up", "the", "a", "on", "in") or _is_adverb(after, lexicon))
        ):
            return "V" if pieces[at].low not in _PARTS_ONLY else "N"
        return "N"
    return "V"


_PARTS_ONLY = frozenset(
    (
        "springs bolts screws pins plugs clips shims nuts rings wheels gears valves rods studs washers shoes "
        "pads drums hubs axles rollers balls collars spacers threads blades bars cables chains belts cups "
        "cones races lobes cams jets needles boots glands caps heads faces sides parts bits keys brushes "
        "covers blocks cases seals"
    ).split()
)


def _is_adverb(low: str, lexicon: Lexicon) -> bool:
    classes = lexicon.word_classes(low)
    return "adverb" in classes and not classes & {"adjective", "noun"}


def _after_noun(nouny: bool, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if nouny:
        return "N"
    return "V"


def _opening(nouny: bool, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    """Tell an order ("check the valve") from a name ("drain plug's off") at the start of a stretch."""
    after_classes = lexicon.word_classes(after) if after else frozenset[str]()
    if after in (
        "the",
        "a",
        "an",
        "it",
        "them",
        "'em",
        "that",
        "this",
        "these",
        "those",
        "your",
        "my",
        "off",
        "out",
        "up",
        "down",
        "any",
        "all",
        "both",
        "each",
        "every",
        "him",
        "her",
        "yourself",
        "some",
    ):
        return "B"
    if not nouny:
        following = pieces[at + 2].low if at + 2 < len(pieces) else ""
        if "noun" in after_classes or lexicon.is_nouny(after):
            return "N" if following in _BE_HAVE or following in ("off", "out") else "B"
        return "B"
    if after in ("'s", "is", "are", "was", "were", "has", "have", "had", "of", ",", ".", "") or "noun" in after_classes:
        return "N"
    return "N"
