"""Where a noise or a leak comes from: "that knock's coming from the big end", "the noise isn't in the bearing".

In: a clause and the state. Out: findings, empty when the clause says nothing of that kind.
Never says where it comes from when the clause only asks or supposes.
"""

from __future__ import annotations

from notebook.entries import Finding
from notebook.reading.bearers import part_after, resolve
from notebook.reading.clause import Clause
from notebook.reading.polarity import polarity_of
from notebook.reading.state import State

_HEARD = frozenset(
    {"noisy", "rumbling", "rattling", "knocking", "clonking", "squealing", "leaking", "weeping", "smoking"}
)
_FROM = frozenset({"from", "out", "in", "at", "off"})


def noise_from(clause: Clause, state: State) -> list[Finding]:
    """Read "the <noise> is (not) coming from the <part>"."""
    chunks = clause.chunks
    first = chunks[0]
    if first.kind != "condition" or first.tag != "noun" or first.conditions[0].term not in _HEARD or len(chunks) < 4:
        return []
    came = next((n for n, c in enumerate(chunks[1:6], 1) if c.low in ("coming", "comes", "came", "from")), None)
    if came is None or not any(
        c.kind == "aux" or c.cue == "negation.before" or c.kind == "verb" for c in chunks[1 : came + 1]
    ):
        return []
    after = part_after(chunks, came - 1 if chunks[came].low == "from" else came, _FROM)
    part = resolve(after[1], state.focus, state.lexicon) if after is not None else None
    if part is None or not part.component:
        return []
    presence, cue, degree = polarity_of(clause, came, state)
    return [
        Finding(
            component=part.component, position=part.position, condition=first.conditions[0].term, presence=presence or "present",
            degree=degree, span=state.span(clause.start, clause.end), cue=cue or first.low, rule="finding.noise_from", from_=part.from_,
        )
    ]  # fmt: skip
