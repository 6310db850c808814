"""Settles what only a whole remark tells of its findings.

In: the entries of a remark and its clauses. Out: the entries, parts named later filled in, what is said twice left out.

Examples: "it's not cracked, that's just a casting mark on the flange", "all eight studs are good except number five".
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Entry, Finding
from notebook.reading.bearers import NOTHING_BEFORE
from notebook.reading.clause import Clause
from notebook.reading.state import State


def settle_findings(entries: Sequence[Entry], clauses: Sequence[Clause], state: State) -> list[Entry]:
    """Settle what only the whole remark tells: parts named after their condition, "all but number five"."""
    out: list[Entry] = []
    for entry in entries:
        if isinstance(entry, Finding):
            entry = _doubted_after(_all_but(_named_later(entry, state), clauses, state), clauses, state)
        out.append(entry)
    findings = [e for e in out if isinstance(e, Finding)]
    undone = {
        id(e)
        for n, e in enumerate(findings)
        if any(_says_again(e, later) or _takes_out(e, later) or _takes_back(e, later) for later in findings[n + 1 :])
        or _is_said_better(e, findings)
    }
    return [e for e in out if id(e) not in undone]


def _doubted_after(finding: Finding, clauses: Sequence[Clause], state: State) -> Finding:
    """ "The seal is torn, | I suspect": a doubt said behind makes it possible."""
    if finding.presence != "present":
        return finding
    for before, clause in itertools.pairwise(clauses):
        is_doubt = all((c.cue or "").startswith("hedge.") or c.kind == "adverb" for c in clause.chunks)
        if (
            is_doubt
            and clause.sentence == before.sentence
            and finding.span[1] == state.span(before.start, before.end)[1]
        ):
            return replace(finding, presence="possible", cue=clause.low)
    return finding


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


_SAYS_LESS = {
    "locked up": frozenset({"seized", "stuck", "rusted solid"}),
    "bad": frozenset({"worn out", "broken", "cracked", "seized"}),
    "tired": frozenset({"worn out", "weak", "worn"}),
}
"""What a term adds nothing to: "won't turn, it's seized solid"."""


def _is_said_better(first: Entry, others: Sequence[Entry]) -> bool:
    if not isinstance(first, Finding) or first.presence != "present" or first.condition not in _SAYS_LESS:
        return False
    return any(
        isinstance(e, Finding)
        and e.presence == "present"
        and e.component == first.component
        and e.condition in _SAYS_LESS[first.condition]
        for e in others
    )


def _takes_back(first: Entry, later: Entry) -> bool:
    """ "He said it was seized, it's not": of the same part and condition the denial that comes after stands."""
    return (
        isinstance(first, Finding)
        and isinstance(later, Finding)
        and (first.presence, later.presence) == ("present", "absent")
        and later.rule in ("finding.echo", "finding.alike")
        and (first.component, first.condition, first.position) == (later.component, later.condition, later.position)
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
