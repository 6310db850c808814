"""Tags words that can be verbs by the words around them: finite, base, -ing or -ed form, or a noun after all.

In: pieces, a place, the tag before. Out: a tag.

Examples: "rings spin" (V), "the spring" (N), "it's worn" (E).
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.lexicon import Lexicon
from notebook.reading.nouns_said import singular
from notebook.reading.tag_looks import SUBJECTS, starts_noun
from notebook.reading.tidy import Piece

_MODALS = frozenset(
    (
        "will would can could shall should may might must 'll won't wouldn't can't cannot couldn't shouldn't "
        "mustn't needn't do does did don't doesn't didn't cannae couldnae wouldnae dinnae didnae doesnae to "
        "gonna gotta wanna"
    ).split()
)

BE_HAVE = frozenset(
    (
        "is are was were be been being am 's 're 'm isn't aren't wasn't weren't ain't has have had having 've "
        "'d hasn't haven't hadn't isnae wasnae hasnae havenae arenae got get gets getting"
    ).split()
)

_IS_HAS = frozenset("is are was were 's isn't aren't wasn't weren't has have had hasn't haven't".split())

_OBJECT_STARTS = frozenset("the a an it them its their this that each".split())

_GAUGED = frozenset("measure weigh read mike gauge show run come want take need stand sit hold give".split())
"""Bare verbs that an amount follows: "the skirts measure 47.1 mm"."""

_TAKES_STATEMENT = frozenset(
    "check ensure see mind reckon think know guess suppose say bet hope note confirm watch remember figure suspect".split()
)
"""Verbs that a statement follows without "that": "check bearing is tight"."""

_SENSED = frozenset("look feel seem sound smell run turn spin move sit stay go come".split())
"""Bare verbs that a judgement follows: "the rest look fine"."""


def verbish(
    low: str, verb: frozenset[str], classes: frozenset[str], pieces: Sequence[Piece], at: int, previous: str, before: str, after: str,
    lexicon: Lexicon,
) -> str:  # fmt: skip
    if before in ("kindly", "please") and "base" in verb:
        return "B"
    if before == "to" or before in _MODALS:
        if "base" in verb and not (lexicon.is_nouny(low) and before == "to" and after in ("the", "'s")):
            return "B"
    nouny = lexicon.is_nouny(low) or "noun" in classes
    if "base" in verb and _is_spoken_of(pieces, at, previous, lexicon):
        return "N"
    if before in ("only", "just", "still") and "s" in verb and not nouny:
        return "V"  # "the pulley only wants dressing"
    if "ing" in verb:
        return _ing(previous, before, after, pieces, at, lexicon)
    if "ed" in verb and "base" not in verb:
        return _ed(previous, before, pieces, at, lexicon)
    if previous in ("D", "P", "J", "L", "Q", "T") or (previous == "A" and nouny):
        if before in ("this", "that") and "s" in verb and not nouny:
            return "V"
        if "adjective" in classes and starts_noun(pieces, at + 1, lexicon) and not nouny:
            return "J"
        return "N"
    if before in SUBJECTS and previous in "OUQW":
        return "V"
    if previous in "XS" and "ed" in verb:
        return "E"
    if previous == "I" and nouny:
        return "N"
    if previous == "N" and at and _does(low, after, pieces, at, lexicon):
        return "V"
    if "s" in verb:
        return _s_form(nouny, previous, after, pieces, at, lexicon)
    if previous in "NO" and low in _SENSED and _is_judgement(after, lexicon):
        return "V"
    if previous in "NO" and low in _GAUGED and at + 1 < len(pieces) and pieces[at + 1].kind in ("amount", "number"):
        return "V"
    if previous == "N" and after in _OBJECT_STARTS and singular(before) != before:
        return "V"  # "two bolts hold the guard", "the lips face the tail"
    if previous == "N":
        return "N" if nouny or _is_name_of_more(pieces, at, lexicon) else "V"
    if "adjective" in classes or "position" in classes:
        return "J"
    if previous in "ZCHRW" or not at:
        return _opening(nouny, after, pieces, at, lexicon)
    return "N" if nouny else "V" if previous in "OX" else "B"


_SAYS_OF = frozenset("is 's was has had isn't wasn't hasn't isnae wasnae needs wants looks feels seems".split())


def _is_spoken_of(pieces: Sequence[Piece], at: int, previous: str, lexicon: Lexicon) -> bool:
    """ "Click has had it", "sleeve it runs in is smooth": before its verb a bare word is a name, and no order."""
    if at + 1 >= len(pieces) or (previous not in "ZCHWDPJLQNU" and at):
        return False
    after = pieces[at + 1].low
    if after in _SAYS_OF:
        return True
    following = pieces[at + 2].low if at + 2 < len(pieces) else ""
    return after in ("it", "he", "she") and lexicon.word_classes(following) >= {"s"} and previous in "ZCHWD"


def _is_name_of_more(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """ "Pile table lift chain": after a noun in the singular a bare verb cannot stand, but the next word of a name can."""
    if at + 1 >= len(pieces) or pieces[at + 1].kind != "word" or singular(pieces[at - 1].low) != pieces[at - 1].low:
        return False
    return pieces[at + 1].low in lexicon.heads and pieces[at - 1].low not in _PEOPLE


_PEOPLE = frozenset("people folk youse police lads somebody everybody".split())


def is_fault_verb(low: str, lexicon: Lexicon) -> bool:
    """ "Weeps", "seal", "flop": a verb that says what a part is like."""
    return any(c.form == "verb" for c in lexicon.conditions.get((low,), ()))


_FLUIDS = frozenset(
    "oil fuel water air gas petrol diesel coolant fluid grease steam heat stress rust wear paint hairline dust".split()
)


def _does(low: str, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """ "Buffer leaks oil", "valves seal": a verb that agrees in number with the noun before it."""
    before = pieces[at - 1].low
    if not is_fault_verb(low, lexicon) or before in _FLUIDS or after in _SAYS_OF or after in ("are", "were", "have"):
        return False
    if (low,) in lexicon.components and (after in lexicon.heads or low in _PARTS_ONLY):
        return False
    is_many = singular(before) != before
    return is_many != (singular(low) != low) and (not is_many or not _is_thing(pieces, at + 1, lexicon))


def _is_many(low: str, lexicon: Lexicon) -> bool:
    """ "Has got chewed teeth": a plural right behind is what it has, not what it did."""
    one = singular(low)
    return (one != low and one in lexicon.heads and "s" not in lexicon.word_classes(low) - {"noun"}) or low == "teeth"


def _is_thing(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    return at < len(pieces) and pieces[at].kind == "word" and pieces[at].low in lexicon.heads


def _ing(previous: str, before: str, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if previous in "XSVRO" and before not in ("there",):
        return "G"
    if previous in "DPJ":
        return "J" if starts_noun(pieces, at + 1, lexicon) and after not in ("one", "a", "the") else "N"
    return "G"


def _ed(previous: str, before: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if before in ("got", "has", "have", "had") and at + 1 < len(pieces) and _is_many(pieces[at + 1].low, lexicon):
        return "J"
    if previous in "XS" or before in BE_HAVE:
        return "E"
    if previous == "Q" and at + 1 < len(pieces) and pieces[at + 1].low in ("clean", "right", "off", "out", "through"):
        return "E"
    if previous in "DPJLQ" and starts_noun(pieces, at + 1, lexicon):
        return "J"
    if previous in "RN" and at and _has_be(pieces, at):
        return "E"
    if previous in "O":
        return "V"
    return "V" if previous == "N" and not _has_be(pieces, at) else "E"


def _has_be(pieces: Sequence[Piece], at: int) -> bool:
    return any(p.low in BE_HAVE for p in pieces[max(0, at - 4) : at])


def _s_form(nouny: bool, previous: str, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    if nouny:
        follows_verb = after in BE_HAVE or after in ("need", "want", "look", "feel", "went", "came", "go")
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


def _is_judgement(low: str, lexicon: Lexicon) -> bool:
    """ "The rest look fine": fine is a judgement, and look its verb."""
    if low in ("like", "as", "ok", "okay", "alright"):
        return True
    classes = lexicon.word_classes(low) if low else frozenset[str]()
    return bool(classes & {"adjective", "adverb", "ed"}) and not lexicon.is_nouny(low)


def _begins_subject(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """ "Lift arm spring has gone": a word before nouns that "is" or "has" follows at once is part of their name."""
    for piece in pieces[at + 1 : at + 5]:
        if piece.low in _IS_HAS:
            return piece is not pieces[at + 1]
        if not lexicon.is_nouny(piece.low):
            return False
    return False


def _opening(nouny: bool, after: str, pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> str:
    """Tell an order ("check the valve") from a name ("drain plug's off") at the start of a stretch."""
    after_classes = lexicon.word_classes(after) if after else frozenset[str]()
    if (pieces[at].low, after) in lexicon.quantities or (pieces[at].low, after) in lexicon.fasteners:
        return "N"  # "run out on the face", "shear bolt in the hub"
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
    if pieces[at].low in _TAKES_STATEMENT:
        return "B"
    if _begins_subject(pieces, at, lexicon):
        return "N"
    if not nouny:
        following = pieces[at + 2].low if at + 2 < len(pieces) else ""
        if "noun" in after_classes or lexicon.is_nouny(after):
            says = "s" in lexicon.word_classes(following) and is_fault_verb(following, lexicon)
            return "N" if says or following in BE_HAVE or following in ("off", "out") else "B"
        return "B"
    return "N"
