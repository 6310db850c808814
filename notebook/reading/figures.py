"""Which numbers of a remark are sizes, and which words belong to each.

In: the pieces of a remark. Out: `Figure`s in order, each with its stretch of words and the unit it takes.
Never takes a count, a name, a year, a price or the size of a spanner for a size; never says what was measured.

Examples: "backlash is 22 thou and you'd want 10 to 15" two figures in thou; "left 12, right nine" two; "4.2, four
point four and 3.1 ohms" three in ohms; "the six in tray 4 took 13 mil heads" none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from notebook.reading.amounts import Amount
from notebook.reading.lexicon import Lexicon
from notebook.reading.no_sizes import PLACES, counts_things, is_money, is_name, is_place, is_time, is_tool_size, word_at
from notebook.reading.speaking import cue_first, cue_last
from notebook.reading.stretches import STOPS, TIGHT_LINKS, aside_behind, is_linked, words_before, words_behind
from notebook.reading.tidy import Piece

RUNNING = frozenset({"mi", "km", "h", "cycles"})
"""Units of distance and running: such a figure is a mileage."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number said as a size: its piece, its amount with the unit it takes, and the words of its own stretch."""

    piece: int
    amount: Amount
    before: tuple[str, ...]
    after: tuple[str, ...]
    aside: tuple[str, ...] = ()
    """What is said of it behind a comma: "12, nominal"."""
    runs_into: bool = False
    """The words behind it lead to the next figure and are more likely that one's: "8 thou | max 5"."""
    is_unit_said: bool = False
    follows: int | None = None
    """Piece of the figure before it in a list: "4.2, | 4.4 and 3.1"; role and quantity are shared."""

    @property
    def is_running(self) -> bool:
        return self.amount.unit in RUNNING

    @property
    def biggest(self) -> Fraction:
        value = self.amount.value if self.amount.value is not None else self.amount.high
        return value if value is not None else Fraction(0)


def find_figures(pieces: Sequence[Piece], lexicon: Lexicon, *, is_going_on: bool = False) -> list[Figure]:
    """Give the figures of a remark in order; `is_going_on`: the remark puts right or goes on with a size just said."""
    lows = [p.low for p in pieces]
    found = {at: a for at in range(len(pieces)) if (a := _sure_amount(pieces, at, lows, lexicon)) is not None}
    bare = [at for at in range(len(pieces)) if at not in found and may_be_figure(pieces, at, lows, lexicon)]
    if not found and not bare:
        return []
    _add_listed(pieces, lows, found, bare)
    _add_cued(pieces, lows, found, bare, is_going_on=is_going_on)
    _add_listed(pieces, lows, found, bare)
    order = [at for at in sorted(found) if not _is_taken_back(lows, at, max(found))]
    return [
        _figure(lows, found[at], at, order[n - 1] if n else None, order[n + 1] if n + 1 < len(order) else None)
        for n, at in enumerate(order)
    ]


def _is_bare(piece: Piece) -> bool:
    return piece.kind == "number" or (piece.kind == "amount" and piece.amount is not None and piece.amount.unit is None)


_NOT_DECIMAL = frozenset(
    "times years o'clock quid bucks dollars euro euros grade ply start people minutes seconds weeks".split()
)


def _sure_amount(pieces: Sequence[Piece], at: int, lows: Sequence[str], lexicon: Lexicon) -> Amount | None:
    """Give an amount with its unit, a range or a decimal, unless it names a tool, a fastener or a price."""
    piece = pieces[at]
    amount = piece.amount if piece.kind == "amount" else None
    if amount is None and (piece.kind != "number" or piece.value is None or piece.value.denominator == 1):
        return None
    if is_name(lows, at) or is_money(lows, at) or is_tool_size(pieces, at, lexicon) or word_at(lows, at - 1) == "not":
        return None
    if amount is None:
        is_loose = piece.low in ("half", "quarter", "eighth", "sixteenth") or word_at(lows, at + 1) in _NOT_DECIMAL
        if is_loose or is_time(pieces, at) or _is_turn(lows, at):
            return None
        return Amount(value=piece.value, start=at, end=at + 1, shape="decimal")
    if _names_machine(pieces, at, amount, lexicon):
        return None
    if amount.unit is None and (counts_things(pieces, at, lexicon) or is_time(pieces, at)):
        return None
    return amount


