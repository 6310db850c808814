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


_FLUIDS = frozenset(
    "oil grease water fuel diesel petrol coolant fluid air gas steam compression hydraulic lube pressure".split()
)
_ESCAPES = frozenset(
    "coming come comes came getting gets got got running runs ran pouring pours weeping weeps seeping seeps dripping drips leaking leaks "
    "creeping going goes went pushing pushed pushes escaping escapes dribbling dribbles blowing blows finding oozing".split()
)
_PAST = frozenset({"past", "from", "by", "round", "around", "through", "out", "of", "between", "behind"})


def fluid_past(clause: Clause, state: State) -> list[Finding]:
    """Read "there's grease weeping past the seal", "no oil coming out of the gland": the seal leaks."""
    chunks = clause.chunks
    for at, chunk in enumerate(chunks[:-2]):
        named = (chunk.name or chunk.low).split()[-1:]
        is_fluid = bool(named) and named[0] in _FLUIDS and (chunk.is_part or chunk.kind == "condition")
        escape = next(
            (n for n in (at + 1, at + 2, at + 3) if n < len(chunks) and chunks[n].low.split()[0] in _ESCAPES), None
        )
        if not is_fluid or escape is None or (after := part_after(chunks, escape, _PAST)) is None:
            continue
        part = resolve(after[1], state.focus)
        others = [c for n, c in enumerate(chunks) if c.kind == "condition" and n not in (at, escape)]
        if part is None or not part.component or after[1].is_unspecific or part.is_place or others:
            continue
        presence, cue, degree = polarity_of(clause, at, state)
        presence = "absent" if chunk.is_negative or chunk.low.startswith("no ") else presence
        term = "weeping" if chunks[escape].low.startswith("weep") else "leaking"
        return [
            Finding(
                component=part.component, position=part.position, condition=term, presence=presence or "present", degree=degree,
                span=state.span(clause.start, clause.end), cue=cue or chunks[escape].low, rule="finding.fluid_past", from_=part.from_,
            )
        ]  # fmt: skip
    return []


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
    part = resolve(after[1], state.focus) if after is not None else None
    if part is None or not part.component:
        return []
    presence, cue, degree = polarity_of(clause, came, state)
    return [
        Finding(
            component=part.component, position=part.position, condition=first.conditions[0].term, presence=presence or "present",
            degree=degree, span=state.span(clause.start, clause.end), cue=cue or first.low, rule="finding.noise_from", from_=part.from_,
        )
    ]  # fmt: skip
