"""Where a job was left, in ten lines: for whoever goes on with it.

In: a log, the facts of its parts, its gaps, the places of the shop. Out: at most ten lines. Adds nothing that was not said.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.entries import Promise, Step
from notebook.errors import one_line
from notebook.log.facts import PartFacts, live_entries
from notebook.log.gaps import Gap
from notebook.log.places import Place
from notebook.log.standing import find_proposals, undecided
from notebook.nouns import Log, Remark

MOST_LINES = 10
_MOST_NAMES = 6
_LONGEST = 160


def where_left(log: Log, parts: Sequence[PartFacts], gaps: Sequence[Gap], places: Sequence[Place]) -> tuple[str, ...]:
    """Say who worked on it, what was said last, what came off last, what was promised and decided, what is open, what lies where."""
    if not log.remarks:
        return (f"Job {log.job.number}: nothing was said yet.",)
    proposals = find_proposals(parts)
    by_state = {
        state: [p.facts.name for p in proposals if p.state == state]
        for state in ("approved", "declined", "asked", "advised", "differ")
    }
    waits = [*by_state["advised"], *by_state["asked"], *(p.name for p in undecided(parts))]
    lines = [
        _people(log), _last(log), _off(log), _promised(log),
        _named("Approved", by_state["approved"]), _named("Declined", by_state["declined"]),
        _named("Decided differently, one has to stand", by_state["differ"]), _named("Waits for the owner", waits), _open(gaps),
        _places(log, places),
    ]  # fmt: skip
    return tuple(_short(line) for line in lines if line)[:MOST_LINES]


def speaker(log: Log, remark: Remark) -> str | None:
    """Name who said a remark."""
    return remark.person or next((s.person for s in log.sittings if s.id == remark.sitting_id), None)


def _people(log: Log) -> str:
    counts: dict[str, int] = {}
    for remark in log.remarks:
        who = speaker(log, remark) or "somebody"
        counts[who] = counts.get(who, 0) + 1
    said = ", ".join(f"{who} {n}" for who, n in counts.items())
    sittings = len({r.sitting_id for r in log.remarks})
    return f"Job {log.job.number}: {len(log.remarks)} remarks in {sittings} sitting{'s' if sittings != 1 else ''} ({said}), {len(log.photos)} photos."


def _last(log: Log) -> str:
    last = log.remarks[-1]
    who, day = speaker(log, last), f"{last.at:%Y-%m-%d}" if last.at else ""
    by = ", ".join(w for w in (who, day, f"remark {last.order}") if w)
    return f'Last said: "{last.tidied or last.text}" ({by})'


def _off(log: Log) -> str:
    off = [
        s.entry.component
        for s in live_entries(log, Step)
        if s.entry.action in ("removed", "opened") and s.entry.component
    ]
    return (
        f"Came off last: {', '.join(dict.fromkeys(reversed(off[-4:])))}; {len(dict.fromkeys(off))} parts are off."
        if off
        else ""
    )


def _promised(log: Log) -> str:
    said = [f'"{s.entry.text}" ({who + ", " if (who := speaker(log, s.remark)) else ""}remark {s.remark.order})' for s in live_entries(log, Promise)]  # fmt: skip
    return (
        f"Promised to the owner: {'; '.join(said[-3:])}"
        if said
        else "Promised to the owner: nothing that was said here."
    )


def _named(title: str, names: Sequence[str]) -> str:
    names = list(dict.fromkeys(names))
    more = f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES else ""
    return f"{title}: {', '.join(names[:_MOST_NAMES])}{more}." if names else ""


def _open(gaps: Sequence[Gap]) -> str:
    if not gaps:
        return "Not said yet: nothing is missing."
    latest = [f"{g.about}: {g.words}" for g in gaps if g.kind in ("condition", "decision", "count")][:2]
    return f"Not said yet: {len(gaps)} things" + (f", such as {'; '.join(latest)}." if latest else ".")


def _places(log: Log, places: Sequence[Place]) -> str:
    own = [(p, [k.thing for k in p.things if k.job_id == log.job.id]) for p in places]
    said = [f"{p.name} ({', '.join(things[:3])}{' ...' if len(things) > 3 else ''})" for p, things in own if things]
    return f"In: {', '.join(said[:8])}{' ...' if len(said) > 8 else ''}" if said else ""


def _short(line: str) -> str:
    line = one_line(line)
    return line if len(line) <= _LONGEST else line[: _LONGEST - 4].rsplit(" ", 1)[0] + " ..."
