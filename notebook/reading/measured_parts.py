"""Which part a figure is of, and which one of them.

In: a figure, its clause, and what was spoken of before. Out: the bearer, or None.
Never takes a book, a placard or a gauge for the part: what it says is of the part spoken of.

Examples: "4 thou play | on the hub" hub; "placard says 225" the tyre before it; "left 12, right nine" left and right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.reading.bearers import resolve, subject_of
from notebook.reading.clause import Clause
from notebook.reading.figures import Figure
from notebook.reading.focus import Bearer
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk
from notebook.reading.speaking import word_set
from notebook.reading.state import State

_LEADS = frozenset({"on", "of", "in", "at", "for", "across", "between", "off"})
_HOLDERS = {
    "compression": "cylinder",
    "compressions": "cylinder",
    "oil pressure": "oil",
    "tickover": "engine",
    "idle": "engine",
}
"""What a quantity is of when nothing else is said."""
_NO_PARTS = frozenset({"torque set"})
"""Read as a part where nothing else is named; "torque set to 45" is of what was just spoken of."""
_PLACE_WORDS = frozenset(
    (
        "left right inner outer front rear top bottom upper lower inlet exhaust intake nearside offside inboard outboard "
        "middle centre center leading trailing primary secondary drive"
    ).split()
)


def is_speaker(chunk: Chunk, after: Sequence[str] = ()) -> bool:
    """Tell a paper, a plate that speaks or a gauge ("placard says", "plate's stamped", "dial gauge reads") from a part."""
    words = (chunk.name or "").split()
    if not words:
        return False
    head = words[-1]
    if words[0] in word_set("speaking", "papers") - word_set("speaking", "parts_too"):
        return True
    if head in word_set("speaking", "parts_too"):
        return any(w in word_set("speaking", "speak") for w in after) or words[0] in ("name", "rating", "data")
    return head in word_set("speaking", "papers") or head in word_set("speaking", "instruments")


def part_of(figure: Figure, at: int, clause: Clause, state: State) -> Bearer | None:
    """Give the part measured: "on the pin" behind it, else the subject, else what was just spoken of."""
    found = _behind(clause, at, state) or _beside_quantity(clause, at, state) or _subject(clause, at, state)
    if found is not None and found.component in _NO_PARTS:
        found = state.focus.bearer
    if found is None:
        return None
    component = _plain_name(found.component, state)
    return replace(found, component=component, position=position_of(figure) or found.position, count=None, of=None)


def _plain_name(name: str | None, state: State) -> str | None:
    """Leave out what is no part of a name: "crank | end float", "skirts | measure"."""
    words = (name or "").split()
    for n in range(1, len(words)):
        rest = tuple(words[n:])
        if rest in state.lexicon.quantities or rest in (("measure",), ("mic",), ("reading",), ("weigh",), ("gap",)):
            return " ".join([*words[: n - 1], singular(words[n - 1])])
    return name


def _behind(clause: Clause, at: int, state: State) -> Bearer | None:
    """ "Eight thou | on the pin", "12 foot pounds | for the cap bolts"; no further than the next amount."""
    chunks = clause.chunks
    for i in range(at + 1, min(at + 5, len(chunks) - 1)):
        if chunks[i].kind in ("amount", "number", "sign", "conjunction", "aux"):
            return None
        following = chunks[i + 1]
        if chunks[i].low in _LEADS and following.is_part and _is_part(following) and not following.tool:
            bearer = resolve(following, state.focus)
            if bearer and bearer.component and not bearer.is_place:
                topic = _subject(clause, at, state)
                if topic is not None and topic.component and topic.is_named and not _owns(topic, chunks, at):
                    return topic
                return bearer
    return None


def _owns(topic: Bearer, chunks: list[Chunk], at: int) -> bool:
    """Tell "half a thou on the pin" (of the pin) from "big end's eight thou on the pin" (of the big end)."""
    return not any(c.name and c.is_part and c.name == topic.component and not c.quantity for c in chunks[:at])


def _is_part(chunk: Chunk) -> bool:
    return (
        bool(chunk.name)
        and not chunk.is_unspecific
        and not chunk.quantity
        and not chunk.container
        and not is_speaker(chunk)
    )


def _beside_quantity(clause: Clause, at: int, state: State) -> Bearer | None:
    """ "Backlash | on the bevels is 12", "end float of the shaft": what the quantity is of."""
    chunks = clause.chunks
    for i in range(at - 2):
        if chunks[i].is_part and chunks[i].quantity and chunks[i + 1].low in _LEADS and _is_part(chunks[i + 2]):
            bearer = resolve(chunks[i + 2], state.focus)
            if bearer and bearer.component:
                return bearer
    return None


def _subject(clause: Clause, at: int, state: State) -> Bearer | None:
    subject, subject_at = subject_of(clause, state.focus)
    if subject is None or subject_at < 0 or subject_at > at:
        return _just_named(clause, at, state) or subject or state.focus.bearer
    chunk = clause.chunks[subject_at]
    if chunk.quantity and (holder := _HOLDERS.get(chunk.name or "")):
        return Bearer(component=holder, is_named=True)
    if is_speaker(chunk, [c.low for c in clause.chunks[subject_at + 1 : at]]):
        return _without_speaker(chunk, state) or state.focus.bearer
    if chunk.quantity and chunk.name and subject.component == chunk.name:
        return _without_quantity(chunk, state)
    return subject


def _just_named(clause: Clause, at: int, state: State) -> Bearer | None:
    """ "Right, on the shaft I get 12": a part named in the clause before the figure."""
    for chunk in reversed(clause.chunks[:at]):
        if _is_part(chunk) and (chunk.is_known or chunk.fastener) and not chunk.tool:
            return resolve(chunk, state.focus)
    return None


def _without_speaker(chunk: Chunk, state: State) -> Bearer | None:
    """ "Motor plate reads 1420": of the motor."""
    words = (chunk.name or "").split()[:-1]
    if words and (words[-1] in state.lexicon.heads or tuple(words) in state.lexicon.components):
        return Bearer(component=" ".join(words), position=chunk.position, is_named=True)
    return None


def _without_quantity(chunk: Chunk, state: State) -> Bearer | None:
    """ "Crank end float's 14": of the crank."""
    words = (chunk.name or "").split()
    for n in range(len(words)):
        if tuple(words[n:]) in state.lexicon.quantities:
            return (
                Bearer(component=" ".join(words[:n]), position=chunk.position, is_named=True)
                if n
                else state.focus.bearer
            )
    return Bearer(component=chunk.name, position=chunk.position, is_named=True)


def position_of(figure: Figure) -> str | None:
    """Give which one, said beside the figure: "left 12", "2 on the front", "210 on number three"."""
    after = [w for w in figure.after[:5] if w not in ("the", "one", "side")]
    if len(after) >= 2 and after[0] in ("on", "at", "in") and (place := _place(after[1:])):
        return place
    for at in range(len(figure.before) - 1, max(-1, len(figure.before) - 5), -1):
        if place := _place(figure.before[at:]):
            return place
    return None


def _place(words: list[str] | tuple[str, ...]) -> str | None:
    if words and words[0] == "number" and len(words) > 1:
        return f"number {words[1]}"
    return words[0] if words and words[0] in _PLACE_WORDS else None
