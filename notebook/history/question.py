"""A question over all jobs, as understood.

In: what was understood. Out: the same, said in words, so that a person sees what was looked for.
Never opens the archive.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from notebook.history.periods import Period

Asks = Literal["which", "how many", "how often", "when last", "when first", "where", "who"]

DONE_WORDS = {
    "reuse": "reused", "clean": "to be cleaned", "rework": "reworked", "overhaul": "overhauled", "replace": "replaced",
    "scrap": "scrapped", "modify": "modified", "order": "ordered", "check": "to be checked", "send out": "sent out",
    "hold": "on hold",
}  # fmt: skip
KIND_WORDS = {
    "caution": "cautions",
    "tip": "tips",
    "storage": "where it was put",
    "tool": "tools",
    "mileage": "running hours",
    "step": "steps",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What an amount is compared with."""

    how: Literal["above", "below", "at least", "at most", "about"]
    value: float
    """In the SI unit; hours and miles as they are."""
    to: float | None = None
    """Upper end, for "between"."""
    said: str

    def in_words(self) -> str:
        """Say it as it was said."""
        word = {"above": "over", "below": "under", "at least": "at least", "at most": "at most", "about": ""}[self.how]
        return f"{word} {self.said}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question as understood."""

    text: str
    asks: Asks = "which"
    kind: str | None = None
    """Kind of entry that answers it; `jobs` for the jobs themselves, None when only words can be looked for."""
    component: str | None = None
    closer: str | None = None
    """The component with the words before it that no list holds: "pedal spring"."""
    others: tuple[str, ...] = ()
    """Other parts named in it."""
    conditions: tuple[str, ...] = ()
    presences: tuple[str, ...] = ("present",)
    position: str | None = None
    actions: tuple[str, ...] = ()
    quantity: str | None = None
    bound: Bound | None = None
    thread: str | None = None
    form: str | None = None
    state: str | None = None
    place: str | None = None
    machine: str | None = None
    """The machine as said: "winch"."""
    machines: tuple[str, ...] | None = None
    """The kinds of machine in the archive that answer to it."""
    plate: str | None = None
    number: str | None = None
    owner_ref: str | None = None
    person: str | None = None
    period: Period | None = None
    clock: Bound | None = None
    words: tuple[str, ...] = ()
    """All its words that carry meaning, for looking them up as they are."""
    left: tuple[str, ...] = ()
    """The words that were not understood."""

    @property
    def has_jobs_said(self) -> bool:
        """Tell whether it says which jobs are meant."""
        said = (self.machines, self.plate, self.number, self.owner_ref, self.person, self.period, self.clock)
        return any(s is not None for s in said)

    def as_words(self) -> Question:
        """Give the same question, its words to be looked for as they are."""
        return replace(
            self,
            kind=None,
            component=None,
            closer=None,
            conditions=(),
            actions=(),
            quantity=None,
            bound=None,
            thread=None,
            form=None,
            state=None,
            place=None,
        )

    def in_words(self) -> str:
        """Say how the question was understood."""
        what = self._what()
        jobs = self._jobs()
        asked = {
            "how many": "how many jobs",
            "how often": "how often",
            "when last": "when last",
            "when first": "when first",
            "where": "where",
            "who": "who",
        }.get(self.asks)
        return "; ".join(s for s in (what, jobs, asked) if s)

    def _what(self) -> str:
        if self.kind is None:
            return f"remarks with the words: {' '.join(self.words)}" if self.words else "nothing to look for"
        if self.kind == "jobs":
            return "jobs"
        part = self.component or "any part"
        if self.position:
            part += f" ({self.position})"
        if self.kind == "finding":
            if not self.conditions:
                return f"{part}, any finding"
            state = {"absent": "said not to be ", "possible": "perhaps "}.get(self.presences[0], "")
            return f"{part}, {state}{' or '.join(self.conditions)}"
        if self.kind == "disposition":
            return f"{part}, {' or '.join(DONE_WORDS.get(a, a) for a in self.actions)}"
        if self.kind == "measurement":
            return ", ".join(
                s for s in (part, self.quantity or "any size", self.bound.in_words() if self.bound else "") if s
            )
        if self.kind == "fastener":
            held = f"fasteners of the {self.component}" if self.component else "fasteners"
            return ", ".join(s for s in (held, self.thread, self.form, self.state) if s)
        if self.place:
            return f"what is in {self.place}" + (f": {self.component}" if self.component else "")
        if self.kind == "mileage" and self.bound:
            return f"{part}, ran {self.bound.in_words()}"
        return f"{part}, {KIND_WORDS.get(self.kind, self.kind)}"

    def _jobs(self) -> str:
        said = [
            f"machine {self.machine}" if self.machine else "",
            self.plate or "",
            f"job {self.number}" if self.number else "",
            f"owner {self.owner_ref}" if self.owner_ref else "",
            f"by {self.person}" if self.person else "",
            (self.period.wrong or self.period.in_words()) if self.period else "",
            f"clock {self.clock.in_words()}" if self.clock else "",
        ]
        return ", ".join(s for s in said if s)
