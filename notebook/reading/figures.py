"""Which numbers of a remark are sizes, which words belong to each, and what unit a bare one takes.

In: the pieces of a remark. Out: `Figure`s in order, each with its stretch of words.
Never takes a count, a name, a year, a price or the size of a spanner for a size; never says what was measured.

Examples: "backlash is 22 thou and you'd want 10 to 15" two figures in thou; "left 12, right nine" two; "4.2, four
point four and 3.1 ohms" three in ohms; "the six in tray 4 took 13 mil heads" none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from notebook.reading.amounts import Amount
from notebook.reading.lexicon import Lexicon
from notebook.reading.speaking import cue_first, cue_last, word_set
from notebook.reading.tidy import Piece

RUNNING = frozenset({"mi", "km", "h", "cycles"})
"""Units of distance and running: such a figure is a mileage."""
_SIGNS = frozenset({",", "-", "–", "—", "(", ")"})
_STOPS = frozenset({".", ";", "!", "?", "...", "…", ":"})
_BREAKS = frozenset(
    {"but", "so", "because", "cause", "cos", "against", "versus", "where", "whereas", "though", "although"}
)
_PLACES = frozenset(
    (
        "left right inner outer front rear back top bottom upper lower inside outside near far inlet exhaust intake "
        "nearside offside inboard outboard middle centre center leading trailing drive first second third fourth "
        "fifth sixth other side end ends sides cylinder number hot cold"
    ).split()
)
_LINKS = _PLACES | frozenset(
    (
        "and & then or plus just only about nearly maybe say roughly the on at in for is was 's are were one same all "
        "round both each this that"
    ).split()
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number said as a size: its piece, its amount with the unit it takes, and the words of its own stretch."""

    piece: int
    amount: Amount
    before: tuple[str, ...]
    after: tuple[str, ...]
    unit_from: str = "said"
    """`said`, `near` (another figure of the remark) or empty while it has none."""
    follows: int | None = None
    """Piece of the figure before it in a list: "4.2, | 4.4 and 3.1"; role and quantity are shared."""

    @property
    def is_running(self) -> bool:
        return self.amount.unit in RUNNING

    @property
    def biggest(self) -> Fraction:
        value = self.amount.value if self.amount.value is not None else self.amount.high
        return value if value is not None else Fraction(0)


def find_figures(pieces: Sequence[Piece], lexicon: Lexicon) -> list[Figure]:
    """Give the figures of a remark in order, each with the unit said with it or with one near it."""
    lows = [p.low for p in pieces]
    sure = {at: a for at in range(len(pieces)) if (a := _sure_amount(pieces, at, lows, lexicon)) is not None}
    if not sure and not any(_is_bare(p) for p in pieces):
        return []
    found = dict(sure)
    _add_listed(pieces, lows, found, lexicon)
    _add_cued(pieces, lows, found, lexicon)
    _add_listed(pieces, lows, found, lexicon)
    order = sorted(found)
    figures = [
        _figure(lows, found[at], at, order[n - 1] if n else None, order[n + 1] if n + 1 < len(order) else None)
        for n, at in enumerate(order)
    ]
    return _give_units(figures, lows)


def _is_bare(piece: Piece) -> bool:
    return piece.kind == "number" or (piece.kind == "amount" and piece.amount is not None and piece.amount.unit is None)


# --- figures that are plain from their own words -----------------------------------------------------------


def _sure_amount(pieces: Sequence[Piece], at: int, lows: Sequence[str], lexicon: Lexicon) -> Amount | None:
    """Give an amount with its unit, a range or a decimal, unless it names a tool, a fastener or how it was read."""
    piece = pieces[at]
    amount = piece.amount if piece.kind == "amount" else None
    if amount is None and (piece.kind != "number" or not _is_fractional(piece)):
        return None
    if is_name(lows, at) or _is_money(lows, at) or _is_sized(pieces, at, lexicon):
        return None
    if amount is None:
        if _is_time(pieces, at) or _word(lows, at + 1) in word_set("no_amount", "count_before"):
            return None
        return Amount(value=piece.value, start=at, end=at + 1, shape="decimal")
    if amount.unit is None and (_counts(pieces, at, lexicon) or _is_time(pieces, at)):
        return None
    return amount