_RATED = frozenset({"ton", "t", "L", "hp", "kW", "V", "cc", "kg"})


def _names_machine(pieces: Sequence[Piece], at: int, amount: Amount, lexicon: Lexicon) -> bool:
    """ "Off the 36 ton machine", "a 2 ton jack": what it is called by, not a size that was taken."""
    if (
        amount.unit not in _RATED
        or at == 0
        or at + 1 >= len(pieces)
        or pieces[at - 1].low not in ("the", "a", "this", "that")
    ):
        return False
    after = pieces[at + 1]
    classes = lexicon.word_classes(after.low)
    return after.kind == "word" and bool(classes & {"noun", "base"}) and not classes & _SMALL_WORDS


_SMALL_WORDS = frozenset({"auxiliary", "preposition", "conjunction", "adverb", "pronoun", "determiner", "subordinator"})


def _is_turn(lows: Sequence[str], at: int) -> bool:
    """ "Back it off 1/8 of a turn", "a quarter turn", "1 1/2 turns out"."""
    following = [w for w in lows[at + 1 : at + 4] if w not in ("of", "a")]
    return following[:1] in (["turn"], ["turns"], ["rev"], ["moon"], ["way"])


def may_be_figure(pieces: Sequence[Piece], at: int, lows: Sequence[str], lexicon: Lexicon) -> bool:
    """Tell a bare number that could be a size from a count, a name, a time and a price."""
    piece = pieces[at]
    if not _is_bare(piece) or is_name(lows, at) or is_time(pieces, at) or is_money(lows, at):
        return False
    if is_place(pieces, lows, at) or word_at(lows, at - 1) == "not" or piece.low in ("half", "quarter", "eighth"):
        return False
    if piece.low == "one" and not _is_one_of_size(lows, at):
        return False
    return not is_tool_size(pieces, at, lexicon) and not counts_things(pieces, at, lexicon)


_BEFORE_ONE = frozenset(
    "is 's at than least most max maximum min minimum limit limits to about around nearly under over want wants".split()
)


def _is_one_of_size(lows: Sequence[str], at: int) -> bool:
    """Tell "limit's | one" from "the old | one" and "this | one's cracked"."""
    return word_at(lows, at - 1) in _BEFORE_ONE and word_at(lows, at + 1) in ("", ",", ".", "and", "but", "so")


def _is_taken_back(lows: Sequence[str], at: int, last: int) -> bool:
    """ "Spring's 41, sorry, wrong side of the vernier, 43.5", "five hundredths were a guess": no size after all."""
    if last > at and word_at(lows, at + 1) in (",", "-") and lows[at + 2 : at + 3] == ["sorry"]:
        return True
    words = [w for w in lows[at + 1 : at + 5] if w not in ("a", "all", "just", "only", "bit")]
    return words[:1] in (["was"], ["were"], ["is"], ["'s"]) and words[1:2] in (
        ["guess"], ["wrong"], ["rubbish"], ["misread"], ["nonsense"], ["lie"], ["mistake"],
    )  # fmt: skip


# --- figures that others or words beside them make plain ----------------------------------------------------


def _add_listed(pieces: Sequence[Piece], lows: Sequence[str], found: dict[int, Amount], bare: Sequence[int]) -> None:
    """Add bare numbers in a list with a figure, on both sides of it: "30, 50, then 70 lbf·ft", "left 12, right 9"."""
    for at in bare:
        last = max((f for f in found if f < at), default=None)
        if at not in found and last is not None and found[last].unit not in RUNNING and is_linked(lows, last, at):
            if _is_like(pieces[at], found[last]):
                found[at] = _amount_of(pieces[at], at)
    for at in reversed(bare):
        following = min((f for f in found if f > at), default=None)
        if at not in found and following is not None and found[following].unit not in RUNNING and following - at > 1:
            if is_linked(lows, at, following, TIGHT_LINKS) and _is_like(pieces[at], found[following]):
                found[at] = _amount_of(pieces[at], at)


