"""Fasteners: what holds a part, how many, which thread, head and key, and how they came.

In: clauses of a remark in order. Out: fasteners; a set that is said in groups gives one a group.
Broken, bent and sheared fasteners are findings, not states; those are left to the findings rules.

Example: "cover's on eight M8 bolts, 13 mil heads, six came out free, two were seized and wanted heat".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Fastener
from notebook.reading.clause import ELSEWHERE, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.drivers import driver_at
from notebook.reading.fastener_sets import FastenerSet, name_sets
from notebook.reading.fastener_shares import REST, WHOLE, Share, find_shares
from notebook.reading.fastener_states import heat_in, states_in
from notebook.reading.focus import Bearer
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_NOT_MEANT = frozenset({QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, INSTRUCTION})
_STOPS = frozenset({".", ";", "!", "?", "...", "…"})


def read_fasteners(clauses: Sequence[Clause], subjects: Sequence[Bearer | None], state: State) -> list[Fastener]:
    """Give the fasteners of a remark; `subjects` is what each clause is about."""
    meant = [(c, s) for c, s in zip(clauses, subjects, strict=True) if _is_meant(c)]
    sets: list[FastenerSet] = []
    for clause, subject in meant:
        name_sets(clause, subject, sets, state)
    if not sets:
        return [_entry(s, state) for s in _of_the_remark_before(meant, state) if s.says_enough]
    found: list[FastenerSet] = []
    for n, named in enumerate(sets):
        stop = sets[n + 1].start if n + 1 < len(sets) else len(state.tidied.pieces)
        found.append(named)
        found.extend(_tell(named, [c for c, _ in meant], named.end, stop, state))
    return [_entry(s, state) for s in found if s.says_enough]


def _is_meant(clause: Clause) -> bool:
    if clause.mood in _NOT_MEANT:
        return False
    return clause.mood != WARNING or any(driver_at(clause.chunks, at) for at in range(len(clause.chunks)))


def _of_the_remark_before(meant: Sequence[tuple[Clause, Bearer | None]], state: State) -> list[FastenerSet]:
    """ "One of them's rounded", said right after the set was: of what was spoken of."""
    before = state.memory.bearer
    if before is None or before.fastener is None or not meant:
        return []
    named = FastenerSet(component=_without_form(before), form=before.fastener, count=before.count, is_share=True)
    whole = replace(named)
    shares = _tell(whole, [c for c, _ in meant], 0, len(state.tidied.pieces), state)
    is_told = bool(whole.state) or whole.heat is not None
    return [*([whole] if is_told else []), *shares]


def _without_form(bearer: Bearer) -> str | None:
    """ "Sump plug bolt" holds the sump plug."""
    name, form = bearer.component or "", bearer.fastener or ""
    last = form.split()[-1] if form else ""
    if last and name.endswith(last) and name != form and len(name) > len(last):
        return name[: -len(last)].strip() or name
    return bearer.component


def _tell(named: FastenerSet, clauses: Sequence[Clause], start: int, stop: int, state: State) -> list[FastenerSet]:
    """Add how a set came to it, and give the shares of it that came otherwise."""
    shares = find_shares(state.tidied.pieces, start, stop)
    limits = [s.start for s in shares] + [stop]
    _take_states(named, _stretch(clauses, named.start, limits[0], state, is_first=True))
    out: list[FastenerSet] = []
    for share, end in zip(shares, limits[1:], strict=True):
        chunks = _stretch(clauses, share.start, end, state)
        part = named if share.kind == WHOLE else _share(named, share, out)
        before = (list(part.state), part.heat)
        _take_states(part, chunks)
        if part is named:
            continue
        if before != (part.state, part.heat) and part.count != named.count:
            out.append(part)
        elif before != (part.state, part.heat):
            named.state.extend(s for s in part.state if s not in named.state)
            named.heat = part.heat if part.heat is not None else named.heat
    return out


def _share(named: FastenerSet, share: Share, earlier: Sequence[FastenerSet]) -> FastenerSet:
    count = share.count
    if share.kind == REST:
        told = sum(s.count or 0 for s in earlier)
        count = named.count - told if named.count is not None and named.count > told else None
    return FastenerSet(
        component=named.component, form=named.form, count=count, position=share.position, start=share.start, end=share.start + 1,
        is_share=True,
    )  # fmt: skip


def _stretch(clauses: Sequence[Clause], start: int, end: int, state: State, *, is_first: bool = False) -> list[Chunk]:
    """Give the chunks of pieces [start, end), no further than the sentence or the next part that is spoken of."""
    pieces = state.tidied.pieces
    at = next(
        (n for n in range(start, min(end, len(pieces))) if pieces[n].kind == "sign" and pieces[n].low in _STOPS), end
    )
    out: list[Chunk] = []
    last: Chunk | None = None
    for clause in clauses:
        is_cut = last is not None and last.end == clause.start and last.kind in ("preposition", "adverb", "determiner")
        last = clause.chunks[-1]
        if clause.start >= at or clause.end <= start:
            continue
        if clause.start > start and not is_cut and _is_of_another(clause):
            break
        out.extend(c for c in clause.chunks if start <= c.start < at or (is_first and c.start <= start < c.end))
    return out


def _is_of_another(clause: Clause) -> bool:
    """Tell a clause whose subject is another part: "..., gasket's stuck to both faces"."""
    first = next((c for c in clause.chunks if c.is_part), None)
    if first is None or first.name is None or first.fastener is not None or first.is_unspecific or first.tool:
        return False
    at = clause.chunks.index(first)
    return all(c.kind in ("determiner", "adverb", "conjunction", "interjection") for c in clause.chunks[:at])


def _take_states(told: FastenerSet, chunks: Sequence[Chunk]) -> None:
    said, heat = states_in(chunks), heat_in(chunks)
    told.state.extend(s for s in said if s not in told.state)
    told.heat = heat if heat is not None else told.heat
    if (said or heat is not None) and chunks:
        told.end = max(told.end, chunks[-1].end)


def _entry(told: FastenerSet, state: State) -> Fastener:
    end = min(max(told.end, told.start + 1), len(state.tidied.pieces))
    return Fastener(
        component=told.component, position=told.position, count=told.count, thread=told.thread, form=told.form, length=told.length,
        driver=told.driver, state=tuple(dict.fromkeys(told.state)), heat=told.heat, span=state.span(told.start, end), rule="fastener",
    )  # fmt: skip
