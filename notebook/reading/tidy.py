"""Tidying: a remark as heard becomes the same remark with numbers, units, threads and slips put right.

In: text. Out: `Tidied`: the tidied text, its pieces, and the changes that lead every stretch
that differs back to what was heard. Nothing is added; fillers and a value taken back in the same
breath ("six, no, eight screws") are the only words left out, and the changes say so.

Example: "eight em six screws, er, thirteen mil heads" -> "8 M6 screws, 13 mm heads".
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from fractions import Fraction

from notebook.nouns import Change
from notebook.reading.amounts import Amount, Habit, read_amount
from notebook.reading.lexicon import Lexicon
from notebook.reading.numbers import ORDINALS, Number, read_number
from notebook.reading.slip_kinds import Repair
from notebook.reading.slips import mend_slips
from notebook.reading.threads import ThreadName, read_thread
from notebook.reading.words import Token, split_words

FILLERS = frozenset({"er", "um", "erm", "uh", "ah", "uhm", "hmm", "mm-hm", "umm", "err"})
_TAKEN_BACK = (
    ("no", "tell", "a", "lie"), ("tell", "a", "lie"), ("no", "hang", "on"), ("no", "hold", "on"), ("no", "wait"),
    ("no", "sorry"), ("sorry",), ("i", "mean"), ("no", "make", "that"), ("make", "that"), ("or", "rather"),
    ("no", "sorry", "i", "mean"), ("wait", "no"), ("scratch", "that"), ("correction",), ("no", "i", "tell", "a", "lie"),
    ("i", "tell", "a", "lie"), ("no", "it", "'s"), ("no", "that", "'s"), ("sorry", "no"), ("no", "i", "mean"), ("no",),
    ("nope",), ("no", "scratch", "that"), ("hang", "on"), ("actually", "no"), ("well", "no"),
)  # fmt: skip
_LONGEST_FIRST = sorted(_TAKEN_BACK, key=len, reverse=True)
_SAID_AGAIN = {"number": ("number", "amount"), "amount": ("amount", "number"), "thread": ("thread",)}
_SMALL_SIZES_MM = 41
_HEAD_WORDS = frozenset(
    (
        "head heads headed bolt bolts nut nuts spanner spanners socket sockets stud studs screw screws hex af "
        "key keys bit pin pins hole holes dowel dowels hexes setscrews ring"
    ).split()
)


@dataclass(slots=True)
class Piece:
    """A word, sign, number, amount or thread of the tidied text."""

    text: str
    low: str
    kind: str
    """`word`, `sign`, `number`, `amount`, `thread`."""
    start: int = 0
    end: int = 0
    source: tuple[int, int] = (0, 0)
    value: Fraction | None = None
    amount: Amount | None = None
    thread: ThreadName | None = None
    why: str | None = None
    hyphened: bool = False
    """True when a hyphen joins it to the word before ("drive-end")."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tidied:
    """A remark put right, with the way back to what was heard."""

    text: str
    pieces: tuple[Piece, ...]
    changes: tuple[Change, ...] = ()
    habit: Habit | None = None
    repairs: tuple[Repair, ...] = field(default=())


def tidy_remark(
    text: str, *, habit: Habit | None = None, named: AbstractSet[str] = frozenset(), lexicon: Lexicon | None = None
) -> Tidied:
    """Put numbers, units, threads and slips of the ear right, and keep the way back; `named`: words of parts so far."""
    tokens, repairs = mend_slips(split_words(text), named=named, lexicon=lexicon)
    tokens = _drop_fillers(tokens)
    pieces = _drop_taken_back(_find_pieces(tokens, habit))
    return _write_out(text, pieces, repairs, habit)


_HANGING = frozenset(
    "is are was were 's 're a an the of at to in on with for by about and but or so that this my your from it's than be got has have".split()
)
"""Words after which a comma can only be a breath: "backlash is, er, twenty two thou"."""