def _is_like(piece: Piece, amount: Amount) -> bool:
    value = piece.value if piece.value is not None else piece.amount.high if piece.amount is not None else None
    return value is not None and is_like(value, amount)


def is_like(value: Fraction, amount: Amount) -> bool:
    """Tell whether a bare number is of the same order as a figure beside it, or the same digits without their point."""
    other = amount.value if amount.value is not None else amount.high
    if not value or not other:
        return True
    if amount.dimension == "resistance":
        return True
    ratio = value / other
    if Fraction(1, 30) <= ratio <= 30:
        return True
    return value >= 1000 and any(Fraction(4, 5) <= ratio / 10**n <= Fraction(5, 4) for n in (2, 3, 4))


_MEASURING = frozenset(
    (
        "mics mic miked mikes micced measures measured measure measuring reads read reading weighs weighed weigh shows showing "
        "showed stands gives gave gets getting says saying makes making made pulls pulling draws drawing"
    ).split()
)
_COPULAS = frozenset("is 's are was were 're at to nearer got call till until now only".split())
_ABOUT = frozenset("about around roughly nearly near nearer maybe say only just almost approx well".split())


def _add_cued(
    pieces: Sequence[Piece], lows: Sequence[str], found: dict[int, Amount], bare: Sequence[int], *, is_going_on: bool
) -> None:
    """Add bare numbers that a word beside them makes a size: "limit's 6", "three allowed", "now it's eight", "mics 20"."""
    for at in bare:
        if at in found:
            continue
        before, after = words_before(lows, at, None), words_behind(lows, at, None)
        sized = [f for f, a in found.items() if a.unit is not None and a.unit not in RUNNING and a.unit != "%"]
        is_like_one = any(_is_like(pieces[at], found[f]) for f in sized)
        if (
            _is_called_size(before, after)
            or ((is_like_one or is_going_on) and _is_said_to_be(pieces, lows, at, before))
            or (is_like_one and min(sized) < at and _is_next_size(lows, at))
            or (is_like_one and _is_labelled(pieces, lows, at, [found[f] for f in sized]))
        ):
            found[at] = _amount_of(pieces[at], at)


_SIZE_WORDS = frozenset("thick wide deep tall across proud".split())


def _is_called_size(before: Sequence[str], after: Sequence[str]) -> bool:
    """Tell a size that is called one: "limit's | 6", "three | allowed", "mics | 20", "a | 17 wide", "gap's | 0"."""
    if cue_last("role", before[-5:]) or cue_first("role", after[:4], within=2):
        return True
    if any(w in _MEASURING for w in before[-3:]) or (after[:1] and after[0] in _SIZE_WORDS):
        return True
    plain = [w for w in before if w not in _ABOUT]
    return bool(plain[-1:]) and plain[-1] in _BE and bool(plain[-2:-1]) and plain[-2] in _SURE_QUANTITIES


_BE = frozenset({"is", "'s", "was", "are", "were", "at", "of"})
_SURE_QUANTITIES = frozenset(
    (
        "compression compressions pressure clearance gap gaps backlash lash endfloat runout diameter thickness length width depth "
        "height voltage resistance temperature preload torque protrusion timing tickover idle od id"
    ).split()
)


def _is_said_to_be(pieces: Sequence[Piece], lows: Sequence[str], at: int, before: Sequence[str]) -> bool:
    """ "This one's | 159", "ambient's about | 30", "take two off, so | 11", "wait, | 16 not 60"."""
    plain = [w for w in before if w not in _ABOUT]
    if plain[-1:] and plain[-1] in _COPULAS:
        return True
    if word_at(lows, at - 1) == "so" and word_at(lows, at + 1) in ("", ",", ".", "and"):
        return True
    return word_at(lows, at + 1) == "not" and at + 2 < len(pieces) and pieces[at + 2].kind in ("number", "amount")


def _is_next_size(lows: Sequence[str], at: int) -> bool:
    """ "18 on the X and | 40 on the Y", "number three | 210", "a six thou feeler drops in, the | seven drags"."""
    return (
        _is_at_another_place(lows, at)
        or (word_at(lows, at - 2) in ("number", "cylinder") and word_at(lows, at - 1).isdigit())
        or (word_at(lows, at - 1) in ("the", "a") and any(w in ("feeler", "feelers", "blade") for w in lows))
    )


