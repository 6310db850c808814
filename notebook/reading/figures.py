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
from notebook.reading.cued_figures import RUNNING, add_cued, add_listed
from notebook.reading.lexicon import Lexicon
from notebook.reading.no_sizes import PLACES, counts_things, is_money, is_name, is_place, is_time, is_tool_size, word_at
from notebook.reading.stretches import aside_behind, is_linked, words_before, words_behind
from notebook.reading.tidy import Piece


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
    add_listed(pieces, lows, found, bare)
    add_cued(pieces, lows, found, bare, is_going_on=is_going_on)
    add_listed(pieces, lows, found, bare)
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
