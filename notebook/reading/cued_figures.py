"""Bare numbers that a list, or words beside them, make sizes.

In: the pieces of a remark, the amounts already found, and the bare numbers. Adds to the amounts found.
Never takes a number for a size by itself.

Examples: "30, 50, then 70 lbf·ft" three sizes; "limit's 6", "three allowed", "mics 20", "now it's eight".
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notebook.reading.amounts import Amount
from notebook.reading.no_sizes import PLACES, word_at
from notebook.reading.speaking import cue_first, cue_last
from notebook.reading.stretches import STOPS, TIGHT_LINKS, is_linked, words_before, words_behind
from notebook.reading.tidy import Piece

RUNNING = frozenset({"mi", "km", "h", "cycles"})
"""Units of distance and running: such a figure is a mileage."""


def add_listed(pieces: Sequence[Piece], lows: Sequence[str], found: dict[int, Amount], bare: Sequence[int]) -> None:
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


def add_cued(
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