def _drop_fillers(tokens: Sequence[Token]) -> list[Token]:
    """Leave out "er" and "um" with the comma after them, and the comma before where it is only a breath."""
    kept: list[Token] = []
    after_filler = False
    for token in tokens:
        if token.low in FILLERS:
            after_filler = True
            if len(kept) > 1 and kept[-1].low == "," and kept[-2].low in _HANGING:
                kept.pop()
        elif not (
            after_filler
            and token.low == ","
            and (not kept or kept[-1].low in (",", "-", ".") or kept[-1].low in _HANGING)
        ):
            kept.append(token)
            after_filler = False
    return kept


def _find_pieces(tokens: Sequence[Token], habit: Habit | None) -> list[Piece]:
    pieces: list[Piece] = []
    at = 0
    while at < len(tokens):
        piece, at = _piece_at(tokens, at, habit)
        pieces.append(piece)
    return pieces


def _piece_at(tokens: Sequence[Token], at: int, habit: Habit | None) -> tuple[Piece, int]:
    thread = read_thread(tokens, at)
    number = read_number(tokens, at)
    if thread and (thread.sure or _is_among_fasteners(tokens, at, thread.end)):
        if number and (counted := _count_before_thread(tokens, number, thread)):
            return _number_piece(tokens, counted), counted.end
        return _thread_piece(tokens, thread), thread.end
    if number is not None and thread is None and (counted := _count_before_pair(tokens, number)):
        return _number_piece(tokens, counted), counted.end
    if number is not None and (counted := _count_before_size(tokens, number, habit)):
        return _number_piece(tokens, counted), counted.end
    if number is not None and _is_position_number(tokens, at):
        short = read_number(tokens[: at + 1], at) or number
        return _number_piece(tokens, short), short.end
    amount = read_amount(tokens, at, habit) if not _is_strength(tokens, at) else None
    if amount is not None:
        if amount.unit or amount.is_range:
            return _amount_piece(tokens, amount), amount.end
        if number is not None:
            end = max(amount.end, number.end)
            return _number_piece(
                tokens, Number(amount.value or number.value, at, end, number.shape, number.spoken)
            ), end
    token = tokens[at]
    if token.low in ("numbers", "nos", "number") and at and _counted(tokens, at):
        return Piece("off", "off", "word", source=(token.start, token.end), why="so many of them"), at + 1
    kind = "word" if token.is_word else "sign"
    return Piece(token.text, token.low, kind, source=(token.start, token.end), hyphened=token.hyphened), at + 1


_STRENGTHS = frozenset("4.6 4.8 5.6 5.8 6.8 8.8 9.8 10.9 12.9".split())
"""Property classes of bolts: ISO 898-1."""
_SCREWS = frozenset("bolt bolts screw screws stud studs nut nuts cap socket hex hexagon set capscrew capscrews".split())


def _is_strength(tokens: Sequence[Token], at: int) -> bool:
    """Tell "M10 10.9 bolts" from "10.9 mm"."""
    return tokens[at].text in _STRENGTHS and at + 1 < len(tokens) and tokens[at + 1].low in _SCREWS


def _counted(tokens: Sequence[Token], at: int) -> bool:
    """Tell "six numbers M8 bolts" (six of them) from "the part numbers"."""
    before = tokens[at - 1]
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    is_number = before.value is not None or read_number(tokens, at - 1) is not None
    return is_number and (
        after is None
        or not (after.value is not None or read_number(tokens, at + 1) is not None)
        or read_thread(tokens, at + 1) is not None
    )


def _count_before_thread(tokens: Sequence[Token], number: Number, thread: ThreadName) -> Number | None:
    """Split "three | quarter twenty", "ten | thirty two"... when the words after the count make a thread too."""
    first = read_number(tokens[: number.start + 1], number.start)
    if first is None or first.value.denominator != 1 or not 0 < first.value <= 60 or first.end >= number.end:
        return None
    rest = read_thread(tokens, first.end)
    if rest is None or rest.end != thread.end:
        return None
    if number.shape == "fraction" and tokens[number.start].low == "three" and _plural_after(tokens, thread.end):
        return first
    return None


