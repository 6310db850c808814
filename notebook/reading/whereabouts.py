"""Reads where parts have got to: "off", "out", "apart", "back on", and how they got there.

In: a line. Out: `Move`s, each with the part, the step it makes and what it came off.
Four ways to say it: it is off ("drum's off"), the part with nothing else ("gearbox out"), it came off ("belt slid off"),
somebody took it off ("whipped the guard off the flywheel", "had the door off").
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from notebook.reading.line import JOINS, Line, is_thing
from notebook.reading.meant import how_meant
from notebook.reading.sheets import Chunk
from notebook.reading.verb_walk import DONE, STATE
from notebook.reading.where_words import BARE, BE_NOW, HAD, Move, end_at, means_else, move, said_at, skip

_AS_STATES = frozenset({"off", "out", "apart", "undone", "open"})

_AWAY = frozenset({"off", "out", "away", "up", "down", "clear"})

_COMES = frozenset({"come", "go", "pop", "drop", "fall", "slide"})


def find_moves(line: Line) -> Iterator[Move]:
    """Give every part of a line that got off, out, apart, loose or back."""
    at = 0
    while at < len(line.words):
        end = end_at(line, at)
        if end is None:
            at += 1
            continue
        move = _turned(line, at, end) or _moved(line, at, end)
        if move is not None and move.end > line.own:
            yield move
        at = end


def _turned(line: Line, at: int, end: int) -> Move | None:
    """ "Out come the vanes", "off with its head", "off came the lid"."""
    said, action = said_at(line, at, end)
    if said not in ("off", "out", "away", "up") or (
        at and line.chunks[line.words[at - 1].at].kind not in ("conjunction", "adverb", "interjection", "subordinator")
    ):
        return None
    if line.base(end) not in _COMES and line.low(end) != "with":
        return None
    found = line.list_at(line.words[end + 1].at) if end + 1 < len(line.words) else None
    if found is None or line.first_word(line.words[end + 1].at) != end + 1:
        return None
    last = line.first_word(found[1])
    if line.next_low == "again" or line.low(last) == "again":
        return None
    return Move(
        action=action, cue=f"{said} {line.low(end)}", parts=line.chunks[found[0] : found[1]], start=at, end=last
    )


def _moved(line: Line, at: int, end: int) -> Move | None:
    said, _ = said_at(line, at, end)
    before = skip(line, at - 1)
    if before < 0:
        return None
    low = line.low(before)
    if line.words[before].is_part and is_thing(line.chunks[line.words[before].at]):
        return _after_part(line, at, end, before)
    if low in BE_NOW:
        return _is_there(line, at, end, before)
    if line.words[before].may_be_verb and (line.is_past(before) or line.base(before) == "come"):
        return _after_verb(line, at, end, before)
    if low in HAD and said in BARE | {"down", "back on", "back in"}:
        return move(line, at, end, start=before, subject_first=before, is_active=True)
    return None


def _is_there(line: Line, at: int, end: int, be: int) -> Move | None:
    """ "Drum's off", "leads are off the pressure switch", "nut's undone", "cap's back on"; not "off to", "out of true"."""
    said, action = said_at(line, at, end)
    if said not in _AS_STATES and action not in ("refitted", "opened"):
        return None
    if means_else(line, said, end):
        return None
    return move(line, at, end, start=be, subject_first=be, is_state=True)


def _after_part(line: Line, at: int, end: int, before: int) -> Move | None:
    """A part right before: "pulled | the drum | off", "had | the door | off", "that's | the drum | out", "gearbox | out"."""
    said, action = said_at(line, at, end)
    last = line.words[before].at
    first = _list_start(line, last)
    parts = line.chunks[first : last + 1]
    lead = skip(line, line.first_word(first) - 1)
    while lead >= 0 and line.chunks[line.words[lead].at].kind in (
        "determiner",
        "number",
        "thread",
        "adjective",
        "amount",
    ):
        lead -= 1
    low = line.low(lead)
    if means_else(line, said, end) and low not in HAD:
        return None
    if lead < 0 or low in ("and", "then", "so", "now", "but", "&"):
        return _bare(line, at, end, parts, first)
    if low in BE_NOW and lead and line.low(lead - 1) in ("that", "there", "this"):
        return move(line, at, end, start=lead - 1, parts=parts, is_state=True)
    if low in HAD:
        if line.low(lead - 1) in ("to", "would", "'d") or said in ("away", "up"):
            return None
        return move(line, at, end, start=lead, parts=parts, subject_first=_verb_start(line, lead), is_active=True)
    if low == "with" and lead == 0:
        return move(line, at, end, start=lead, parts=parts) if said in BARE else None
    if line.words[lead].may_be_verb and _does_move(line, lead, said, action):
        meant = how_meant(line, lead)
        if meant.time != DONE or meant.is_negative:
            return None
        return move(line, at, end, start=lead, parts=parts, subject_first=meant.first, verb=lead, is_active=True)
    return None


def _list_start(line: Line, at: int) -> int:
    while at >= 2 and line.chunks[at - 1].low in JOINS and is_thing(line.chunks[at - 2]):
        at -= 2
    return at


def _verb_start(line: Line, at: int) -> int:
    """Give where "'ve got", "have had", "I had" begin."""
    while at and line.low(at - 1) in ("'ve", "have", "just", "already", "now", "'s", "has", "finally"):
        at -= 1
    return at


def _does_move(line: Line, verb: int, said: str, action: str) -> bool:
    base = line.base(verb)
    if base in ("come", "be", "have", "get", "do"):
        return base == "get"
    if f"{base} {said}" in line.deeds.step["never"]:
        return False
    if base in line.deeds.step["never"]:
        return said not in _AWAY and base in ("break", "send", "work", "shake")
    return action != "refitted" or base in ("put", "pop", "slip", "bolt")


def _bare(line: Line, at: int, end: int, parts: Sequence[Chunk], first: int) -> Move | None:
    """ "Gearbox out", "both chains off", "prop nut off now", "cover off, four cap heads"; not "oil out the vent"."""
    said, action = said_at(line, at, end)
    if said not in BARE and action != "refitted":
        return None
    if not all(c.name for c in parts if c.low not in JOINS):
        return None
    if any(c.kind in ("verb", "aux") for c in line.chunks[:first]):
        return None
    after = line.chunk(end)
    if after is not None and after.is_part and (said != "off" or first > 0) and after.pronoun != "number":
        return None
    if (
        after is not None
        and not after.is_part
        and after.kind not in ("adverb", "conjunction", "number", "thread", "amount", "subordinator")
        and after.low not in ("with", "of", "from", "the", "a", "on", "without", "after")
    ):
        return None
    return move(line, at, end, start=line.first_word(first), parts=parts, is_state=True)


def _after_verb(line: Line, at: int, end: int, verb: int) -> Move | None:
    """A verb right before: "came off", "'s drawn off the stub", "pulled off the cover", "worm | lifted off"."""
    said, action = said_at(line, at, end)
    base = line.base(verb)
    steps = line.deeds.step
    if said == "up" and not (
        base in ("come", "lift") and line.low(end) in ("with", "out", "off", "from", "as", "in", "no")
    ):
        return None
    if said == "down" or (base != "come" and not _does_move(line, verb, said, action)):
        return None
    meant = how_meant(line, verb, moves=True)
    if meant.is_negative or (meant.time not in (DONE, STATE) and not (base == "come" and line.low(verb) == "came")):
        return None
    subject = line.chunks[line.words[meant.first - 1].at] if meant.first else None
    speaker = subject is not None and subject.pronoun in ("i", "we")
    has_subject = any(c.is_part and is_thing(c) for c in line.chunks[: line.words[verb].at])
    nxt = line.list_at(line.words[end].at) if end < len(line.words) else None
    if (speaker or not has_subject) and not meant.is_passive:
        if nxt is None or line.chunks[line.words[end].at].kind == "preposition":
            return (
                move(line, at, end, start=verb, subject_first=meant.first, verb=verb, is_active=True)
                if speaker
                else None
            )
        last = line.first_word(nxt[1])
        parts = line.chunks[nxt[0] : nxt[1]]
        return Move(
            action=action,
            cue=f"{line.low(verb)} {said}",
            parts=parts,
            start=verb,
            end=last,
            subject_first=meant.first,
            verb=verb,
            is_active=True,
            off=_from(line, nxt[1]),
        )
    if base not in steps["removed.moves"] and base not in ("split", "crack") and not meant.is_passive:
        return None
    if means_else(line, said, end) or line.low(end) == "like":
        return None
    return move(line, at, end, start=verb, subject_first=meant.first, verb=verb)


def _from(line: Line, chunk_at: int) -> Chunk | None:
    if (
        chunk_at + 1 < len(line.chunks)
        and line.chunks[chunk_at].low in ("from", "off")
        and line.chunks[chunk_at + 1].is_part
    ):
        return line.chunks[chunk_at + 1]
    return None