def _is_fractional(piece: Piece) -> bool:
    return piece.value is not None and piece.value.denominator > 1


def is_name(lows: Sequence[str], at: int) -> bool:
    """Tell a number that names ("number 4", "bag 7", "on three" behind a size) from one that measures."""
    before = _word(lows, at - 1)
    if before in word_set("no_amount", "name_before") and not (before in ("size", "position") and "." in lows[at]):
        return True
    return before in ("the", "another", "these", "those") and _word(lows, at + 1) in ("of", "one", "that")


def _is_time(pieces: Sequence[Piece], at: int) -> bool:
    """ "Half seven", "in 2009", "five past eight", "since 1962"."""
    lows = [p.low for p in pieces[max(0, at - 2) : at + 4]]
    here = min(at, 2)
    before, after = _word(lows, here - 1), _word(lows, here + 1)
    value = pieces[at].value
    if value is None:
        return False
    if value == Fraction(1, 2) and at + 1 < len(pieces) and pieces[at + 1].kind == "number":
        return True
    if before in ("half", "1/2") or after in ("past", "o'clock", "am", "pm", "a.m.", "p.m."):
        return True
    if before in ("past", "til", "gone") and value <= 12 and value.denominator == 1:
        return True
    return (
        value.denominator == 1 and 1850 <= value <= 2060 and before in ("in", "since", "from", "late", "early", "circa")
    )


def _is_money(lows: Sequence[str], at: int) -> bool:
    near = lows[max(0, at - 4) : at + 3]
    return any(w in word_set("no_amount", "money") for w in near)


_HEAD_WORDS = frozenset(
    (
        "spanner spanners socket sockets wrench wrenches head heads headed key keys hex af bit torx spline allen drill "
        "bar pipe tube extension impact ratchet punch hammer puller box combination deep open drive jaw reamer tap die bolts"
    ).split()
)


