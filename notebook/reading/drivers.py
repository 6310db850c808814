"""Keys, spanners and sockets said by their size: "13 mm heads", "3/16 key", "1/4 BS spanner", "axle nut's a 36 mil".

In: chunks and a place among them. Out: the driver as an entry names it, or None. Never judges whether it fits.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from notebook.reading.clause import Clause
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk

_SYSTEMS = {"bs": "BS", "bsf": "BS", "whitworth": "Whitworth", "whit": "Whitworth", "af": "AF", "a": ""}
_TOOLS = frozenset({"spanner", "socket", "wrench", "head", "ring", "key", "hex", "bit", "allen", "ringy"})
_BETWEEN = frozenset(
    (
        "hex hexagon deep ring open ended box long short impact allen combination af socket the big little point six twelve 6 12 "
        "long-reach wobble flexi crowfoot tube slogging flogging and on cap"
    ).split()
)
_SIZE_WORDS = frozenset("long thick deep wide down diameter over under out proud".split())
_SMALLEST_MM, _LARGEST_MM = 3, 80
_TOOL_WORDS = 5


def driver_at(chunks: Sequence[Chunk], at: int) -> str | None:
    """Give the key or spanner named at a chunk."""
    chunk = chunks[at]
    if chunk.kind not in ("amount", "number"):
        return None
    words = [w for c in chunks[at + 1 : at + 5] for w in c.low.split() if c.kind != "sign"][:_TOOL_WORDS]
    size = size_text(chunk)
    if size is None:
        return None
    system = ""
    if words[:1] and words[0] in _SYSTEMS:
        system, words = _SYSTEMS[words[0]], words[1:]
    if words[:2] == ["across", "flats"] or words[:3] == ["across", "the", "flats"]:
        return f"{size} socket"
    for n, word in enumerate(words[:4]):
        one = singular(word)
        if one in _TOOLS:
            if n and not set(words[:n]) <= _BETWEEN and one != "key":
                return None
            return _driver(size, system, one, words[:n])
    return f"{size} socket" if chunk.low.endswith("mm") and system == "AF" else None


def head_size_at(clause: Clause, at: int) -> str | None:
    """Give the head of "axle nut's a 36 mil", where no spanner is named."""
    chunk = clause.chunks[at]
    if chunk.kind != "amount" or at == 0 or not any(c.kind == "aux" for c in clause.chunks[:at]):
        return None
    if any(c.low in _SIZE_WORDS or c.quantity for c in clause.chunks):
        return None
    subject = next((c for c in clause.chunks[:at] if c.is_part), None)
    size = size_text(chunk) if subject is not None and subject.fastener is not None else None
    return f"{size} socket" if size else None


def size_text(chunk: Chunk) -> str | None:
    """Write a size as on the tool: "13 mm", "9/16 in", "1 1/2 in"."""
    if chunk.kind == "amount":
        if chunk.amount is None or chunk.amount.value is None or chunk.amount.unit not in ("mm", "in"):
            return None
        value = chunk.amount.value
        return _inches(value) if chunk.amount.unit == "in" else f"{float(value):g} mm"
    if chunk.value is None:
        return None
    if chunk.value.denominator > 1:
        return _inches(chunk.value)
    return f"{int(chunk.value)} mm" if _SMALLEST_MM <= chunk.value <= _LARGEST_MM else None


def _inches(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return f"{whole} {rest} in" if whole and rest else f"{rest or whole} in"


def _driver(size: str, system: str, tool: str, between: Sequence[str]) -> str:
    if tool in ("key", "allen") or (tool in ("hex", "bit") and not system) or ("hex" in between and tool != "socket"):
        return f"{size} hex key"
    if system in ("BS", "Whitworth"):
        return f"{size.removesuffix(' in').removesuffix(' mm')} {system} spanner"
    return f"{size} {'spanner' if tool in ('spanner', 'wrench', 'ring', 'ringy') else 'socket'}"
