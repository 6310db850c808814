"""Numbers that are no sizes: counts, names, years and times, prices, the sizes of spanners and fasteners.

In: the pieces of a remark and a place among them. Out: whether the number there is one of these.
Never says what a size is of.

Examples: "8 bolts", "two cracked", "number 4", "bag 7", "all three", "since 1962", "forty quid", "32 mm socket".
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notebook.reading.lexicon import Lexicon
from notebook.reading.speaking import word_set
from notebook.reading.tidy import Piece

PLACES = frozenset(
    (
        "left right inner outer front rear back top bottom upper lower inside outside near far inlet exhaust intake "
        "nearside offside inboard outboard middle centre center leading trailing drive first second third fourth "
        "fifth sixth other side end ends sides cylinder number hot cold"
    ).split()
)
"""Words that tell one of several parts from the others, or say where or how on it a size was taken."""


def word_at(lows: Sequence[str], at: int) -> str:
    """Give the plain word at a place, or nothing beyond the ends."""
    return lows[at] if 0 <= at < len(lows) else ""


def is_name(lows: Sequence[str], at: int) -> bool:
    """Tell a number that names ("number 4", "bag 7", "all three") from one that measures."""
    before, after = word_at(lows, at - 1), word_at(lows, at + 1)
    if before in word_set("no_amount", "name_before") and not (before in ("size", "position") and "." in lows[at]):
        return True
    if before == "all" and after in ("", ",", ".", "and", "of", "the"):
        return True
    return before in ("the", "another", "these", "those") and after in ("of", "one", "that")


def is_place(pieces: Sequence[Piece], lows: Sequence[str], at: int) -> bool:
    """Tell which one it was from a size: "1.8 mm on | one and | two", "and | four is 212", "tote marked | one"."""
    value = pieces[at].value
    if pieces[at].kind != "number" or value is None or value.denominator > 1 or not 0 < value <= 24:
        return False
    before, after = word_at(lows, at - 1), word_at(lows, at + 1)
    if before in ("on", "for") and at >= 2 and pieces[at - 2].kind in ("number", "amount"):
        return True
    if after in ("is", "was", "'s", "at") and at + 2 < len(pieces) and pieces[at + 2].kind in ("number", "amount"):
        return before in ("and", "&", ",", "", "but", "number", "then")
    if before in ("marked", "labelled", "numbered", "tagged", "stamped"):
        return not any(p.amount is not None for p in pieces)
    if before in ("and", "&"):
        return is_place(pieces, lows, at - 2) if at >= 2 else False
    return False


def is_time(pieces: Sequence[Piece], at: int) -> bool:
    """Tell "half seven", "in 2009", "five past eight", "since 1962" from sizes."""
    value = pieces[at].value
    if value is None:
        return False
    lows = [p.low for p in pieces[max(0, at - 2) : at + 4]]
    here = min(at, 2)
    before, after = word_at(lows, here - 1), word_at(lows, here + 1)
    if value == Fraction(1, 2) and at + 1 < len(pieces) and pieces[at + 1].kind == "number":
        return True
    if before in ("half", "1/2") or after in ("past", "o'clock", "am", "pm"):
        return True
    if before in ("past", "gone") and value <= 12 and value.denominator == 1:
        return True
    return (
        value.denominator == 1 and 1850 <= value <= 2060 and before in ("in", "since", "from", "late", "early", "circa")
    )


def is_money(lows: Sequence[str], at: int) -> bool:
    """Tell a price ("forty quid", "paid two hundred for it") from a size."""
    return any(w in word_set("no_amount", "money") for w in lows[max(0, at - 4) : at + 3])


_SIZED = frozenset(
    (
        "spanner spanners socket sockets wrench wrenches head heads headed key keys hex af bit torx spline allen drill "
        "bar pipe tube extension impact ratchet punch hammer puller drive jaw reamer tap die bolts"
    ).split()
)
_PLAIN = frozenset("and or on in of at to the is was with from but so for by over under both a it".split())


def is_tool_size(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell the size of a tool or a fastener, or a pipe to stand on: "32 mm socket", "8 mm bolt", "3/4 impact"."""
    amount = pieces[at].amount
    if amount is not None and amount.dimension not in ("length", None):
        return False
    if at + 1 >= len(pieces) or pieces[at + 1].kind != "word":
        return False
    words = [p.low for p in pieces[at + 1 : at + 6] if p.kind == "word"]
    if words[0] in ("of", "long") and words[1:2] and words[1] in ("pipe", "tube", "bar", "box", "scaffold"):
        return True
    is_with_unit = amount is not None and amount.unit is not None
    if words[0] in _SIZED or (words[1:2] and words[1] in _SIZED and words[0] not in _PLAIN and words[0] not in PLACES):
        return words[0] != "bar" or is_with_unit
    return (amount is None or amount.unit in ("mm", "in", "cm", None)) and _names_fastener(words, lexicon)


def _names_fastener(words: Sequence[str], lexicon: Lexicon) -> bool:
    for n in range(4, 0, -1):
        phrase = tuple(words[:n])
        if len(phrase) == n and (phrase in lexicon.fasteners or phrase in lexicon.tools):
            return phrase[0] not in ("washer", "washers", "feeler", "feelers", "clip")
    return False


_BEHIND_A_SIZE = PLACES | frozenset(
    (
        "each apiece standing cranking running idle idling loaded unloaded free exactly flat even square thick thin deep "
        "wide long high low tall short proud oval over under down up out off in across round after before measured "
        "roughly ish odd nominal standard new original max maximum min minimum limit tops allowed allowable permitted "
        "plenty enough now today there here clearance play slop slack endfloat backlash runout lift meat left "
        "total gross spec book wet dry final if when while which that give or everywhere either all both straight dead"
    ).split()
)
_THEN_A_THING = frozenset({"new", "standard", "original", "long", "short", "left", "right", "free", "other"})
""" "8 new bolts", "two left hand ones" are counted; "12 new", "9 left" may be sizes."""
_FUNCTION = frozenset(
    {"preposition", "conjunction", "auxiliary", "subordinator", "adverb", "negator", "pronoun", "question"}
)
_MANY = frozenset("are were have 've 're need want look haven't aren't weren't had has".split())
_SIZE_VERBS = frozenset(
    "says said reads reckons wants gives went came goes comes drags drops slides slips goes stamped marked".split()
)


def counts_things(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell a number that counts ("8 bolts", "3 cracked", "2 of them", "two have gone") from one that stands alone."""
    following = pieces[at + 1] if at + 1 < len(pieces) else None
    if following is None or following.kind in ("sign", "number", "amount"):
        return False
    if following.kind == "thread":
        return True
    low = following.low
    if low in word_set("no_amount", "count_before") or low in ("of", "mate", "mates") or low in _MANY:
        return True
    if low in _BEHIND_A_SIZE:
        return low in _THEN_A_THING and _is_thing(pieces, at + 2, lexicon)
    if low in ("'s", "'d", "'ll") or lexicon.word_classes(low) & _FUNCTION or low in _SIZE_VERBS:
        return False
    return True


def _is_thing(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    if at >= len(pieces) or pieces[at].kind != "word":
        return False
    return "noun" in lexicon.word_classes(pieces[at].low) or lexicon.is_nouny(pieces[at].low)
