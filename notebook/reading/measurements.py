"""Measurements and running: any size or amount said, what it is of, and whether it is measured, a limit or to be set.

In: a clause, and what was spoken of before. Out: measurements and mileages, exact.
Never takes a count for an amount, nor the size of a spanner, nor the year.

Examples: "plate measures 7.2, limit's 6.5", "end float four thou, shouldn't be over two",
"clock reads 61,480 miles", "belt went on at sixty thousand so it's done twenty eight".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from notebook.entries import Measurement, Mileage
from notebook.reading.amounts import Amount
from notebook.reading.bearers import Bearer, resolve, subject_of
from notebook.reading.chunks import Chunk
from notebook.reading.clauses import ELSEWHERE, HYPOTHETICAL, QUESTION, USUAL, Clause
from notebook.reading.state import State
from notebook.tables.units import to_si

_SIZED_BY_TOOL = frozenset(
    (
        "spanner spanners socket sockets wrench wrenches head heads key keys hex ring af across bit drive bar "
        "tube extension impact ratchet punch drill hammer pipe puller torx spline allen square open box deep "
        "combination"
    ).split()
)
_DEFAULT_QUANTITY = {
    "psi": "pressure", "bar": "pressure", "kPa": "pressure", "mbar": "pressure", "inHg": "pressure", "MPa": "pressure",
    "N·m": "torque", "lbf·ft": "torque", "lbf·in": "torque", "kgf·m": "torque", "tpi": "pitch", "V": "voltage", "mV": "voltage",
    "kV": "voltage", "ohm": "resistance", "kohm": "resistance", "Mohm": "resistance", "mohm": "resistance", "A": "current",
    "mA": "current", "kg": "mass", "g": "mass", "lb": "mass", "oz": "mass", "t": "mass", "ton": "mass", "cwt": "mass", "L": "volume",
    "mL": "volume", "pt": "volume", "qt": "volume", "gal": "volume", "rpm": "speed", "degC": "temperature", "degF": "temperature",
    "deg": "angle", "N": "force", "kN": "force", "Hz": "frequency", "kW": "power", "hp": "power", "uF": "capacitance",
}  # fmt: skip
_THICK = frozenset(
    "lining shim pad plate disc washer gasket friction liner shoe facing strip segment belt wall".split()
)
_ROUND = frozenset(
    (
        "journal crankpin pin shaft bore drum stem spindle bush trunnion piston rod cylinder stub kingpin "
        "mainshaft layshaft leadscrew screw"
    ).split()
)
_LIMIT = ("limit", "limits", "max", "maximum", "min", "minimum", "no more than", "not more than", "shouldn't be more", "shouldn't be over",
          "not over", "not to exceed", "only allows", "allows", "chuck at", "anything over", "anything under", "anything less", "anything above", "anything below",
          "scrap at", "at the most", "at most", "not less than", "no less than", "at least", "mustn't be", "must be under", "must be over", "wear limit",
          "discard at", "shouldn't be under", "shouldn't be less", "shouldn't go", "not go over", "condemn at", "reject at", "bin it at", "less than", "more than",
          "should be under", "should be over", "should be less", "allowed", "allowance", "wear to", "can go to", "tolerance", "down to",
          "the most", "replace at", "change at", "throw away at", "up to", "below", "above", "under", "over", "permits", "allow")  # fmt: skip
_STRONG_LIMIT = ("limit", "limits", "max", "maximum", "min", "minimum")
_NOMINAL = ("should be", "should read", "should measure", "book says", "book gives", "book wants", "book calls", "book figure", "manual says", "manual wants", "spec is", "spec's",
            "spec", "standard", "nominal", "supposed to be", "meant to be", "ought to be", "wants to be", "want to be", "should have", "should've been", "new is", "new was", "new were", "setting is", "setting", "new one is", "new ones are",
            "when new", "from new", "original", "factory", "sheet says", "data sheet", "call for", "calls for", "new they're", "should stand", "should come", "should sit", "should hold",
            "want", "wants", "you'd want", "ye'd want", "we want", "looking for", "you want", "should", "book", "handbook", "manual", "drawing", "plate says", "oughta be", "wanted", "sheet", "wanting",
            "after", "aiming for", "spec'd", "chart", "table says", "sticker", "chart says", "supposed", "book value", "book size", "a new one", "stamped", "reckons on", "new 'un", "is meant")  # fmt: skip
_REQUIRED = ("goes back to", "goes back at", "goes back on at", "go back at", "go back to", "go back in", "go back on", "torque to", "torqued to", "torque them to", "torque it to", "set to", "set at", "set it to", "set it at", "set them",
             "set the", "to be set", "tighten to", "tightened to", "tighten them to", "done up to", "do up to", "do them up to", "pull up to", "pull them to", "pulled up to", "pinch up to", "on rebuild", "on assembly", "on reassembly", "on the way back",
             "going back", "back together", "nip up to", "nip them to", "is plenty", "is enough", "no tighter", "refit at", "refit to", "goes in at", "go in at", "needs setting", "wants setting", "for the rebuild", "when it goes back",
             "shim to", "shim it to", "shimmed to", "aim for", "target", "i'll set", "to go back", "when it's built", "build it at", "build to", "final", "gets", "wind it to", "tension to", "preload to", "must be set")  # fmt: skip
_TOOK = (
    "took",
    "broke loose at",
    "broke at",
    "let go at",
    "cracked off at",
    "came off at",
    "was",
    "were",
    "measured",
    "reading",
    "read",
    "broke",
    "found",
    "undid at",
    "slipped at",
    "turns at",
    "turned at",
)
_ABOUT = frozenset(
    (
        "about roughly around approx approximately near nearly almost say maybe ish call somewhere circa "
        "reckon roundabout give"
    ).split()
)


def read_amounts(clause: Clause, state: State) -> list[Measurement | Mileage]:
    """Give every amount a clause states, as measurement or mileage."""
    if clause.mood in (QUESTION, ELSEWHERE) or clause.has(
        "quid", "dollars", "euro", "bucks", "pence", "pounds each", "each way"
    ):
        return []
    found: list[Measurement | Mileage] = []
    for at, chunk in enumerate(clause.chunks):
        amount = _amount_of(clause, at, chunk, state)
        if amount is None:
            continue
        if _is_running(amount, clause, state):
            mileage = _mileage(clause, at, amount, state)
            if mileage is not None:
                found.append(mileage)
            continue
        if (clause.mood in (HYPOTHETICAL, USUAL) and _cue(clause, (*_LIMIT, *_NOMINAL)) is None) or amount.unit in (
            "mi",
            "km",
            "h",
            "cycles",
        ):
            continue
        measurement = _measurement(clause, at, amount, state)
        if measurement is not None:
            found.append(measurement)
            state.quantity = measurement.quantity or state.quantity
    found = _without_repeats(found, clause, state)
    state.amounts.extend(found)
    return found


# --- which numbers are amounts ---------------------------------------------------------------------------


def _amount_of(clause: Clause, at: int, chunk: Chunk, state: State) -> Amount | None:
    chunks = clause.chunks
    if chunk.kind == "amount" and chunk.amount is not None:
        if _is_tool_size(chunks, at) or _is_condition_of_reading(chunks, at) or _is_head_size(clause, at, state):
            return None
        amount = chunk.amount
        if amount.unit is None:
            unit = _unit_for(clause, chunk, state)
            if unit is None and not _is_figure(clause, at, state):
                return None
            amount = replace(amount, unit=unit)
        return amount
    if chunk.kind == "number" or (
        chunk.is_part and chunk.pronoun == "number" and chunk.name is None and chunk.of is None
    ):
        value = chunk.value if chunk.value is not None else Fraction(chunk.count or 0)
        if chunk.low == "one" or not _is_figure(clause, at, state):
            return None
        value = _with_point(value, chunk, state)
        shape = "decimal" if value.denominator > 1 else "integer"
        return Amount(value=value, unit=_unit_for(clause, chunk, state), start=chunk.start, end=chunk.end, shape=shape)
    return None


def _with_point(value: Fraction, chunk: Chunk, state: State) -> Fraction:
    """ "1.743 ... and one seven four nine": digits said without their point, beside a size that has one."""
    last = next((e for e in reversed(state.amounts) if isinstance(e, Measurement) and e.value is not None), None)
    if (
        last is None
        or last.value is None
        or value.denominator > 1
        or not 1000 <= value <= 99999
        or last.value >= 100
        or last.value == int(last.value)
    ):
        return value
    places = len(str(int(value))) - len(str(int(last.value)))
    return value / Fraction(10**places)


def _is_head_size(clause: Clause, at: int, state: State) -> bool:
    """ "Axle nut's a 36 mil": a bare size said of a nut is its head."""
    amount = clause.chunks[at].amount
    if amount is None or amount.value is None or amount.unit not in ("mm", "in") or _has_quantity(clause):
        return False
    if any(
        c.low in ("long", "thick", "deep", "wide", "down", "diameter", "dia", "over", "under", "out", "proud")
        for c in clause.chunks
    ):
        return False
    subject = next((c for c in clause.chunks[:at] if c.is_part), None)
    return subject is not None and subject.fastener in _HEXAGONS and any(c.kind == "aux" for c in clause.chunks[:at])


_HEXAGONS = frozenset(
    {
        "nut",
        "bolt",
        "locknut",
        "hexagon bolt",
        "set screw",
        "lug nut",
        "castle nut",
        "flange nut",
        "flange bolt",
        "plug",
        "union nut",
        "self-locking nut",
    }
)


def _is_tool_size(chunks: Sequence[Chunk], at: int) -> bool:
    following = chunks[at + 1] if at + 1 < len(chunks) else None
    if following is None:
        return False
    if following.is_part and (following.tool or following.fastener) and following.start == chunks[at].end:
        return True
    words = following.low.split()
    return (
        bool(words)
        and (words[0] in _SIZED_BY_TOOL or words[-1] in _SIZED_BY_TOOL)
        and following.kind in ("part", "adjective", "determiner", "verb")
    )


def _is_condition_of_reading(chunks: Sequence[Chunk], at: int) -> bool:
    """ "At 2000 revs", "at 90 degrees" behind another amount is how it was measured."""
    amount = chunks[at].amount
    if amount is None or amount.dimension not in ("speed", "temperature", "angle"):
        return False
    return (
        at > 0 and chunks[at - 1].low in ("at", "@") and any(c.kind in ("amount", "number") for c in chunks[: at - 1])
    )


def _unit_for(clause: Clause, chunk: Chunk, state: State) -> str | None:
    running = _is_run_clause(clause, state)
    unit = state.unit_near(chunk.start, running=running)
    if unit is None and running:
        return "h" if clause.has("hour", "hours") else state.memory.running_unit
    if unit is None and isinstance(state.memory.measured, Measurement) and not state.units:
        before = state.memory.measured
        if _cue(clause, (*_LIMIT, *_NOMINAL, *_REQUIRED)) or state.is_correcting or _has_quantity(clause):
            return (
                before.unit
                if before.unit in ("thou", "in") or state.is_correcting or not _has_quantity(clause)
                else None
            )
    return unit


_FIGURE_BEFORE = frozenset(
    "mics mic miked measures measure measured reads read says said shows showing is are was were 's 're be gives wants allows stands"
    " weighs comes came works at to about over than under only now then and or for of got makes done run up down nearer around".split()
)


def _is_figure(clause: Clause, at: int, state: State) -> bool:
    """Tell a bare number that is a size ("limit's 6.5", "mics 19.97") from a count or a name."""
    chunks = clause.chunks
    chunk = chunks[at]
    previous = chunks[at - 1] if at else None
    following = chunks[at + 1] if at + 1 < len(chunks) else None
    value = chunk.value if chunk.value is not None else Fraction(chunk.count or 0)
    if previous is not None and (
        previous.container or previous.low in ("number", "no.", "another", "the", "all", "other")
    ):
        return False
    if following is not None and _counts(chunk, following):
        return False
    running = _is_run_clause(clause, state)
    if running:
        return (
            value >= 100
            or state.thousands
            or value.denominator > 1
            or (previous is not None and previous.low in ("at", "done", "for", "about"))
        )
    cue = _cue(clause, (*_LIMIT, *_NOMINAL, *_REQUIRED))
    known = state.unit_near(chunk.start, running=False) is not None or _has_quantity(clause) or state.is_correcting
    if value.denominator > 1 and value != Fraction(1, 2):
        return known or cue is not None or state.memory.measured is not None
    if len(chunks) == 1 or (
        previous is None and following is not None and following.low in ("at", "on", "and", "cold", "hot", "in", "then")
    ):
        return bool(state.amounts) or _amount_follows(chunk, state)
    if previous is None:
        return False
    if previous.is_part and previous.name is None and previous.position is not None and state.amounts:
        return True
    if previous.low in ("and", "then", "or") and (any(c.kind == "amount" for c in chunks) or state.amounts):
        return True
    if previous.low in _FIGURE_BEFORE or previous.kind == "aux":
        return cue is not None or _has_quantity(clause) or (known and (bool(state.amounts) or state.is_correcting))
    return False


def _amount_follows(chunk: Chunk, state: State) -> bool:
    """ "30, 50, then 70 foot pounds": a bare number just before an amount is one of its list."""
    return any(0 < at - chunk.end <= 5 for at, _, dimension in state.units if dimension != "running")


def _counts(chunk: Chunk, following: Chunk) -> bool:
    if following.low in ("of", "times", "off", "each", "through", "thick", "years", "o'clock"):
        return True
    if following.kind in ("condition", "thread"):
        return True
    return (
        following.is_part
        and following.name is not None
        and following.start == chunk.end
        and not following.quantity
        and following.low not in ("cold", "hot")
    )


def _has_quantity(clause: Clause) -> bool:
    return any(c.is_part and c.quantity for c in clause.chunks)


def _cue(clause: Clause, cues: Sequence[str]) -> str | None:
    text = f" {clause.low.replace(' ' + chr(39), chr(39))} "
    return next((cue for cue in cues if f" {cue} " in text or f" {cue}'" in text), None)


# --- measurements ----------------------------------------------------------------------------------------


def _measurement(clause: Clause, at: int, amount: Amount, state: State) -> Measurement | None:
    quantity = _quantity(clause, at, amount, state)
    subject = _component(clause, at, state)
    if quantity is None and subject is not None and amount.unit in ("mm", "in", "thou", "um", "cm"):
        quantity = _usual_quantity(subject, clause)
    role, cue = _role(clause, at, amount, quantity, state)
    chunk = clause.chunks[at]
    values = {name: _exact(getattr(amount, name)) for name in ("value", "low", "high")}
    si = to_si(values["value"], amount.unit) if values["value"] is not None and amount.unit else None
    return Measurement(
        component=subject.component if subject else None, position=subject.position if subject else None, quantity=quantity,
        value=values["value"], low=values["low"], high=values["high"], unit=amount.unit, si=si, said=state.words(chunk.start, chunk.end),
        role=role, about=True if _is_about(clause, at) else None, span=state.span(chunk.start, chunk.end), cue=cue, rule="measurement",
        from_=subject.from_ if subject else None,
    )  # fmt: skip


def _exact(value: Fraction | None) -> Decimal | None:
    if value is None:
        return None
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    return exact.normalize() if exact == exact.to_integral_value() and abs(exact) < 1 else exact


def _quantity(clause: Clause, at: int, amount: Amount, state: State) -> str | None:
    chunks = clause.chunks
    if amount.unit == "tpi":
        return "pitch"
    after = [
        c
        for c in chunks[at + 1 : at + 4]
        if (c.is_part and c.quantity) or c.low in ("thick", "deep", "wide", "long", "proud", "across")
    ]
    if after and after[0].start <= chunks[at].end + 2:
        return (
            after[0].quantity
            or {
                "thick": "thickness",
                "deep": "depth",
                "wide": "width",
                "long": "length",
                "proud": "protrusion",
                "across": "diameter",
            }[after[0].low]
        )
    for chunk in reversed(chunks[:at]):
        if chunk.is_part and chunk.quantity:
            return chunk.quantity
        if chunk.kind == "condition" and chunk.conditions[0].term in ("out of true", "play", "backlash", "end float"):
            return {"out of true": "run-out", "play": "play", "backlash": "backlash", "end float": "end float"}[
                chunk.conditions[0].term
            ]
    for chunk in chunks[at + 1 :]:
        if chunk.is_part and chunk.quantity:
            return chunk.quantity
        if chunk.kind == "condition" and chunk.conditions[0].term in ("play", "backlash", "out of true"):
            return {"out of true": "run-out", "play": "play", "backlash": "backlash"}[chunk.conditions[0].term]
    for cue, quantity in (
        ("mics", "diameter"),
        ("mic", "diameter"),
        ("miked", "diameter"),
        ("weighs", "mass"),
        ("stands", "length"),
    ):
        if any(c.low == cue for c in chunks[:at]):
            return quantity
    default = _DEFAULT_QUANTITY.get(amount.unit or "")
    if default == "mass" and state.quantity in ("pressure", "torque"):
        return state.quantity
    if default == "torque" and clause.has("turning", "rolling", "rotating", "drag"):
        return "preload"
    if default:
        return default
    if _names_nothing_new(clause):
        if state.quantity:
            return state.quantity
        if (
            isinstance(state.memory.measured, Measurement)
            and not state.amounts
            and (state.is_correcting or _cue(clause, (*_LIMIT, *_NOMINAL)))
        ):
            return state.memory.measured.quantity
    subject, _ = subject_of(clause, state.focus, state.lexicon)
    head = ((subject.component if subject else None) or "").split()[-1:] or [""]
    if head[0] in ("points", "point", "electrode"):
        return "gap"
    return None


def _names_nothing_new(clause: Clause) -> bool:
    return not any(c.is_part and c.name and not c.is_unspecific and not c.quantity for c in clause.chunks)


def _usual_quantity(subject: Bearer, clause: Clause) -> str | None:
    head = (subject.component or "").split()[-1:] or [""]
    if clause.has("down", "out", "under", "over", "up", "low", "proud", "short"):
        return None
    if head[0] in _THICK:
        return "thickness"
    if head[0] in _ROUND:
        return "diameter"
    if head[0] == "spring":
        return "length"
    return None


def _component(clause: Clause, at: int, state: State) -> Bearer | None:
    """Give the part measured: "on the pin", else the subject, else what was just spoken of."""
    chunks = clause.chunks
    i = at + 1
    while i + 1 < len(chunks) and i < at + 5:
        if chunks[i].low in ("on", "of", "in", "at", "for", "across", "between") and chunks[i + 1].is_part:
            bearer = resolve(chunks[i + 1], state.focus, state.lexicon)
            if (
                bearer
                and bearer.component
                and not bearer.is_place
                and chunks[i + 1].name
                and not chunks[i + 1].is_unspecific
                and not chunks[i + 1].quantity
            ):
                return bearer
        i += 1
    for i in range(at):
        chunk = chunks[i]
        if (
            chunk.is_part
            and chunk.quantity
            and i + 2 < len(chunks)
            and chunks[i + 1].low in ("on", "of", "in", "at", "for")
            and chunks[i + 2].is_part
        ):
            bearer = resolve(chunks[i + 2], state.focus, state.lexicon)
            if bearer and bearer.component and not chunks[i + 2].is_unspecific:
                return bearer
    subject, subject_at = subject_of(clause, state.focus, state.lexicon)
    if subject is not None and subject_at >= 0:
        if chunks[subject_at].quantity and (holder := _HOLDERS.get(chunks[subject_at].name or "")):
            return Bearer(component=holder, is_named=True)
        name = chunks[subject_at].name or ""
        if any(
            w in name.split() for w in ("book", "limit", "spec", "max", "minimum", "clock", "gauge", "meter", "manual")
        ):
            return state.focus.bearer
    return subject


_HOLDERS = {"compression": "cylinder", "oil pressure": "oil"}
"""What a quantity is of when nothing else is said."""


def _role(clause: Clause, at: int, amount: Amount, quantity: str | None, state: State) -> tuple[str, str | None]:
    whole = _near(clause, at)
    before = Clause([c for c in whole.chunks if c.start <= clause.chunks[at].start], clause.joiner)
    if cue := _cue(whole, _STRONG_LIMIT):
        return "limit", cue
    if cue := _cue(whole, _REQUIRED):
        return "required", cue
    if cue := _cue(before, _LIMIT[6:]):
        if cue not in (
            "over",
            "under",
            "above",
            "below",
            "up to",
            "down to",
            "more than",
            "less than",
            "allowed",
            "the most",
        ) or _cue(before, ("should", "shouldn't", "must", "mustn't", "anything", "not", "don't want")):
            return "limit", cue
    if quantity in ("torque", "preload"):
        if quantity == "preload" or amount.unit == "lbf·in":
            cue = _cue(before, _NOMINAL)
            return ("nominal", cue) if cue else ("measured", None)
        if cue := _cue(before, _TOOK):
            return "measured", cue
        if (
            state.amounts
            and state.amounts[-1].to_json().get("role") != "required"
            and _cue(whole, _NOMINAL) is None
            and amount.unit == "lbf·in"
        ):
            return str(state.amounts[-1].to_json().get("role")), None
        return "required", "torque"
    if cue := _cue(before, _NOMINAL):
        return "nominal", cue
    if clause.chunks[at + 1 : at + 2] and clause.chunks[at + 1].low in ("nominal", "standard", "new", "original"):
        return "nominal", clause.chunks[at + 1].low
    if clause.chunks[at + 1 : at + 2] and clause.chunks[at + 1].low in ("max", "maximum", "minimum", "min", "tops"):
        return "limit", clause.chunks[at + 1].low
    return "measured", None


def _near(clause: Clause, at: int) -> Clause:
    """Give the stretch of a clause that one amount belongs to: from the amount before it to a few words behind it."""
    first = 0
    for i in range(at - 1, -1, -1):
        if clause.chunks[i].kind == "amount":
            first = i + 1
            break
    last = at + 1
    while (
        last < len(clause.chunks)
        and last < at + 4
        and clause.chunks[last].kind not in ("amount", "number")
        and clause.chunks[last].low not in ("with", "and", "but", "against")
    ):
        last += 1
    return Clause(clause.chunks[first:last] or [clause.chunks[at]], clause.joiner)


def _is_about(clause: Clause, at: int) -> bool:
    before = [c.low for c in clause.chunks[max(0, at - 3) : at]]
    after = [c.low for c in clause.chunks[at + 1 : at + 3]]
    if any(w in _ABOUT for low in before for w in low.split()):
        return True
    return "or so" in " ".join(after) or any(w in ("ish", "roughly", "approx", "about") for w in after)


def _without_repeats(found: list[Measurement | Mileage], clause: Clause, state: State) -> list[Measurement | Mileage]:
    """The same amount said again in another unit ("35 microns, call it a thou and a half") is one entry."""
    loose = Decimal("0.15") if clause.has("call", "say", "that's", "about") else Decimal("0.06")
    out: list[Measurement | Mileage] = []
    for entry in found:
        earlier = [e for e in (*state.amounts, *out) if isinstance(e, Measurement)]
        if not (isinstance(entry, Measurement) and any(_same_amount(e, entry, loose) for e in earlier)):
            out.append(entry)
    return out


def _same_amount(one: Measurement, other: Measurement, loose: Decimal) -> bool:
    if one.si is None or other.si is None or one.unit == other.unit:
        return False
    return abs(one.si - other.si) <= abs(one.si) * loose


# --- running: miles, kilometres, hours -------------------------------------------------------------------

_READING = (
    "clock",
    "speedo",
    "odometer",
    "odo",
    "meter",
    "tacho",
    "dial",
    "on the clock",
    "counter",
    "trip",
    "hour meter",
    "hours meter",
    "reads",
    "shows",
)
_FITTED = (
    "swapped at",
    "was swapped",
    "were swapped",
    "was put in",
    "were put in",
    "was put on",
    "put new",
    "went in",
    "went on",
    "fitted",
    "were new at",
    "was new at",
    "new at",
    "put in at",
    "put on at",
    "replaced at",
    "changed at",
    "done at",
    "fitted new",
    "renewed at",
    "rebuilt at",
    "went in new",
    "since",
    "overhauled at",
    "fitted at",
    "had new",
    "last done",
    "last changed",
    "back at",
    "installed",
    "put in",
    "put on",
    "relined at",
    "in at",
    "on at",
    "got new",
)
_RUN = (
    "'ve done",
    "has done",
    "'s done",
    "done",
    "on them",
    "on it",
    "on that",
    "on these",
    "on those",
    "'s run",
    "'ve run",
    "has run",
    "run",
    "lasted",
    "old",
    "in service",
    "out of it",
    "out of them",
    "out of that",
    "covered",
    "clocked",
    "worn in",
    "went",
    "gone",
    "managed",
    "did",
    "of use",
    "of running",
)
_EXPECTED = (
    "good for",
    "last about",
    "last",
    "lasts",
    "supposed to",
    "should do",
    "should go",
    "expect",
    "expected",
    "usually",
    "normally",
    "get about",
    "you get",
    "due every",
    "every",
    "life",
    "ought to do",
    "meant to",
    "should see",
    "would normally",
    "reckoned",
    "recommend",
    "should last",
    "change interval",
    "interval",
    "they reckon",
    "generally",
    "tend to",
    "around",
    "most do",
    "most of them",
    "ought to",
    "book says",
    "they want doing",
    "want doing",
    "should have",
    "good till",
    "don't see",
    "make it to",
    "another",
)


def _is_running(amount: Amount, clause: Clause, state: State) -> bool:
    if amount.unit in ("mi", "km", "h", "cycles"):
        return True
    return (
        amount.unit is None
        and _is_run_clause(clause, state)
        and (
            state.memory.running_unit is not None
            or state.unit_near(0, running=True) is not None
            or _cue(clause, _READING[:9]) is not None
        )
    )


def _is_run_clause(clause: Clause, state: State) -> bool:
    if any(
        c.kind == "amount" and c.amount and c.amount.unit and c.amount.unit not in ("mi", "km", "h", "cycles")
        for c in clause.chunks
    ):
        return False
    text = clause.low
    if _cue(clause, _READING[:9]):
        return not any(
            w in text
            for w in (
                "dial gauge",
                "clock gauge",
                "put a clock",
                "dial indicator",
                "pressure",
                "megger",
                "pressure gauge",
            )
        )
    return (
        _cue(clause, _FITTED) is not None
        or _cue(
            clause,
            ("'ve done", "has done", "'s done", "good for", "on them", "done"),
        )
        is not None
    )


def _mileage(clause: Clause, at: int, amount: Amount, state: State) -> Mileage | None:
    role, cue = _running_role(clause, at)
    if role is None:
        return None
    unit = amount.unit or state.memory.running_unit
    value, low, high = amount.value, amount.low, amount.high
    if state.thousands and role != "reading":
        said = clause.chunks[at].amount
        bare = said is None or said.unit is None
        value, low, high = (_as_thousands(v, unit, bare) for v in (value, low, high))
    biggest = value or high
    if biggest is not None and biggest >= 1000:
        state.thousands = True
    if amount.unit:
        state.memory.running_unit = amount.unit
    subject = _component(clause, at, state) if role != "reading" else None
    chunk = clause.chunks[at]
    return Mileage(
        value=_exact(value), low=_exact(low), high=_exact(high), unit=unit, role=role, component=subject.component if subject else None,
        said=state.words(chunk.start, chunk.end), span=state.span(chunk.start, chunk.end), cue=cue, rule=f"mileage.{role}",
        from_=subject.from_ if subject else None,
    )  # fmt: skip


def _as_thousands(value: Fraction | None, unit: str | None, bare: bool) -> Fraction | None:
    """ "Nine and a half" after thousands of miles are nine and a half thousand."""
    if value is not None and value < 200 and bare and unit != "h":
        return value * 1000
    return value


def _running_role(clause: Clause, at: int) -> tuple[str | None, str | None]:
    before = Clause(clause.chunks[: at + 1], clause.joiner)
    if clause.mood == USUAL:
        return "expected", clause.cue
    if cue := _cue(before, _FITTED):
        return "fitted", cue
    if cue := _cue(before, _READING[:9]):
        return "reading", cue
    if cue := _cue(clause, ("on the clock", "on the meter", "on the dial", "on the speedo", "clock", "meter")):
        return "reading", cue
    if cue := _cue(clause, _EXPECTED[:6]):
        return "expected", cue
    if cue := _cue(clause, _RUN):
        return "run", cue
    if cue := _cue(clause, _EXPECTED):
        return "expected", cue
    if cue := _cue(before, _READING):
        return "reading", cue
    if clause.mood == HYPOTHETICAL:
        return None, None
    return None, None
