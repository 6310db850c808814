"""Steps: what was done to get there.

In: a clause, and what was spoken of before. Out: steps of this job, in the order said.
What will be done is no step; what somebody else did is no step; moving on is no step.

Examples: "brake band's off", "that's the drum out", "whipped the guard off the flywheel", "out come the vanes",
"had to rattle it out", "when I pulled the cover ...", "backed the anvil off a turn", "nut's back on finger tight".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Step
from notebook.reading.bearers import Bearer, resolve
from notebook.reading.chunks import Chunk
from notebook.reading.clauses import ELSEWHERE, EXPECTED, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.deed_parts import chunks_behind, object_of, resolve_all, subject_parts
from notebook.reading.doers import ME, OTHER, doer_of
from notebook.reading.line import Deed, Line, find_deeds, is_thing, lay_out, past_form
from notebook.reading.meant import DONE, NEGATIVE, STATE, TOLD, Meant, how_meant
from notebook.reading.state import State
from notebook.reading.whereabouts import find_ends

_NOT_DONE = frozenset({QUESTION, USUAL, HYPOTHETICAL, WARNING, INSTRUCTION})
_NOT_YET = frozenset("before when once till until if unless whenever while as".split())
"""A state in a clause joined by one of these has still to come: "once the capstan's off you can ..."."""


def read_steps(clause: Clause, state: State) -> list[Step]:
    """Give what a clause says was done."""
    if clause.mood in _NOT_DONE or (clause.mood == ELSEWHERE and not is_here(clause)):
        return []
    line = lay_out(clause, state)
    found: list[Step] = []
    for deed in find_deeds(line, "step"):
        found.extend(_of_deed(line, deed, clause, state))
    return found