def _count_before_pair(tokens: Sequence[Token], number: Number) -> Number | None:
    """Split "three | quarter twenty socket heads": three quarters by twenty is no thread, a quarter is."""
    first = read_number(tokens[: number.start + 1], number.start)
    if first is None or first.value.denominator != 1 or not 0 < first.value <= 60 or first.end >= number.end:
        return None
    rest = read_thread(tokens, first.end)
    return first if rest and rest.end > number.end and _is_among_fasteners(tokens, first.end, rest.end) else None


def _plural_after(tokens: Sequence[Token], at: int) -> bool:
    return any(t.low.endswith("s") and t.is_word and t.low not in ("'s", "is", "was") for t in tokens[at : at + 4])


def _count_before_size(tokens: Sequence[Token], number: Number, habit: Habit | None) -> Number | None:
    """Split "eight | ten mil bolts" and "three | half inch bolts", and stop "8 | M6" from running on."""
    first = read_number(tokens[: number.start + 1], number.start)
    if first is None or first.end == number.end or not 0 < first.value <= 60 or first.value.denominator != 1:
        return None
    if read_thread(tokens, first.end) and read_thread(tokens, first.end).sure:  # type: ignore[union-attr]
        return first
    rest = read_amount(tokens, first.end, habit)
    if rest is None or rest.value is None or rest.unit not in ("mm", "in"):
        return None
    if number.shape == "elided" and rest.value <= _SMALL_SIZES_MM and _low(tokens, rest.end) in _HEAD_WORDS:
        return first
    return None


def _is_position_number(tokens: Sequence[Token], at: int) -> bool:
    """Catch "number two", "no. 4", "cylinder three": a name, not an amount."""
    before = tokens[at - 1].low if at else ""
    return before in ("number", "no.", "numbers", "bag", "tray", "tin", "box", "shelf", "tub", "drawer", "bin")


def _is_among_fasteners(tokens: Sequence[Token], start: int, end: int) -> bool:
    near = [t.low for t in tokens[max(0, start - 3) : end + 5]]
    words = ("bolt", "bolts", "screw", "screws", "nut", "nuts", "stud", "studs", "socket", "cap", "capscrews", "thread",
             "threaded", "tap", "tapped", "setscrew", "setscrews", "threads", "insert", "hex", "heads", "grub")  # fmt: skip
    return any(w in near for w in words)


def _number_piece(tokens: Sequence[Token], number: Number) -> Piece:
    first, last = tokens[number.start], tokens[number.end - 1]
    text = _show(number.value, number.shape)
    if number.end - number.start == 1 and (number.value == 1 or first.low in ("half", "quarter")):
        text = first.text
    piece = Piece(text, text.lower(), "number", source=(first.start, last.end), value=number.value)
    if number.spoken:
        piece.why = "number in digits"
    return piece


def _amount_piece(tokens: Sequence[Token], amount: Amount) -> Piece:
    first, last = tokens[amount.start], tokens[amount.end - 1]
    if amount.is_range:
        text = f"{_show(amount.low or Fraction(0), '')} to {_show(amount.high or Fraction(0), '')}"
    else:
        text = _show(amount.value or Fraction(0), amount.shape)
    unit_text = {"mi": "miles", "km": "km", "h": "hours", "in": "in", '"': "in"}.get(
        amount.unit or "", amount.unit or ""
    )
    text = f"{text} {unit_text}".strip()
    return Piece(
        text, text.lower(), "amount", source=(first.start, last.end), value=amount.value, amount=amount, why="amount"
    )


def _thread_piece(tokens: Sequence[Token], thread: ThreadName) -> Piece:
    first, last = tokens[thread.start], tokens[thread.end - 1]
    text = thread.name if thread.length_mm is None else f"{thread.name} x {_show(thread.length_mm, '')}"
    return Piece(text, text.lower(), "thread", source=(first.start, last.end), thread=thread, why="thread")


