"""Works out which parts a deed is about: its object, else its subject, else what was just spoken of.

In: a line, a deed in it and how it is meant. Out: `Bearer`s, one a part of a list ("air filter, fuel filter and plug").
"The pair of them", "all four" and "the lot" are taken apart where it is plain which parts they are.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from notebook.reading.bearers import resolve
from notebook.reading.clause import Clause
from notebook.reading.deed_finder import Deed
from notebook.reading.focus import Bearer, is_sub_part
from notebook.reading.line import JOINS, Line, is_thing
from notebook.reading.sheets import Chunk
from notebook.reading.state import State
from notebook.reading.verb_walk import Meant

_SPEAKER = frozenset({"i", "we", "you", "ye", "they"})
_SMALL = frozenset({"adverb", "cue", "determiner", "interjection", "number", "thread"})
_GROUPS = frozenset({"lot", "set", "pair", "rest", "kit"})
_NO_OBJECT = frozenset(
    ["preposition", "subordinator", "conjunction", "condition", "aux", "verb", "particle", "question"]
)


def parts_of(line: Line, deed: Deed, meant: Meant, clause: Clause, state: State) -> list[Bearer]:
    """Give the parts a deed is about; one without a component where nothing is plain."""
    found = object_of(line, deed, meant, state) or subject_parts(line, meant.first, clause, state)
    if not found and state.focus.bearer is not None:
        found = [replace(state.focus.bearer)]
    return found or [Bearer(doubt="which part is not said")]


def object_of(line: Line, deed: Deed, meant: Meant, state: State) -> list[Bearer]:
    """Give the parts said as what the deed is done to: "bin the rotor", "having that skimmed"."""
    if meant.causative is not None:
        return resolve_all(line.chunks[meant.causative[0] : meant.causative[1]], state)
    if deed.slot is not None:
        return resolve_all(line.chunks[deed.slot[0] : deed.slot[1]], state)
    if meant.is_passive or deed.phrase.moves or deed.verb is None:
        return []
    return resolve_all(chunks_behind(line, deed.end), state)


def chunks_behind(line: Line, word: int) -> Sequence[Chunk]:
    """Give the chunks of the part, or list of parts, that begins at a word or behind small words there."""
    if word >= len(line.words):
        return ()
    at = line.words[word].at
    while at < len(line.chunks) and (
        (line.chunks[at].kind in _SMALL and line.list_at(at) is None) or line.chunks[at].pronoun in ("me", "us")
    ):
        at += 1
    found = line.list_at(at) if at < len(line.chunks) and line.chunks[at].kind not in _NO_OBJECT else None
    return () if found is None else line.chunks[found[0] : found[1]]


def subject_parts(line: Line, first: int, clause: Clause, state: State) -> list[Bearer]:
    """Give the parts before a verb: its subject, or what was named first ("left slider I've chucked")."""
    at = line.words[first - 1].at if first else -1
    while at >= 0:
        chunk = line.chunks[at]
        if is_thing(chunk) and chunk.pronoun not in _SPEAKER - {"they"} and not _is_place(chunk):
            head = _head_of(line, at)
            start = _list_start(line, head)
            found = resolve_all(line.chunks[start : head + 1], state)
            if start == 0 and found and line.own == 0:
                found = [*_listed_before(clause, line.chunks[start : head + 1], state), *found]
            if found:
                return found
            at = start
        elif chunk.kind == "part" and not is_thing(chunk) and at and chunk.pronoun not in _SPEAKER:
            return []
        at -= 1
    return []


def _head_of(line: Line, at: int) -> int:
    """ "Splines | on | the motor shaft": the first, when a phrase hangs on it."""
    while (
        at >= 2
        and line.chunks[at - 1].kind == "preposition"
        and line.chunks[at - 2].is_part
        and is_thing(line.chunks[at - 2])
    ):
        at -= 2
    return at


def _list_start(line: Line, at: int) -> int:
    while at >= 1:
        before = line.chunks[at - 1]
        if before.low in JOINS and at >= 2 and is_thing(line.chunks[at - 2]):
            at -= 2
        elif is_thing(before) and before.name and line.chunks[at].name and before.end != line.chunks[at].start:
            at -= 1
        else:
            return at
    return at


def _listed_before(clause: Clause, said: Sequence[Chunk], state: State) -> list[Bearer]:
    """ "Head, plate and sleeve are off": the parts named one by one before this clause belong to its list."""
    is_list = clause.joiner in ("and", "&") or (clause.joiner == "," and any(c.low in JOINS for c in said))
    if not is_list or not said[-1].name:
        return []
    return [b for b in state.focus.listed if b.component]


def _is_place(chunk: Chunk) -> bool:
    return chunk.container and not chunk.is_known


def resolve_all(chunks: Iterable[Chunk], state: State) -> list[Bearer]:
    """Say which parts chunks mean, each once."""
    found: list[Bearer] = []
    for chunk in chunks:
        if not is_thing(chunk):
            continue
        for bearer in _resolve(chunk, state):
            if bearer.component and any(
                (b.component, b.position) == (bearer.component, bearer.position) for b in found
            ):
                found = [bearer if b.component == bearer.component and bearer.count else b for b in found]
            elif bearer.component or bearer.doubt:
                found.append(bearer)
    return found


def _resolve(chunk: Chunk, state: State) -> list[Bearer]:
    head = (chunk.name or "").split()[-1:]
    if chunk.tool and not chunk.is_known and chunk.fastener is None:
        return []
    if chunk.name is None or (head and head[0] in _GROUPS and len((chunk.name or "").split()) == 1):
        group = _group(chunk, state)
        if group:
            return group
    bearer = resolve(chunk, state.focus)
    return [bearer] if bearer is not None else []


def _group(chunk: Chunk, state: State) -> list[Bearer]:
    """ "The pair of them", "both", "the lot", "all of them": the parts they stand for, when several were named."""
    words = chunk.low.split()
    is_two = chunk.count == 2 or "pair" in words or "both" in words
    is_all = bool({"lot", "set", "all", "everything"} & set(words))
    if not (is_two or is_all or chunk.pronoun in ("they", "them", "these", "those")):
        return []
    listed = state.focus.listed
    if len(listed) > 1 and (not is_two or len(listed) == 2):
        return list(listed)
    named = _named_parts(b for b in state.focus.named if b.is_named) or _named_parts(state.memory.named)
    if is_two and len(named) == 2 and "other" not in words:
        return named
    before = state.focus.bearer
    if before is None:
        return []
    if is_two and chunk.of in (None, 2) and "other" not in words:
        return [replace(before, component=state.focus.group or before.component, position=None, count=2, of=2)]
    if is_all:
        count = chunk.count or state.focus.total
        return [replace(before, component=state.focus.group or before.component, position=None, count=count, of=count)]
    return []


def _named_parts(named: Iterable[Bearer]) -> list[Bearer]:
    """Give the whole parts among those named, each once: the lip of a seal is not one more part."""
    whole: dict[str, Bearer] = {}
    for bearer in named:
        name = bearer.component or ""
        words = name.split()
        if is_sub_part(name):
            if len(words) < 2:
                continue
            name = " ".join(words[:-1])
        if name and not any(
            name != other and (name.endswith(f" {other}") or other.endswith(f" {name}")) for other in whole
        ):
            whole.setdefault(name, replace(bearer, component=name, count=None, of=None))
    return list(whole.values())
