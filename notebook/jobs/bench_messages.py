"""What the bench tells its front, in the past tense: the screen and the plain front change only by these.

Out: plain values. Nothing here acts; a front may be handed any of them from any thread.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from notebook.nouns import Log, Remark

State = Literal["listening", "asleep", "speaking", "lost", "stopped"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchReady:
    """The ear is loaded; what was left of an earlier sitting has been found."""

    first_model: str
    model: str
    load_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelChanged:
    """How loud it is, and whether somebody is being heard."""

    db: float
    voice_on: bool
    dead_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StateChanged:
    """The bench listens, sleeps, speaks itself, or has lost its microphone."""

    state: State
    says: str
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkBegan:
    """Somebody began to speak."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLineHeard:
    """The small model's words, while the larger one is still at it; replaced in place by what follows."""

    key: str
    text: str
    after_s: float
    """From the last voiced sound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLineDropped:
    """Speech went on: the first line was of half a remark."""

    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkStored:
    """A remark is in the archive with its entries."""

    key: str
    remark: Remark
    text_after_s: float
    """From the last voiced sound to the words."""
    after_s: float
    """From the last voiced sound to words and entries in the archive."""
    was_left: bool = False
    """Found half heard or not written down when the notebook started again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkErased:
    """Sound that was no remark; it is gone."""

    key: str
    why: str
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CueTaken:
    """A spoken cue (or its key) did something: the whole screen shows it."""

    cue: str
    says: str
    """In one or two words, for block letters: "BAG 12", "PHOTO"."""
    more: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobOpened:
    """A job that was begun before is on the bench again: where it was left, what is open, what was promised."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerGiven:
    """A question was answered."""

    asked: str
    says: str
    """Short, for large letters and for the voice."""
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionGiven:
    """The usual caution for what was just spoken of, for the first time in this sitting; nothing waits for it."""

    says: str
    defer: str
    """Whom to ask before this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepShown:
    """The step of the rebuild that is at hand."""

    number: int
    of: int
    title: str
    """Short, for large letters: "Fit the drum"."""
    state: Literal["open", "done", "skipped"]
    lines: tuple[str, ...]
    """What is needed: where it is stored, marks, fasteners, torque, cautions."""
    picture: str = ""
    """Name of the photo of how it sat; empty where there is none."""
    picture_file: str = ""
    """The small copy of that photo."""
    still_open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSaid:
    """Something was said at a step: whether it ticks the step, and what it is beside sheet and limits."""

    number: int
    state: Literal["done", "torque set", "skipped", "open", "said"]
    says: str
    """In a few words, for block letters: "DONE"."""
    fine: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildSummed:
    """How far the rebuild is: what was not done, and what is left in the bags."""

    done: int
    of: int
    not_done: tuple[str, ...]
    left: tuple[str, ...]
    waiting: tuple[str, ...]
    """Parts of which nobody said that they are here."""
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogChanged:
    """The log of the job was made anew."""

    log: Log


@dataclass(frozen=True, slots=True, kw_only=True)
class QueueChanged:
    """How many remarks wait to be written down."""

    waiting: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something is wrong that a person should know; empty when it is over."""

    about: Literal["disk", "archive", "ear", "power", "speaker"]
    says: str
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonNamed:
    """Who speaks from now on."""

    person: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageNoted:
    """For a while nothing could be heard; it is in the log."""

    began: datetime
    ended: datetime
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobClosed:
    """The job was closed, or opened again."""

    closed: bool


Message = (
    BenchReady | LevelChanged | StateChanged | RemarkBegan | FirstLineHeard | FirstLineDropped | RemarkStored | RemarkErased | CueTaken
    | JobOpened | AnswerGiven | CautionGiven | StepShown | StepSaid | RebuildSummed | LogChanged | QueueChanged | Trouble | PersonNamed | OutageNoted | JobClosed
)  # fmt: skip
