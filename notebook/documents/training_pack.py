"""The training pack: what all jobs of a kind of machine taught, as values for paper and for a browser.

In: nothing; history puts the values together. Out: the values. There is no owner, plate, person or job number in them.
"""

from __future__ import annotations

from dataclasses import dataclass

from notebook.documents.paper import Bar, Head, Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualStep:
    """One step of the usual order."""

    number: int
    name: str
    jobs: int
    """In how many jobs it was said to come off."""
    agree: str
    """How many jobs had it after the step before: "3 of 3"; empty for the first, or where no job had both."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolRow:
    """A tool to lay out."""

    name: str
    used_for: str
    jobs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldLine:
    """A tip or a caution in the words of the one who said it."""

    words: str
    topic: str
    when: str
    sound: str | None
    """File of the voice; None where there is none, or the person has not said yes."""
    pictures: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRow:
    """How often something is found."""

    part: str
    condition: str
    jobs: int
    seen: int
    """Jobs in which the part was looked at."""

    @property
    def share(self) -> float:
        """Give the share of jobs, 0 to 1."""
        return self.jobs / self.seen if self.seen else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodAndBad:
    """Pictures of one part, good and bad."""

    part: str
    good: tuple[Picture, ...]
    bad: tuple[Picture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WearRow:
    """One measured value at one reading of the meter."""

    at: str
    bar: Bar | None
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WearTable:
    """A size of a part over running."""

    part: str
    quantity: str
    rows: tuple[WearRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question for the apprentice, and its answer."""

    question: str
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainingPack:
    """The whole pack."""

    head: Head
    about: tuple[str, ...]
    first_picture: Picture | None
    order: tuple[UsualStep, ...]
    order_note: str
    tools: tuple[ToolRow, ...]
    fasteners: tuple[tuple[str, str], ...]
    cautions: tuple[ToldLine, ...]
    usual_cautions: tuple[str, ...]
    tips: tuple[ToldLine, ...]
    found: tuple[FoundRow, ...]
    pairs: tuple[GoodAndBad, ...]
    wear: tuple[WearTable, ...]
    questions: tuple[Asked, ...]
    defer: str