def _is_sized(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell the size of a tool, a fastener or a tube to stand on a spanner: "32 mm socket", "8 mm bolt", "2 foot of pipe"."""
    amount = pieces[at].amount
    if amount is None or amount.dimension not in ("length", None):
        return False
    words = [p.low for p in pieces[at + 1 : at + 6] if p.kind == "word"]
    if not words or (at + 1 < len(pieces) and pieces[at + 1].kind != "word"):
        return False
    if words[0] in ("of", "long") and words[1:2] and words[1] in ("pipe", "tube", "bar", "box", "scaffold"):
        return True
    if words[0] in _HEAD_WORDS or (words[1:2] and words[1] in _HEAD_WORDS and words[0] not in _PLAIN):
        return words[0] not in ("bar",) or amount.unit is not None
    return amount.unit in ("mm", "in", "cm", None) and _names_fastener(words, lexicon)


_PLAIN = frozenset("and or on in of at to the is was with from but so for by over under both a it".split())


def _names_fastener(words: Sequence[str], lexicon: Lexicon) -> bool:
    for n in range(4, 0, -1):
        phrase = tuple(words[:n])
        if len(phrase) == n and (phrase in lexicon.fasteners or phrase in lexicon.tools):
            return phrase[0] not in ("washer", "washers", "feeler", "feelers", "clip")
    return False


# --- figures that others or words beside them make plain ----------------------------------------------------


def _add_listed(pieces: Sequence[Piece], lows: Sequence[str], found: dict[int, Amount], lexicon: Lexicon) -> None:
    """Add bare numbers that stand in a list with a figure, on both sides of it: "30, 50, then 70 lbf·ft", "left 12, right 9"."""
    bare = [at for at, p in enumerate(pieces) if at not in found and may_be_figure(pieces, at, lows, lexicon)]
    for at in bare:
        last = max((f for f in found if f < at), default=None)
        if last is not None and found[last].unit not in RUNNING and _is_linked(lows, last, at, _LINKS):
            if not _is_place_of(lows, last, at, pieces):
                found[at] = _amount_of(pieces[at], at)
    for at in reversed(bare):
        following = min((f for f in found if f > at), default=None)
        if at not in found and following is not None and found[following].unit not in RUNNING:
            if _is_linked(lows, at, following, frozenset({"and", "&", "then", "or"})) and following - at > 1:
                found[at] = _amount_of(pieces[at], at)


def _is_linked(lows: Sequence[str], first: int, second: int, links: frozenset[str]) -> bool:
    """Tell whether only links stand between two numbers; a stop never is one."""
    between = lows[first + 1 : second]
    return len(between) <= 7 and all(w in links or w in _SIGNS for w in between)


def _is_place_of(lows: Sequence[str], last: int, at: int, pieces: Sequence[Piece]) -> bool:
    """Tell "1.8 mm on | one and | two" (cylinders) from "1.8 mm and | two"."""
    value = pieces[at].value
    if value is None or value.denominator > 1 or value > 24:
        return False
    before = _word(lows, at - 1)
    if before in ("on", "cylinder", "for", "at") and at - 2 == last:
        return True
    if (
        _word(lows, at + 1) in ("is", "was", "'s", "at")
        and at + 2 < len(pieces)
        and pieces[at + 2].kind in ("number", "amount")
    ):
        return True
    return before in ("and", "&", ",") and any(w in ("on", "for") for w in lows[last + 1 : at])


def may_be_figure(pieces: Sequence[Piece], at: int, lows: Sequence[str], lexicon: Lexicon) -> bool:
    """Tell a bare number that could be a size from a count, a name, a time and a price."""
    piece = pieces[at]
    if not _is_bare(piece) or is_name(lows, at) or _is_time(pieces, at) or _is_money(lows, at):
        return False
    if _is_sized(pieces, at, lexicon) and piece.kind == "amount":
        return False
    if piece.low == "one" and _word(lows, at + 1) not in ("", ",", ".", "and"):
        return False
    return not _counts(pieces, at, lexicon)


_AFTER_FIGURE = _PLACES | frozenset(
    (
        "each apiece standing cranking running idle idling loaded unloaded free dead exactly flat even square thick thin deep "
        "wide long high low tall short proud oval over under down up out off in across round after before measured "
        "roughly ish odd nominal standard new original max maximum min minimum limit tops allowed allowable permitted "
        "plenty enough now today there here clearance play slop slack endfloat backlash runout lift meat left "
        "total gross spec book wet dry final if when while which that give or"
    ).split()
)
_FUNCTION = frozenset(
    {"preposition", "conjunction", "auxiliary", "subordinator", "adverb", "negator", "pronoun", "question"}
)


def _counts(pieces: Sequence[Piece], at: int, lexicon: Lexicon) -> bool:
    """Tell a number that counts ("8 bolts", "3 cracked", "2 of them") from one that stands alone."""
    following = pieces[at + 1] if at + 1 < len(pieces) else None
    if following is None or following.kind in ("sign", "number", "amount"):
        return False
    if following.kind == "thread":
        return True
    low = following.low
    if low in word_set("no_amount", "count_before") or low in ("of", "mate", "mates"):
        return True
    if low in _AFTER_FIGURE:
        after = pieces[at + 2] if at + 2 < len(pieces) else None
        return low in ("new", "standard", "original", "long", "short", "left", "right", "free") and _is_thing(
            after, lexicon
        )
    classes = lexicon.word_classes(low)
    if classes & _FUNCTION or low in ("'s", "'re", "'d", "'ll"):
        return False
    return not (
        classes & {"base", "s", "ed"} and not lexicon.is_nouny(low) and "adjective" not in classes and low in _VERBS
    )


_VERBS = frozenset(
    "says said reads reckons wants gives went came goes comes drags drops slides slips goes stamped marked".split()
)


def _is_thing(piece: Piece | None, lexicon: Lexicon) -> bool:
    if piece is None or piece.kind != "word":
        return False
    return "noun" in lexicon.word_classes(piece.low) or lexicon.is_nouny(piece.low)


_MEASURING = frozenset(
    (
        "mics mic miked mikes micced measures measured measure measuring reads read reading weighs weighed weigh shows showing "
        "showed stands gives gave gets getting says saying makes making made pulls pulling draws drawing"
    ).split()
)


def _add_cued(pieces: Sequence[Piece], lows: Sequence[str], found: dict[int, Amount], lexicon: Lexicon) -> None:
    """Add bare numbers that a word beside them makes a size: "limit's 6", "three allowed", "now it's eight", "mics 20"."""
    has_unit = any(a.unit is not None and a.unit not in RUNNING for a in found.values())
    for at in range(len(pieces)):
        if at in found or not may_be_figure(pieces, at, lows, lexicon):
            continue
        before, after = sections(lows, at, None, None)
        if cue_last("role", before[-5:]) or cue_first("role", after[:4], within=2):
            if pieces[at].low != "one" or before[-1:] != ("just",):
                found[at] = _amount_of(pieces[at], at)
            continue
        if any(w in _MEASURING for w in before[-3:]):
            found[at] = _amount_of(pieces[at], at)
        elif (
            has_unit
            and before[-1:]
            and before[-1] in ("is", "'s", "are", "was", "were", "'re", "at", "to", "nearer", "got", "call")
        ):
            if not _is_place_of(lows, max((f for f in found if f < at), default=-9), at, pieces):
                found[at] = _amount_of(pieces[at], at)


def _amount_of(piece: Piece, at: int) -> Amount:
    if piece.amount is not None:
        return piece.amount
    return Amount(value=piece.value, start=at, end=at + 1)


# --- stretches ---------------------------------------------------------------------------------------------


def _figure(lows: Sequence[str], amount: Amount, at: int, last: int | None, following: int | None) -> Figure:
    before, after = sections(lows, at, last, following)
    follows = None
    if last is not None and _is_linked(lows, last, at, _LINKS) and _shares_label(lows, last, at):
        follows = last
    return Figure(
        piece=at, amount=amount, before=before, after=after, follows=follows, unit_from="said" if amount.unit else ""
    )  # fmt: skip


def _shares_label(lows: Sequence[str], last: int, at: int) -> bool:
    """Both of "inlet 0.25, exhaust 0.40" or neither of "40, 42" name their place; "book says 8, left 12" does not share."""
    named = any(w in _PLACES for w in lows[last + 1 : at])
    return not named or any(w in _PLACES for w in lows[max(0, last - 4) : last])


def sections(
    lows: Sequence[str], at: int, last: int | None, following: int | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Give the words of a figure's stretch: back to the figure or the joint before it, on to the joint behind it."""
    first = at
    commas = 0
    while first > 0 and first - 1 != last and lows[first - 1] not in _STOPS and lows[first - 1] not in _BREAKS:
        if lows[first - 1] in _SIGNS or (lows[first - 1] == "and" and last is not None):
            if any(w not in _EMPTY for w in lows[first:at] if w not in _SIGNS) or commas == 2:
                break
            commas += 1
        first -= 1
    end = at + 1
    while end < len(lows) and end < at + 9 and lows[end] not in _STOPS and lows[end] not in _SIGNS and end != following:
        if lows[end] in _BREAKS or (
            lows[end] == "and"
            and _word(lows, end + 1) not in ("they're", "it's", "you", "no", "over", "under", "they", "it")
        ):
            break
        end += 1
    after = () if end == following and end <= at + 4 else tuple(lows[at + 1 : end])
    return tuple(lows[first:at]), after


_EMPTY = frozenset(
    "is are was were 's 're it that this about roughly around near nearly just say i think well er a the at to got an only reckon believe like you know if remember right".split()
)


def _word(lows: Sequence[str], at: int) -> str:
    return lows[at] if 0 <= at < len(lows) else ""


# --- units of bare numbers ----------------------------------------------------------------------------------


@cache
def _unit_names() -> dict[str, tuple[str, str]]:
    return {
        "inches": ("in", "length"), "inch": ("in", "length"), "thou": ("thou", "length"), "mil": ("mm", "length"), "mils": ("mm", "length"),
        "millimetres": ("mm", "length"), "millimeters": ("mm", "length"), "microns": ("um", "length"), "degrees": ("deg", "angle"),
        "bar": ("bar", "pressure"), "psi": ("psi", "pressure"), "ohms": ("ohm", "resistance"), "volts": ("V", "voltage"),
        "amps": ("A", "current"), "grams": ("g", "mass"),
    }  # fmt: skip


def _named_unit(lows: Sequence[str]) -> tuple[str, str] | None:
    """Give a unit said by itself: "..., inches that is", "all in thou"."""
    for at, low in enumerate(lows):
        unit = _unit_names().get(low)
        if unit is None:
            continue
        before, after = _word(lows, at - 1), lows[at + 1 : at + 3]
        if list(after) in (["that", "is"], ["that", "'s"], ["i", "mean"], ["this", "is"]) or (
            before == "in" and _word(lows, at - 2) in ("all", "that", "'s", "these", "readings", "is")
        ):
            return unit
    return None


def _give_units(figures: list[Figure], lows: Sequence[str]) -> list[Figure]:
    """Give each bare figure the unit of the nearest fitting figure, of its list first, then before it, then behind it."""
    sources = [f for f in figures if f.amount.unit is not None and not _is_reading_condition(f, figures)]
    named = _named_unit(lows)
    out: list[Figure] = []
    for figure in figures:
        if figure.amount.unit is not None:
            out.append(figure)
            continue
        source = _unit_source(figure, sources, figures)
        if named is not None and source is None:
            out.append(_with_unit(figure, *named))
        elif source is not None and source.amount.unit is not None:
            out.append(_with_unit(figure, source.amount.unit, source.amount.dimension))
        else:
            out.append(figure)
    return out


def _with_unit(figure: Figure, unit: str, dimension: str | None) -> Figure:
    return replace(figure, amount=replace(figure.amount, unit=unit, dimension=dimension), unit_from="near")


def _unit_source(figure: Figure, sources: Sequence[Figure], figures: Sequence[Figure]) -> Figure | None:
    linked = _list_of(figure, figures)
    for source in sources:
        if source.piece in linked:
            return source
    earlier = [s for s in sources if s.piece < figure.piece and not s.is_running]
    later = [s for s in sources if s.piece > figure.piece and not s.is_running]
    for source in (*reversed(earlier), *later):
        if _is_plausible(figure, source):
            return source
    return None


def _list_of(figure: Figure, figures: Sequence[Figure]) -> set[int]:
    """Give the pieces of the list a figure stands in."""
    heads: dict[int, int] = {}
    for f in figures:
        heads[f.piece] = heads.get(f.follows, f.follows) if f.follows is not None else f.piece
    return {p for p, head in heads.items() if head == heads[figure.piece]}


def _is_plausible(figure: Figure, source: Figure) -> bool:
    """Leave "0.4" from taking degrees, and a percentage or metres from lending its unit."""
    if source.amount.unit in ("%", "m", "ft", "gauge", "tpi"):
        return False
    return source.amount.unit not in ("deg", "rpm") or figure.biggest >= 1


def is_reading_condition(figure: Figure, figures: Sequence[Figure]) -> bool:
    """Tell how a size was read from the size: "12 psi | at 90 degrees", "six hundredths | over 1.1 metres"."""
    return _is_reading_condition(figure, figures)


def _is_reading_condition(figure: Figure, figures: Sequence[Figure]) -> bool:
    before = figure.before[-1:] or ("",)
    others = [f for f in figures if f.piece != figure.piece and not f.is_running]
    near = [f for f in others if 0 < figure.piece - f.piece <= 8 or f.piece - figure.piece in range(1, 9)]
    if figure.amount.dimension in ("speed", "temperature", "angle", "road speed"):
        return before[0] in ("at", "@") and any(f.amount.dimension != figure.amount.dimension for f in near)
    if figure.amount.unit in ("m", "ft", "in", "mm", "cm"):
        earlier = [f for f in others if 0 < figure.piece - f.piece <= 5]
        if before[0] in ("over", "per", "in") and earlier:
            return any(f.amount.dimension == "length" and f.biggest < figure.biggest * 100 for f in earlier)
    return False