def _is_labelled(pieces: Sequence[Piece], lows: Sequence[str], at: int, sizes: Sequence[Amount]) -> bool:
    """ "Left spring | 392, right | 388, ... limit's 385 mil": a bare number behind its name, near to a size that is said."""
    if word_at(lows, at + 1) not in ("", ",", ".", "and", "but") or at == 0 or pieces[at - 1].kind != "word":
        return False
    value = pieces[at].value
    if value is None or word_at(lows, at - 1) in (
        "and",
        "or",
        "than",
        "of",
        "a",
        "the",
        "with",
        "for",
        "other",
        "just",
        "only",
    ):
        return False
    return any(s.value and Fraction(1, 2) <= value / s.value <= 2 and value >= 2 for s in sizes)


_PLACE_LEADS = frozenset(
    "at on in from above below for where all everywhere either further over under cold hot when cranking up down out".split()
)
_NO_PLACE = frozenset("is are was were has have had need needs want wants got went came look looks".split())


def _is_at_another_place(lows: Sequence[str], at: int) -> bool:
    """Tell "368 thou where it runs and | 372 above", "only | 240 from the right" from "and two on the left are cracked"."""
    if word_at(lows, at - 1) not in ("and", ",", "only", "just", "about", "nearly", "then", "barely", "or", "against"):
        return False
    if word_at(lows, at + 1) not in _PLACE_LEADS and word_at(lows, at + 1) not in PLACES:
        return False
    for low in lows[at + 1 : at + 7]:
        if low in STOPS or low in (",", "and", "but"):
            break
        if low in _NO_PLACE:
            return False
    return True


def _amount_of(piece: Piece, at: int) -> Amount:
    if piece.amount is not None:
        return piece.amount
    return Amount(value=piece.value, start=at, end=at + 1)


# --- the words of each --------------------------------------------------------------------------------------


def _figure(lows: Sequence[str], amount: Amount, at: int, last: int | None, following: int | None) -> Figure:
    after = words_behind(lows, at, following)
    is_listed = last is not None and is_linked(lows, last, at) and _shares_label(lows, last, at)
    return Figure(
        piece=at, amount=amount, before=words_before(lows, at, last), after=after,
        aside=aside_behind(lows, at, following), runs_into=following is not None and at + 1 + len(after) == following,
        follows=last if is_listed else None, is_unit_said=amount.unit is not None,
    )  # fmt: skip


def _shares_label(lows: Sequence[str], last: int, at: int) -> bool:
    """Both of "inlet 0.25, exhaust 0.40" or neither of "40, 42" name their place; "book says 8, left 12" does not share."""
    named = any(w in PLACES for w in lows[last + 1 : at])
    return not named or any(w in PLACES for w in lows[max(0, last - 4) : last])


def is_reading_condition(figure: Figure, figures: Sequence[Figure]) -> bool:
    """Tell how a size was read from the size: "12 psi | at 90 degrees", "six hundredths | over 1.1 metres"."""
    lead = figure.before[-1] if figure.before else ""
    others = [f for f in figures if f.piece != figure.piece and not f.is_running]
    if figure.amount.dimension in ("speed", "temperature", "angle", "road speed"):
        near = [f for f in others if abs(figure.piece - f.piece) <= 8]
        return lead in ("at", "@") and any(f.amount.dimension != figure.amount.dimension for f in near)
    if figure.amount.dimension == "length" and lead in ("over", "per", "in"):
        earlier = [f for f in others if 0 < figure.piece - f.piece <= 5]
        return any(f.amount.dimension == "length" for f in earlier)
    return False


def is_where(figure: Figure) -> bool:
    """ "About 90 mil up from the bottom yoke", "a foot up": where on the part something is, not a size of it."""
    return figure.after[:2] in (("up", "from"), ("down", "from"), ("in", "from"), ("out", "from"), ("from", "the"), ("back", "from"), ("away", "from")) or (
        figure.amount.unit in ("ft", "m") and figure.after[:1] != ("long",) and figure.after[:1] not in ((), ("and",))
    )  # fmt: skip
