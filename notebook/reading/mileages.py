"""Mileages: distance and running hours, of the machine or of a part in it.

In: a number in its clause, and what was spoken of before. Out: a mileage, exact, or None.
Never takes the hours of a job ("took three hours") for running, nor a distance on the bench.

Examples: "clock reads 61,480 miles" reading; "belt went on at sixty thousand" fitted; "so it's done twenty eight" run,
28,000; "they're only good for forty" expected, 40,000.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from decimal import Decimal
from fractions import Fraction

from notebook.entries import Mileage
from notebook.reading.bearers import subject_of
from notebook.reading.clause import USUAL, Clause
from notebook.reading.figures import Figure, may_be_figure
from notebook.reading.focus import Bearer
from notebook.reading.measured_parts import is_speaker
from notebook.reading.speaking import cue_first, cue_last, cues_in
from notebook.reading.state import State
from notebook.reading.stretches import words_before, words_behind

READING, FITTED, RUN, EXPECTED = "reading", "fitted", "run", "expected"
NO_SIZE = 3000
"""A bare number from here up, of what was fitted "at" it, is no size: it is on the clock."""
_CLOCKS = frozenset(
    {"clock", "speedo", "odometer", "odo", "meter", "hourmeter", "tacho", "counter", "trip", "hours", "mileage"}
)
_NO_CLOCK = frozenset({"dial", "gauge", "pressure", "megger", "amps", "ohms", "volts", "insulation", "indicator"})


def is_run(clause: Clause, piece: int, figure: Figure | None, state: State) -> bool:
    """Tell a number of miles, kilometres or hours, said or understood, from a size."""
    if figure is not None and figure.is_unit_said:
        return figure.is_running
    pieces, lows = state.tidied.pieces, state.lows
    value = pieces[piece].value or (figure.biggest if figure is not None else None)
    if value is None or not may_be_figure(pieces, piece, lows, state.lexicon):
        return False
    before, after = _stretch(piece, state)
    words = (*before, *after)
    has_clock = bool(set(words) & _CLOCKS) and not set(words) & _NO_CLOCK
    if state.units and any(d != "running" for at, _, d in state.units if clause.start <= at < clause.end):
        return False
    if has_clock and value >= 100:
        return True
    cue = cue_last("running", before, without=None) or cue_first("running", after, within=3)
    if cue is None:
        return False
    if not _is_known_to_run(state):  # "fitted at 34,000", after a clock was read earlier in the job or not
        least = 1000 if state.memory.running_unit is not None else NO_SIZE
        return cue.cue.says == FITTED and value >= least
    return value >= 100 or state.thousands or value.denominator > 1


def _is_known_to_run(state: State) -> bool:
    """Distance or hours were spoken of in this remark or before it."""
    return any(d == "running" for _, _, d in state.units) or any(isinstance(e, Mileage) for e in state.amounts)


def _stretch(piece: int, state: State) -> tuple[tuple[str, ...], tuple[str, ...]]:
    lows, numbers = state.lows, state.numbers
    first, behind = bisect_left(numbers, piece), bisect_right(numbers, piece)
    last = numbers[first - 1] if first else None
    following = numbers[behind] if behind < len(numbers) else None
    return words_before(lows, piece, last), words_behind(lows, piece, following)


def mileage_of(clause: Clause, piece: int, figure: Figure | None, state: State) -> Mileage | None:
    """Give the mileage a number makes, or None where nothing says what it is of."""
    said = state.tidied.pieces[piece]
    amount = figure.amount if figure is not None else said.amount
    unit_said = said.amount.unit if said.amount is not None else None
    role, cue = _role(clause, piece, state)
    value = amount.value if amount is not None else said.value
    low, high = (amount.low, amount.high) if amount is not None else (None, None)
    biggest = value if value is not None else high
    if role is None or biggest is None or _is_of_the_job(unit_said, biggest, role, state):
        return None
    unit = unit_said or _unit_near(piece, state) or state.memory.running_unit
    if unit is None and any(p.low in ("hour", "hours", "hourmeter") for p in state.tidied.pieces[:piece]):
        unit = "h"
    if unit_said is None and role != READING:
        value, low, high = (_as_thousands(v, state) for v in (value, low, high))
        biggest = value if value is not None else high
    if biggest is not None and biggest >= 1000:
        state.thousands = True
    if unit is not None:
        state.memory.running_unit = unit
    part = _part(clause, state) if role != READING else None
    mileage = Mileage(
        value=_exact(value), low=_exact(low), high=_exact(high), unit=unit, role=role, component=part.component if part else None,
        said=state.words(piece, piece + 1), span=state.span(piece, piece + 1), cue=cue, rule=f"mileage.{role}",
        from_=part.from_ if part else None,
    )  # fmt: skip
    state.amounts.append(mileage)
    return mileage


def _exact(value: Fraction | None) -> Decimal | None:
    return None if value is None else Decimal(value.numerator) / Decimal(value.denominator)


def _is_of_the_job(unit: str | None, value: Fraction, role: str, state: State) -> bool:
    """ "Took three hours to get that off", "an hour in the oven": time at the bench, not on the machine."""
    return unit == "h" and value < 24 and role in (RUN, EXPECTED) and not state.thousands


def _unit_near(piece: int, state: State) -> str | None:
    running = [(at, unit) for at, unit, dimension in state.units if dimension == "running"]
    earlier = [unit for at, unit in running if at < piece]
    later = [unit for at, unit in running if at > piece]
    return earlier[-1] if earlier else later[0] if later else None


def _as_thousands(value: Fraction | None, state: State) -> Fraction | None:
    """ "Nine and a half" after tens of thousands of miles are nine and a half thousand; 660 after 1860 hours are not."""
    known = [e.value or e.high for e in state.amounts if isinstance(e, Mileage)]
    largest = max((k for k in known if k is not None), default=None)
    if value is None or largest is None or value >= 1000 or largest < 1000:
        return value
    return value * 1000 if value * 1000 <= Fraction(largest) * 5 and value * 50 < Fraction(largest) else value


def _role(clause: Clause, piece: int, state: State) -> tuple[str | None, str | None]:
    before, after = _stretch(piece, state)
    if clause.mood == USUAL:
        return EXPECTED, clause.cue
    if clock := next((w for w in before if w in _CLOCKS), None):
        if not cues_in("running", before[before.index(clock) + 1 :], "before"):
            return READING, clock
    last = cue_last("running", before, without=None)
    behind = cue_first("running", after, within=3)
    if behind is not None and (last is None or last.cue.says in (RUN, READING)):
        return behind.cue.says, behind.text
    if last is not None and last.cue.says == RUN and last.text in _WEAK_RUN and not _has_fitted(state):
        return (behind.cue.says, behind.text) if behind else (None, None)
    if last is not None:
        return last.cue.says, last.text
    return (behind.cue.says, behind.text) if behind is not None else (None, None)


_WEAK_RUN = frozenset(
    {"so", "that's", "so that's", "only", "call it", "so call it", "so it's", "makes it", "makes that"}
)
""" "So 660": what is left over when a reading and a fitting were said before."""


def _has_fitted(state: State) -> bool:
    return any(isinstance(e, Mileage) and e.role in (FITTED, READING) for e in state.amounts)


def _part(clause: Clause, state: State) -> Bearer | None:
    subject, subject_at = subject_of(clause, state.focus)
    if subject is None or subject_at < 0 or is_speaker(clause.chunks[subject_at]):
        return state.focus.bearer
    return subject
