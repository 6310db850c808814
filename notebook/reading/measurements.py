"""Measurements: any size or amount said, what it is of, and whether it is measured, a limit or to be set.

In: a clause, and what was spoken of before. Out: measurements and mileages, exact.
Never takes a count for an amount, nor the size of a spanner, nor the year; never guesses a part.

Examples: "plate measures 7.2, limit's 6.5", "end float four thou, shouldn't be over two", "left 12, right nine".
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from notebook.entries import Entry, Measurement, Mileage
from notebook.reading.clause import ELSEWHERE, HYPOTHETICAL, QUESTION, USUAL, Clause
from notebook.reading.figures import Figure, find_figures, is_reading_condition, is_where
from notebook.reading.focus import Bearer
from notebook.reading.measured_parts import part_of
from notebook.reading.measured_units import goes_on_from_before, in_unit, is_fresh, quantity_of, with_usual_unit
from notebook.reading.mileages import is_run, mileage_of
from notebook.reading.quantities import (
    fits,
    part_quantity,
    unit_quantity,
)
from notebook.reading.roles import MEASURED, REQUIRED, Role, role_of
from notebook.reading.shared_units import named_unit, share_units
from notebook.reading.state import State
from notebook.tables.units import to_si


def read_amounts(clause: Clause, state: State) -> list[Measurement | Mileage]:
    """Give every amount a clause states, as measurement or mileage."""
    if not any(p.kind in ("number", "amount") for p in state.tidied.pieces[clause.start : clause.end]):
        return []
    if clause.mood == QUESTION or (clause.mood == ELSEWHERE and not _is_going_back(clause)):
        return []
    pieces = state.tidied.pieces
    figures = _figures(state)
    by_piece = {f.piece: f for f in reversed(figures)}
    found: list[Measurement | Mileage] = []
    for at, chunk in enumerate(clause.chunks):
        for piece in range(chunk.start, chunk.end):
            figure = by_piece.get(piece)
            bare = pieces[piece].kind == "number"
            if (figure is not None or bare) and is_run(clause, piece, figure, state):
                if (mileage := mileage_of(clause, piece, figure, state)) is not None:
                    found.append(mileage)
                continue
            if figure is None or figure.is_running or is_reading_condition(figure, figures):
                continue
            if (measurement := _measurement(figure, at, clause, state)) is not None:
                found.append(measurement)
                state.amounts.append(measurement)
                state.quantity = measurement.quantity or state.quantity
    return _without_repeats(found, clause, state)


def _figures(state: State) -> list[Figure]:
    """Give the figures of the whole remark, found once and not for each of its clauses."""
    goes_on = goes_on_from_before(state)
    if state.figures is None or state.figures[0] != goes_on:
        lows = state.lows
        found = find_figures(state.tidied.pieces, state.lexicon, is_going_on=goes_on or named_unit(lows) is not None)
        state.figures = goes_on, share_units(found, lows, state.lexicon)
    return state.figures[1]


def _is_going_back(clause: Clause) -> bool:
    """ "Goes back in three stages, 30, 50, 70": no other job is meant."""
    return clause.cue in ("back in", "put back in") or clause.has("go back", "goes back", "going back")


def _measurement(figure: Figure, at: int, clause: Clause, state: State) -> Measurement | None:
    if clause.mood in (HYPOTHETICAL, USUAL) and role_of(figure, None, None)[0] == MEASURED:
        return None
    part = part_of(figure, at, clause, state)
    last = _entry_of(figure.follows, state)
    quantity = quantity_of(figure, part, last, state)
    figure = in_unit(figure, quantity, state)
    quantity = quantity if fits(quantity, figure.amount.dimension) else unit_quantity(figure.amount.unit)
    doubt = None
    if figure.amount.unit is None:
        figure, doubt = with_usual_unit(figure, quantity, part, state)
        if figure.amount.unit is None and not _is_surely_size(figure, quantity):
            return None
    role, cue = role_of(figure, quantity, _role_of_entry(last))
    if role == MEASURED and quantity is None and (is_where(figure) or _is_head(part, figure)):
        return None
    if quantity is None and part is not None:
        quantity = part_quantity(part.component, figure, figure.amount.unit)
    role, cue = role_of(figure, quantity, _role_of_entry(last), follows_required=_follows_required(quantity, state))
    return _entry(figure, part, quantity, role, cue, doubt, state)


def _entry(
    figure: Figure,
    part: Bearer | None,
    quantity: str | None,
    role: str,
    cue: str | None,
    doubt: str | None,
    state: State,
) -> Measurement:
    amount = figure.amount
    scale = _point_scale(figure, state)
    value, low, high = (_exact(v / scale if v is not None else None) for v in (amount.value, amount.low, amount.high))
    si = to_si(value, amount.unit) if value is not None and amount.unit else None
    return Measurement(
        component=part.component if part else None, position=part.position if part else None, quantity=quantity,
        value=value, low=low, high=high, unit=amount.unit, si=si, said=state.words(figure.piece, figure.piece + 1),
        role=role, about=True if amount.is_about or _is_about(figure) else None,
        span=state.span(figure.piece, figure.piece + 1), cue=cue, rule=f"measurement.{role}", doubt=doubt,
        from_=part.from_ if part else None,
    )  # fmt: skip


def _exact(value: Fraction | None) -> Decimal | None:
    if value is None:
        return None
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return exact.normalize() if exact == exact.to_integral_value() and abs(exact) < 1 else exact


def _entry_of(piece: int | None, state: State) -> Measurement | None:
    """Give the measurement made of the figure before this one in its list."""
    if piece is None:
        return None
    span = state.span(piece, piece + 1)
    return next((e for e in reversed(state.amounts) if isinstance(e, Measurement) and e.span == span), None)


def _role_of_entry(entry: Entry | None) -> Role | None:
    return (entry.role, entry.cue) if isinstance(entry, Measurement) else None


def _point_scale(figure: Figure, state: State) -> int:
    """ "1.743 ... and one seven four nine": digits said without their point, beside a size that has one."""
    value = figure.amount.value
    if value is None or value.denominator > 1 or not 1000 <= value <= 99999:
        return 1
    last = next(
        (e.value for e in reversed(state.amounts) if isinstance(e, Measurement) and e.value is not None and e.unit == figure.amount.unit and e.value != int(e.value)),
        None,
    )  # fmt: skip
    if last is None or not Decimal("0.5") <= last < 100:
        return 1
    return int(10 ** (len(str(int(value))) - len(str(int(last)))))


_ABOUT = frozenset(
    "about roughly around approx approximately near nearly almost nigh say maybe ish call somewhere circa reckon roundabout barely hardly".split()
)


def _is_about(figure: Figure) -> bool:
    after = " ".join(figure.after[:3])
    return (
        any(w in _ABOUT for w in figure.before[-3:])
        or any(w in after for w in ("or so", "or thereabouts", "ish", "roughly", "near enough", "give or take"))
        or figure.after[:1] in (("about",), ("approx",))
    )


def _is_head(part: Bearer | None, figure: Figure) -> bool:
    """ "Axle nut's a 36 mil", "studs are 16 mil": the head or the thread of a fastener, which its own entry holds."""
    return part is not None and part.fastener is not None and figure.amount.unit in ("mm", "in", "cm")


def _is_surely_size(figure: Figure, quantity: str | None) -> bool:
    """A bare number is kept without a unit when it has a point or its quantity was named in so many words."""
    return (
        fits(quantity, "length") and quantity is not None and (figure.biggest.denominator > 1 or figure.amount.is_range)
    )


def _follows_required(quantity: str | None, state: State) -> bool:
    """ "Head nuts go to 45, then ninety degrees": what is said right after a torque to be set is to be set."""
    last: Entry | None = state.amounts[-1] if state.amounts else state.memory.measured
    if not isinstance(last, Measurement) or last.role != REQUIRED or quantity not in ("angle", "torque"):
        return False
    if not state.amounts and not is_fresh(last, state):
        return False
    return last.quantity in ("torque", "angle", "preload")


def _without_repeats(found: list[Measurement | Mileage], clause: Clause, state: State) -> list[Measurement | Mileage]:
    """The same amount said again in another unit ("35 microns, call it a thou and a half") is one entry."""
    is_called = clause.has("call", "say", "that's")
    loose = Decimal("0.15") if is_called or clause.has("about") else Decimal("0.06")
    out: list[Measurement | Mileage] = []
    for entry in found:
        earlier = [e for e in state.amounts if isinstance(e, Measurement) and e.span < entry.span]
        if isinstance(entry, Measurement) and any(
            _same_amount(e, entry, loose) or (is_called and _same_again(e, entry)) for e in earlier
        ):
            state.amounts.remove(entry)
        else:
            out.append(entry)
    return out


def _same_amount(one: Measurement, other: Measurement, loose: Decimal) -> bool:
    if one.si is None or other.si is None or one.unit == other.unit or one.quantity != other.quantity:
        return False
    loose = loose if one.role == other.role else Decimal("0.01")
    return abs(one.si - other.si) <= abs(one.si) * loose


def _same_again(one: Measurement, other: Measurement) -> bool:
    """ "Three and a quarter plus six thou, call that 3.256"."""
    return (one.value, one.unit, one.quantity) == (other.value, other.unit, other.quantity) and one.value is not None
