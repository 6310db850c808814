"""Where what came off was put: "in bag three", "on the sill", with what lies there.

In: clauses of a remark. Out: storage entries. Never reads a finding.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import Storage
from notebook.reading.bearers import resolve
from notebook.reading.clause import FACT, INSTRUCTION, WARNING, Clause
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_PUTTING = frozenset(
    (
        "put goes go going gone stuck hung left stored bagged popped dropped laid stashed kept are is 're 's "
        "stick sat living lives sits sitting stowed tucked chucked set shoved parked tossed placed boxed away "
        "put's tied wired binned filed live"
    ).split()
)
_INTO = frozenset({"in", "into", "on", "onto", "under", "beside", "by", "inside", "intae", "to", "at"})
_LOOSE_PLACES = frozenset(
    (
        "bench floor wall van vice rag shop lid hook box case cup bin pan bowl boot board cloth barrow pallet "
        "sill windowsill ledge van bath freezer fridge"
    ).split()
)


def read_storage(clauses: Sequence[Clause], state: State) -> list[Storage]:
    """Give where things were put."""
    found: list[Storage] = []
    for n, clause in enumerate(clauses):
        if clause.mood not in (FACT, INSTRUCTION, WARNING):
            continue
        place = _place(clause)
        if place is None:
            continue
        at, text, end = place
        contents = _contents(clauses, n, at, state)
        start = min(clause.chunks[at].start, clause.start)
        found.append(
            Storage(place=text, contents=tuple(contents), span=state.span(start, end), cue=text, rule="storage")
        )
    return found


def _place(clause: Clause) -> tuple[int, str, int] | None:
    chunks = clause.chunks
    for at, chunk in enumerate(chunks):
        if not (chunk.is_part and chunk.container and chunk.name):
            continue
        head = singular(chunk.name.split()[-1])
        number = (
            chunks[at + 1]
            if (at + 1 < len(chunks) and chunks[at + 1].kind == "number")
            or (at + 1 < len(chunks) and chunks[at + 1].pronoun == "number")
            else None
        )
        is_first = at == 0 and (number is not None)
        led = at and any(chunks[i].low in _INTO for i in range(max(0, at - 2), at))
        if not (is_first or led):
            continue
        before = {w for c in chunks[:at] for w in c.low.split()}
        if head in _LOOSE_PLACES and number is None:
            if (
                head == "bin"
                or not before
                & {
                    "put",
                    "hung",
                    "left",
                    "stored",
                    "laid",
                    "stashed",
                    "goes",
                    "go",
                    "going",
                    "they",
                    "'re",
                    "are",
                    "stuck",
                    "sat",
                }
                or (
                    head in ("bench", "floor", "vice", "wall", "pan")
                    and not before & {"put", "left", "laid", "stored", "hung", "stuck"}
                )
            ):
                if not (len(chunk.name.split()) > 1 and (before & _PUTTING)):
                    continue
        if (
            not is_first
            and not before & _PUTTING
            and number is None
            and any(c.kind in ("verb", "aux") for c in chunks[:at])
        ):
            continue
        if any(c.kind == "condition" for c in chunks[:at]) and number is None:
            continue
        words = [w for w in chunk.low.split() if w not in ("the", "a", "an", "my", "that", "this")]
        end = chunk.end
        if number is not None:
            value = number.value if number.value is not None else number.count
            words.append(str(int(value or 0)))
            end = number.end
        tail = _place_tail(chunks, at + (2 if number is not None else 1))
        if tail:
            words.append(tail[0])
            end = tail[1]
        return at, " ".join(words), end
    return None


def _place_tail(chunks: Sequence[Chunk], at: int) -> tuple[str, int] | None:
    if (
        at + 1 < len(chunks)
        and chunks[at].low in ("on", "by", "under", "beside", "in", "behind", "next", "of")
        and chunks[at + 1].is_part
        and chunks[at + 1].name
    ):
        return f"{chunks[at].low} {chunks[at + 1].low}", chunks[at + 1].end
    return None


def _contents(clauses: Sequence[Clause], n: int, at: int, state: State) -> list[str]:
    clause = clauses[n]
    out = [
        _content(c, state)
        for c in clause.chunks[:at]
        if c.is_part and c.pronoun not in ("i", "you", "we") and not c.container
    ]
    if not out and at == 0:
        following = clauses[n + 1] if n + 1 < len(clauses) else None
        rest = clause.chunks[2:] + (following.chunks if following else [])
        text = [_content(c, state) for c in rest if c.is_part and c.name and not c.container]
        out = text
    if not out and state.focus.bearer and state.focus.bearer.component:
        out = [state.focus.bearer.component]
    return [c for c in out if c]


def _content(chunk: Chunk, state: State) -> str | None:
    if chunk.name and not chunk.is_unspecific:
        return " ".join(w for w in chunk.low.split() if w not in ("the", "a", "an", "my", "all", "both"))
    bearer = resolve(chunk, state.focus, state.lexicon)
    return bearer.component if bearer else None
