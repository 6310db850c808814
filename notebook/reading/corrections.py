"""Corrections of an earlier remark: "scratch that last one", "no wait, it's 159", "sorry, the stick's 39 and a half".

In: clauses of a remark. Out: a correction, or None. A correction inside a remark is the tidier's ("six, no, eight screws").
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from notebook.entries import Correction
from notebook.reading.advice import pattern
from notebook.reading.clause import QUESTION, Clause
from notebook.reading.marking import plain_words
from notebook.reading.state import State

_SAID_BEFORE = ("i said", "i meant", "what i said")
_TURNS = re.compile(r"\b(?:sorry|no|wait|correction)\b")
_FIRST_CLAUSES = 4
"""A correction stands at the beginning of a remark."""


def read_correction(clauses: Sequence[Clause], state: State) -> Correction | None:
    """Give a correction of an earlier remark; None when there is none."""
    for n, clause in enumerate(clauses[:_FIRST_CLAUSES]):
        text = plain_words(clause)
        whole = pattern("correction", "all", before="taking_back").match(text)
        said = whole or pattern("correction", "value", before="taking_back").match(text)
        if said is None or (whole is None and any(map(_has_value, clauses[:n]))):
            continue  # "it's G 1/4, no, tell a lie, G 3/8" puts right what was said in this breath
        so_far = " ".join(plain_words(c) for c in clauses[: n + 1])
        if (
            said["said"].startswith(_SAID_BEFORE)
            and not _TURNS.search(so_far)
            and "but" not in [c.joiner for c in clauses]
        ):
            continue
        has_value = any(_has_value(c) for c in clauses[n:])
        return Correction(
            scope="last remark" if whole or not has_value else "value", target=state.memory.line,
            span=state.span(clauses[0].start, clause.end), cue=said["said"], rule="correction",
            doubt=None if state.memory.line else "nothing said before for this to undo",
        )  # fmt: skip
    return _says_again(clauses, state)


def _has_value(clause: Clause) -> bool:
    return any(c.kind in ("amount", "number", "thread") or (c.is_part and c.count) for c in clause.chunks)


def _says_again(clauses: Sequence[Clause], state: State) -> Correction | None:
    """ "Sorry, the stick's thirty nine and a half": a figure said again after one in the remark before."""
    text = " ".join(plain_words(c) for c in clauses[:_FIRST_CLAUSES])
    said = re.match(rf"({pattern('correction', 'sorry').pattern})\b", text.replace(" ,", ""))
    if said is None or state.memory.line is None or clauses[-1].mood == QUESTION or not any(map(_has_value, clauses)):
        return None
    first = clauses[0]
    return Correction(
        scope="value", target=state.memory.line, span=state.span(first.start, first.chunks[0].end), cue=said.group(1),
        rule="correction.again",
    )  # fmt: skip
