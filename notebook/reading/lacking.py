"""What is gone or was never there: a part that is missing, or what a part has none of.

In: a clause and its subject. Out: a finding, or None.

Examples: "two teeth gone off it", "gearhead's got no grease in it", "there's no lining left on that shoe".
"""

from __future__ import annotations

from notebook.entries import Finding
from notebook.reading.bearers import part_after, resolve
from notebook.reading.clause import Clause
from notebook.reading.focus import Bearer
from notebook.reading.state import State

_AFTER_GONE = frozenset(
    {"", "off", "off the", "altogether", "completely", "entirely", "missing", "from", "in", "at", "on", "home"}
)


def find_gone(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> Finding | None:
    """ "Two teeth gone off it" are missing; "the seal's gone" is worn out."""
    for at, chunk in enumerate(clause.chunks):
        if chunk.low != "gone" or subject is None or not subject.component:
            continue
        following = clause.chunks[at + 1].low if at + 1 < len(clause.chunks) else ""
        if following not in _AFTER_GONE or (subject_at < 0 and not any(c.kind == "aux" for c in clause.chunks[:at])):
            return None
        several = subject.count is not None or (subject.component or "").split()[-1] in (
            "tooth",
            "bolt",
            "screw",
            "nut",
            "rivet",
            "clip",
            "circlip",
            "ball",
            "roller",
            "stud",
            "pin",
            "washer",
            "shim",
            "key",
        )
        return Finding(
            component=subject.component, position=subject.position, condition="missing" if several else "worn out", count=subject.count, of=subject.of if subject.count else None,
            span=state.span(clause.start, clause.end), cue="gone", rule="finding.gone", doubt=subject.doubt, from_=subject.from_,
        )  # fmt: skip
    return None


_STUFF = frozenset("meat life adjustment travel lining tread thread material wear edge spring tension".split())
""" "No meat left on the brushes": what is left, or not, of a part."""

_LUBRICANTS = frozenset("grease lube lubricant lubrication oil".split())


def find_none_left(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> Finding | None:
    """ "Gearhead's got no grease in it" is dry; "there's no lining left on that shoe" is worn out."""
    chunks = clause.chunks
    for at, chunk in enumerate(chunks):
        if not (chunk.is_part and chunk.name):
            continue
        is_none = chunk.is_negative or (
            at > 0 and chunks[at - 1].cue == "negation.before" and chunks[at - 1].low in ("no", "not any")
        )
        after = chunks[at + 1].low if at + 1 < len(chunks) else ""
        if not is_none:
            continue
        if after == "left" and not chunk.is_unspecific:
            named = resolve(chunk, state.focus)
            if chunk.name.split()[-1] in _STUFF:
                owner = part_after(chunks, at + 1, frozenset({"on", "in", "to", "of"}))
                named = (resolve(owner[1], state.focus) if owner else None) or subject
            if named is not None and named.component:
                return Finding(
                    component=named.component, position=named.position, condition="worn out", count=subject.count if subject else None,
                    of=subject.of if subject and subject.count else None, span=state.span(clause.start, clause.end),
                    cue="no ... left", rule="finding.none_left", from_=named.from_,
                )  # fmt: skip
        if chunk.name.split()[-1] in _LUBRICANTS and 0 <= subject_at < at and subject is not None and subject.component:
            return Finding(
                component=subject.component, position=subject.position, condition="dry", count=subject.count,
                of=subject.of if subject.count else None, span=state.span(clause.start, clause.end), cue=f"no {chunk.name}",
                rule="finding.unlubricated", from_=subject.from_,
            )  # fmt: skip
    return None
