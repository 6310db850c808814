"""Reads what is to go in new: "so new seal", "it's having a new tab washer", "a new sprocket and a new chain", "so new ones".

In: a line and the dispositions already read of its clause. Out: dispositions `replace`.
Never takes "like new", "went in new at ten thousand" or "the new one's tight" for a plan.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import Disposition
from notebook.reading.clause import Clause
from notebook.reading.deed_parts import resolve_all, subject_parts
from notebook.reading.focus import Bearer
from notebook.reading.line import JOINS, Line
from notebook.reading.sheets import Chunk
from notebook.reading.state import State
from notebook.reading.verb_walk import NEGATIVE

_NEW = frozenset({"new", "fresh", "replacement", "different"})
_TAKERS = frozenset(
    [
        "need",
        "want",
        "get",
        "have",
        "having",
        "getting",
        "put",
        "fit",
        "make",
        "buy",
        "go",
        "take",
        "fitting",
        "putting",
        "making",
        "use",
        "deserve",
        "require",
        "do",
        "cut",
        "knock",
        "find",
    ]
)
"""Verbs before "a new X" that make it a plan, in forms that are not past."""
_PAST = frozenset(["had", "got", "was", "were", "went", "been", "came", "made", "fitted", "put", "came", "'ve", "took"])
_LIKENESS = frozenset({"like", "as", "than", "the", "of", "with", "on", "at", "in", "from"})
_SAID_OF = frozenset(["is", "are", "'s", "'re", "was", "were", "isn't", "aren't", "wasn't"])
_OPENERS = frozenset({"so", "and", "then", "but", ",", ""})
_ONES = frozenset({"one", "ones"})


def read_new_parts(line: Line, clause: Clause, state: State, found: Sequence[Disposition]) -> list[Disposition]:
    """Give `replace` for every part that is to be new."""
    out: list[Disposition] = []
    if any(d.action in ("order", "replace") and d.rule != "disposition.list" for d in found):
        return out
    for at, chunk in enumerate(line.chunks):
        if not _is_new(chunk):
            continue
        is_done = _is_fitted(line, at)
        if not is_done and not _is_planned(line, at, clause):
            continue
        for bearer in _who(line, at, clause, state):
            out.append(
                Disposition(
                    component=bearer.component, position=bearer.position, action="replace", count=bearer.count,
                    done=True if is_done else None, span=state.span(clause.start, clause.end), cue="new", rule="disposition.new", doubt=bearer.doubt, from_=bearer.from_,
                )
            )  # fmt: skip
    return out


def _is_new(chunk: Chunk) -> bool:
    if not chunk.is_part or chunk.is_negative:
        return False
    words = set(chunk.adjectives) | ({"new", "fresh"} & set(chunk.low.split()) if chunk.pronoun in _ONES else set())
    return bool(words & _NEW) and chunk.determiner not in ("the", "my", "his", "that", "this", "these", "those", "its")


_FITTED = frozenset({"fitted", "installed", "put", "popped", "pressed", "fit"})


def _is_fitted(line: Line, at: int) -> bool:
    """ "Fitted a new spring", "new lining fitted today": it has been done, on this job; "a new one was fitted at 34,000" tells of before."""
    before, after = line.chunks[:at], line.chunks[at + 1 :]
    if any(c.kind == "amount" for c in after) or {w for c in before for w in c.low.split()} & NEGATIVE:
        return False
    if not before and after and after[0].kind == "verb" and after[0].low in _FITTED:
        return True
    verbs = [c for c in before if c.kind in ("verb", "aux") and c.low not in ("'ve", "have", "just")]
    subject = next((c for c in before if c.is_part), None)
    return (
        len(verbs) == 1
        and verbs[0].low in _FITTED
        and verbs[0].tag != "B"
        and (subject is None or subject.pronoun in ("i", "we"))
        and not any(c.low in ("'ll", "will", "to", "going", "need", "needs") for c in before)
    )


def _is_planned(line: Line, at: int, clause: Clause) -> bool:
    """Tell "so new seals", "needs a new axle", "it's new bushes" from "like new" and "a new one was fitted"."""
    before, after = line.chunks[:at], line.chunks[at + 1 :]
    lows = {w for c in before for w in c.low.split()}
    if lows & NEGATIVE or any(c.kind in ("amount", "condition") for c in after):
        return False
    if after and after[0].low in _SAID_OF:
        return False
    if before and (before[-1].low in _LIKENESS or before[-1].low in ("was", "were")):
        return False
    verbs = [c for c in before if c.kind in ("verb", "aux")]
    if not verbs:
        return (
            clause.joiner in _OPENERS
            and not any(c.is_part for c in before if not _is_new(c))
            and not _goes_on_otherwise(after)
        )
    last = verbs[-1]
    if last.low in ("'s", "is", "are", "'re") and before[-1] is last:
        subject = before[-2] if len(before) > 1 else None
        return (
            subject is not None
            and subject.pronoun in ("it", "that", "they", "this")
            and (clause.joiner in ("so", "and", "then") or at + 1 < len(line.chunks))
        )
    if any(c.low in _PAST for c in verbs) and not any(c.low in ("'ll", "will", "to", "going") for c in before):
        return last.low == "got" and bool({"has", "'s", "have", "'ve"} & lows) and "to" in lows
    return line.deeds.base_of(last.low) in _TAKERS or any(
        c.low in ("'ll", "will", "to", "going", "need", "needs", "wants", "want") for c in before
    )


def _goes_on_otherwise(after: Sequence[Chunk]) -> bool:
    """ "New seals going in" is a plan; "new seal leaked", "new ones from the maker say" are not."""
    return any(c.kind == "verb" and c.low not in ("going", "goes", "go", "please", "needed", "required") for c in after)


def _who(line: Line, at: int, clause: Clause, state: State) -> list[Bearer]:
    chunk = line.chunks[at]
    if chunk.pronoun not in _ONES and (chunk.name or "") not in ("set", "pair", "lot", "one"):
        last = at + 1
        while (
            last + 1 < len(line.chunks)
            and line.chunks[last].low in JOINS
            and line.chunks[last + 1].name
            and not _is_new(line.chunks[last + 1])
        ):
            last += 2
        return resolve_all(line.chunks[at:last], state)
    verb = next((n for n, c in enumerate(line.chunks[:at]) if c.kind in ("verb", "aux")), at)
    subject = subject_parts(line, line.first_word(verb), clause, state) if verb else []
    if subject:
        return subject
    return [state.focus.bearer] if state.focus.bearer is not None else [Bearer(doubt="which part is not said")]
