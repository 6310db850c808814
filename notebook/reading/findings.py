"""Findings: which part is in what condition, said to be so, not to be so, or perhaps so.

In: a clause, and what was spoken of before. Out: findings. Only clauses that state a fact of this job count:
what usually happens, other jobs, questions, warnings and what would happen give none.

Examples: "two of the six shoes are cracked", "no scoring on the drum", "might be a crack by the keyway",
"nothing wrong with the pump", "couldn't get to the rear bearing".
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Entry, Finding
from notebook.reading.bearers import NOTHING_BEFORE, Bearer, part_after, resolve, subject_of, subjects_of
from notebook.reading.clause import ELSEWHERE, EXPECTED, HYPOTHETICAL, INSTRUCTION, QUESTION, USUAL, WARNING, Clause
from notebook.reading.condition_bearers import bearer_of
from notebook.reading.echoes import cleft_in, compared_in, echoed_in, instead_in
from notebook.reading.idle_words import is_idle
from notebook.reading.polarity import degree_of, polarity_of
from notebook.reading.sheets import Chunk
from notebook.reading.state import State

_NOT_FACTS = frozenset({QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, WARNING, INSTRUCTION})


def read_findings(clause: Clause, state: State) -> list[Finding]:
    """Give the findings a clause states."""
    if clause.mood in _NOT_FACTS:
        if clause.mood in (USUAL, ELSEWHERE) or (
            clause.mood == HYPOTHETICAL and clause.chunks[0].low in ("had", "were")
        ):
            state.shadow = _shadow(clause, state)
        return []
    if echoed := echoed_in(clause, state):
        return echoed
    if (denied := cleft_in(clause, state)) or (denied := instead_in(clause, state)):
        state.remember_findings(denied)
        return denied
    found: list[Finding] = []
    if not_looked := _not_inspected(clause, state):
        return [not_looked]
    subject, subject_at = subject_of(clause, state.focus, state.lexicon)
    found.extend(_attributes(clause, state))
    if wrong := _nothing_wrong(clause, state, subject):
        return [*found, wrong]
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind != "condition":
            continue
        finding = _finding(clause, at, chunk, state, subject, subject_at)
        if finding is not None:
            found.append(finding)
            found.extend(_for_others(finding, clause, subject, subject_at, state))
    if not found and (gone := _gone(clause, state, subject, subject_at)):
        found.append(gone)
    if not found and (empty := _without(clause, state, subject, subject_at)):
        found.append(empty)
    found.extend(compared_in(clause, state, subject, subject_at))
    found = _tidy_up(found)
    state.remember_findings(found)
    return found


def _for_others(
    finding: Finding, clause: Clause, subject: Bearer | None, subject_at: int, state: State
) -> list[Finding]:
    """Say the same of every part in "A and B are worn" or in a list just named."""
    bearers = subjects_of(clause, subject, subject_at, state.focus, state.lexicon)
    if (
        subject is None
        or len(bearers) < 2
        or (finding.component != subject.component and finding.component not in [b.component for b in bearers])
    ):
        return []
    return [
        replace(finding, component=b.component, position=b.position, count=b.count, of=b.of)
        for b in bearers
        if (b.component, b.position) != (finding.component, finding.position)
    ]


_AFTER_GONE = frozenset(
    {"", "off", "off the", "altogether", "completely", "entirely", "missing", "from", "in", "at", "on", "home"}
)


def _gone(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> Finding | None:
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


_LUBRICANTS = frozenset("grease lube lubricant lubrication oil".split())


def _without(clause: Clause, state: State, subject: Bearer | None, subject_at: int) -> Finding | None:
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
            named = resolve(chunk, state.focus, state.lexicon)
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


def _finding(
    clause: Clause, at: int, chunk: Chunk, state: State, subject: Bearer | None, subject_at: int
) -> Finding | None:
    condition = chunk.conditions[0]
    presence, cue, degree = polarity_of(clause, at, state)
    if presence is None:
        return None
    if chunk.is_negative:
        presence, cue = "absent", chunk.determiner
    if is_idle(clause, at, chunk, state):
        return None
    bearer, position = bearer_of(clause, at, chunk, state, subject, subject_at)
    if bearer is None:
        bearer = Bearer(doubt="which part is not said")
    if bearer.is_negative:
        presence, cue = ("present" if presence == "absent" else "absent"), cue or "none"
    if clause.mood == EXPECTED and clause.cue not in _OWNER_SAYS:
        return None
    term = condition.term
    if presence == "absent" and condition.polarity == "good" and term == "sound":
        term, presence = "bad", "present"
    if term == "no oil" and (
        after := part_after(
            clause.chunks, at, frozenset({"round", "around", "on", "past", "at", "under", "about", "behind"})
        )
    ):
        leaky = resolve(after[1], state.focus, state.lexicon)
        if leaky is not None and leaky.component:
            bearer, term, presence, position = leaky, "leaking", "absent", None
    if term == "dry" and presence == "present" and _is_seal(bearer.component):
        term, presence = "leaking", "absent"
    return Finding(
        component=bearer.component, position=position or bearer.position, condition=term, presence=presence,
        degree=degree or degree_of(chunk), count=bearer.count, of=bearer.of if bearer.count is not None else None,
        span=state.span(clause.chunks[min(at, max(subject_at, 0))].start if subject_at >= 0 else chunk.start, clause.end),
        doubt=bearer.doubt, cue=cue or chunk.low, rule=f"finding.{chunk.tag}", from_=bearer.from_,
    )  # fmt: skip


def _is_seal(component: str | None) -> bool:
    words = (component or "").split()
    return (
        bool(words)
        and words[-1] in ("seal", "gasket", "o-ring", "gland", "union", "hose", "washer", "damper", "ring")
        and words[-1] != "ring"
    )


_OWNER_SAYS = frozenset(
    {
        "owner says",
        "owner reckons",
        "customer says",
        "he says",
        "she says",
        "they say",
        "owner said",
        "he said",
        "she said",
        "they said",
        "told me",
        "reckoned",
    }
)


def settle_findings(entries: Sequence[Entry], clauses: Sequence[Clause], state: State) -> list[Entry]:
    """Settle what only the whole remark tells: parts named after their condition, "all but number five"."""
    out: list[Entry] = []
    for entry in entries:
        if isinstance(entry, Finding):
            entry = _all_but(_named_later(entry, state), clauses, state)
        out.append(entry)
    return [
        e for n, e in enumerate(out) if not any(_says_again(e, later) or _takes_out(e, later) for later in out[n + 1 :])
    ]


def _takes_out(carried: Entry, later: Entry) -> bool:
    """ "Same story on the motor side, except that one isn't chipped": what is denied after was not the same."""
    return (
        isinstance(carried, Finding)
        and isinstance(later, Finding)
        and carried.rule == "finding.carried"
        and later.presence == "absent"
        and later.condition == carried.condition
        and later.count is None
        and later.position is None
    )


def _says_again(first: Entry, later: Entry) -> bool:
    """ "Slightly scored ... no, quite badly scored": of the same said twice in one breath the later stands."""
    if not (isinstance(first, Finding) and isinstance(later, Finding)):
        return False
    return (first.component, first.position, first.condition, first.presence, first.count) == (
        later.component, later.position, later.condition, later.presence, later.count,
    )  # fmt: skip


def _named_later(finding: Finding, state: State) -> Finding:
    """ "It's not cracked, that's just a casting mark on the flange": the part comes after."""
    if (
        finding.component is not None
        or finding.doubt != NOTHING_BEFORE
        or not state.focus.named
        or finding.count is not None
    ):
        return finding
    named = state.focus.named[0]
    return replace(finding, component=named.component, position=finding.position or named.position, doubt=None)


_EXCEPT = re.compile(
    r"^(?:except|bar|apart from|but for|other than|save)(?: for)? (?:the )?(number|one|two|three|first|last|second|third|fourth|fifth|sixth|\w+ one)\b"
)


def _all_but(finding: Finding, clauses: Sequence[Clause], state: State) -> Finding:
    """ "All eight studs are good except number five" are seven of eight."""
    if finding.count is None or finding.of != finding.count:
        return finding
    for clause in clauses:
        said = _EXCEPT.match(clause.low)
        if said and clause.start >= 0 and state.span(clause.start, clause.end)[0] >= finding.span[0]:
            less = {"two": 2, "three": 3}.get(said.group(1), 1)
            return replace(finding, count=finding.count - less)
    return finding


def _attributes(clause: Clause, state: State) -> list[Finding]:
    """Read conditions said before the noun: "there's a cracked tooth", "two bent spokes"."""
    found = []
    for at, chunk in enumerate(clause.chunks):
        if (
            not chunk.is_part
            or not chunk.attributes
            or chunk.determiner in ("the", "that", "this", "those", "these", "any", "no", "every", "my", "your")
        ):
            continue
        if any(c.low in ("wants", "need", "needs", "order", "want") for c in clause.chunks[:at]):
            continue
        bearer = resolve(chunk, state.focus, state.lexicon)
        if bearer is None or bearer.component is None:
            continue
        presence, cue, degree = polarity_of(clause, at, state)
        for condition, text in chunk.attributes:
            found.append(
                Finding(
                    component=bearer.component, position=bearer.position, condition=condition.term, presence=presence or "present",
                    degree=degree, count=bearer.count, of=bearer.of, span=state.span(chunk.start, chunk.end), cue=cue or text,
                    rule="finding.attribute",
                )
            )  # fmt: skip
    return found


def _shadow(clause: Clause, state: State) -> list[Finding]:
    """What a clause about other machines would have found, for "... but nothing on this one"."""
    subject, subject_at = subject_of(clause, state.focus, state.lexicon)
    found = []
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind == "condition":
            finding = _finding(clause, at, chunk, state, subject, subject_at)
            if finding is not None:
                found.append(finding)
    return found or state.shadow


_FAULTLESS = (
    "nothing wrong with", "nothing the matter with", "nowt wrong with", "nothing amiss with", "no complaints about", "no complaints with",
    "nothing up with", "no issues with", "no fault in", "no faults in", "no problem with", "no problems with", "can't fault", "nothing wrong",
    "not a thing wrong with", "no faults on", "nothing bad to say about", "no worries with", "no fault with", "happy with", "nothing to report on",
    "no trouble with", "no issue with", "couldn't fault", "nothing actually wrong with", "not a thing wrong",
)  # fmt: skip


def _nothing_wrong(clause: Clause, state: State, subject: Bearer | None) -> Finding | None:
    text = clause.low
    said = next((p for p in _FAULTLESS if p in text), None)
    if said is None or any(f"not {said}" in text or f"{n} {said}" in text for n in ("not", "isn't", "aren't", "ain't")):
        return None
    end = text.index(said) + len(said)
    length = 0
    bearer = subject
    for chunk in clause.chunks:
        length += len(chunk.low) + 1
        if length > end and chunk.is_part and (named := resolve(chunk, state.focus, state.lexicon)):
            if not (
                chunk.pronoun in ("it", "they", "that", "this", "these") and subject is not None and subject.is_named
            ):
                bearer = named
            break
    if bearer is None:
        bearer = Bearer(doubt="which part is not said")
    return Finding(
        component=bearer.component, position=bearer.position, condition="sound", presence="present", count=bearer.count, of=bearer.of,
        span=state.span(clause.start, clause.end), cue=said, rule="finding.faultless", doubt=bearer.doubt,
    )  # fmt: skip


def _not_inspected(clause: Clause, state: State) -> Finding | None:
    for at, chunk in enumerate(clause.chunks):
        if chunk.kind != "cue" or chunk.cue != "not_looked.said":
            continue
        for part in [*clause.chunks[at + 1 :], *reversed(clause.chunks[:at])]:
            if part.is_part and (bearer := resolve(part, state.focus, state.lexicon)) and bearer.component:
                return Finding(
                    component=bearer.component, position=bearer.position, condition="not inspected", presence="present", count=bearer.count,
                    of=bearer.of, span=state.span(clause.start, clause.end), cue=chunk.low, rule="finding.not_inspected",
                )  # fmt: skip
        if state.focus.bearer is not None:
            return Finding(
                component=state.focus.bearer.component, position=state.focus.bearer.position, condition="not inspected",
                span=state.span(clause.start, clause.end), cue=chunk.low, rule="finding.not_inspected",
            )  # fmt: skip
    return None


def _tidy_up(found: Sequence[Finding]) -> list[Finding]:
    """Drop a second mention of the same condition on the same part in one clause."""
    out: list[Finding] = []
    for finding in found:
        if all(
            (f.component, f.position, f.condition, f.presence)
            != (finding.component, finding.position, finding.condition, finding.presence)
            for f in out
        ):
            out.append(finding)
    return out