def _show(value: Fraction, shape: str) -> str:
    if value.denominator == 1:
        return f"{int(value):,}" if value >= 10000 else str(int(value))
    if shape in ("fraction", "mixed") and value.denominator in (2, 4, 8, 16, 32, 64, 3, 7):
        whole, rest = divmod(value, 1)
        return f"{whole} {rest}" if whole else str(rest)
    return f"{float(value):.6g}"


def _drop_taken_back(pieces: list[Piece]) -> list[Piece]:
    """Leave out a value that is taken back at once: "six, no, eight screws"."""
    out: list[Piece] = []
    at = 0
    while at < len(pieces):
        if (end := _taken_back(pieces, at)) is not None:
            _note_dropped(pieces, at, end)
            at = end
            continue
        out.append(pieces[at])
        at += 1
    return out


def _note_dropped(pieces: list[Piece], at: int, end: int) -> None:
    later = pieces[end]
    earlier = pieces[at].amount
    if later.kind == "number" and earlier is not None:
        later.kind = "amount"
        later.amount = Amount(value=later.value, unit=earlier.unit, dimension=earlier.dimension, start=0, end=0)
        later.text = f"{later.text} {earlier.unit}"
        later.low = later.text.lower()
    later.source = (pieces[at].source[0], later.source[1])
    later.why = "taken back and said again"


def _taken_back(pieces: Sequence[Piece], at: int) -> int | None:
    """Give the place of the value that takes the place of the one here, or None."""
    here = pieces[at]
    wanted = _SAID_AGAIN.get(here.kind)
    if wanted is None and here.low in _POSITIONS:
        wanted = ("word",)
    if wanted is None:
        return None
    after = at + 1
    while after < len(pieces) and pieces[after].low in (",", "-", "–", "—", "...", "."):
        if pieces[after].low == ".":
            return None
        after += 1
    for cue in _LONGEST_FIRST:
        if tuple(p.low for p in pieces[after : after + len(cue)]) != cue:
            continue
        end = after + len(cue)
        while end < len(pieces) and pieces[end].low in (",", "-", "–", "—", "...", "it", "'s"):
            end += 1
        if end >= len(pieces) or pieces[end].kind not in wanted:
            continue
        if wanted == ("word",) and pieces[end].low not in _POSITIONS:
            continue
        if cue == ("no",) and here.kind != "number" and pieces[end].kind not in ("number", "amount", "thread", "word"):
            continue
        if pieces[end].kind == "number" and here.kind == "number" and pieces[end].low == here.low:
            continue
        return end
    return None


_POSITIONS = frozenset(
    ("left right inner outer front rear top bottom upper lower inlet exhaust inboard outboard near far back").split()
) | frozenset(ORDINALS)


def _write_out(text: str, pieces: list[Piece], repairs: Sequence[Repair], habit: Habit | None) -> Tidied:
    out: list[str] = []
    changes: list[Change] = []
    length, last_source = 0, 0
    repaired = {r.source: r for r in repairs}
    for piece in pieces:
        start, end = piece.source
        gap = text[last_source:start] if start >= last_source else ""
        if piece.kind == "word" and (repair := repaired.get(piece.source)):
            piece.why = repair.why
        is_changed = piece.text != text[start:end]
        space = "" if not out else _gap(gap, piece, is_changed)
        out.append(space)
        length += len(space)
        piece.start, piece.end = length, length + len(piece.text)
        out.append(piece.text)
        length += len(piece.text)
        if is_changed:
            changes.append(((piece.start, piece.end), (start, end), piece.why or "put right"))
        elif gap.strip() and gap.strip(" -–") and out:
            changes.append(((piece.start, piece.start), (last_source, start), "left out"))
        last_source = max(last_source, end)
    return Tidied(text="".join(out), pieces=tuple(pieces), changes=tuple(changes), habit=habit, repairs=tuple(repairs))


def _gap(gap: str, piece: Piece, is_changed: bool) -> str:
    if not gap:
        return "" if piece.kind in ("sign", "word") and not is_changed else " "
    if gap in ("-", "–") and piece.kind == "word":
        return gap
    return " "


def _low(tokens: Sequence[Token], at: int) -> str:
    return tokens[at].low if 0 <= at < len(tokens) else ""
