"""The nouns of the notebook: plain values that every room gives to the next.

In and out: nothing but values. Never opens a file, a clock or a device.
Times are aware and in UTC; lengths of sound are in seconds; places in a recording are
sample numbers, so that nothing moves when a clock is put right.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Literal

from notebook.entries import Entry

Change = tuple[tuple[int, int], tuple[int, int], str]
"""[start, end] in the tidied text, [start, end] in the text, and why the two differ."""

Unsettled = tuple[int, int, str]
"""[start, end] in the text, and what else the ear took those words for: a negation, a number or a count."""

AT_THE_BENCH = "heard at the bench"
"""Where the start of a recording came from, when it is of one remark and was heard as it was said."""

HowLinked = Literal["cue", "time", "card", "hand", "label"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aside:
    """A statement that is no fact of this job: a question, what is usual, another job."""

    span: tuple[int, int]
    """[start, end] in the tidied text."""
    mood: str
    cue: str
    """The words that decided it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One word as the ear heard it; times in seconds from the start of its remark."""

    text: str
    start_s: float
    end_s: float
    probability: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Transcript:
    """What the ear made of one remark, with all that is needed to make it again."""

    heard: str
    """The ear's first choice."""
    text: str
    """The one chosen; the same as `heard` unless the vocabulary chose another."""
    words: tuple[Word, ...]
    prompt: str
    hypotheses: tuple[str, ...] = ()
    model: str
    """Name of the model's card, or of the folder that was brought."""
    model_sha256: str
    doubt: str | None = None
    """Why these words may not have been said at all (noise, very low probability)."""
    unsettled: tuple[Unsettled, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A machine that comes to the bench, perhaps many times over the years."""

    id: str
    kind: str
    plate: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A machine on the bench under a number; `id` is its folder, the number only a label."""

    id: str
    number: str
    machine: Machine
    owner_ref: str | None = None
    reading: str | None = None
    """What the clock or meter showed when the job was opened, as said ("4318 h")."""
    opened: datetime
    closed: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """One stretch of work on a job by one person."""

    id: str
    job_id: str
    person: str | None
    started: datetime
    ended: datetime | None = None
    zone: str = "UTC"


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """One sound file as it came, known by its content."""

    sha256: str
    name: str
    rate_hz: int
    """Rate that `first_sample` of its remarks counts in."""
    sample_count: int
    started: datetime | None
    started_how: str
    """Where the start came from: said by the user, in the file, in its name, by its time of change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One thing said at the bench."""

    id: str
    sitting_id: str
    order: int
    """Place in the job, from 1, in the order said."""
    at: datetime | None
    """When it began, or None where only the order is known."""
    seconds: float | None
    person: str | None = None
    recording_sha256: str | None = None
    first_sample: int | None = None
    sample_count: int | None = None
    heard: str
    text: str
    tidied: str = ""
    changes: tuple[Change, ...] = ()
    words: tuple[Word, ...] = ()
    entries: tuple[Entry, ...] = ()
    doubt: str | None = None
    unsettled: tuple[Unsettled, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outage:
    """A while in a sitting in which nothing could be heard, or sound could not be kept."""

    id: str
    sitting_id: str
    began: datetime
    ended: datetime
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """One picture, its original kept by content and never touched."""

    id: str
    name: str
    """File name as it came."""
    sha256: str
    taken: datetime | None
    """By the camera's own clock, in UTC; None where the picture does not say."""
    taken_how: str
    camera: str
    """Make, model and serial as the file says, else the folder it came from."""
    width_px: int
    height_px: int
    picture_format: str
    """`JPEG`, `PNG`, `HEIF`, `WEBP`."""
    card_shown: datetime | None = None
    """The notebook's time on the sync card in the picture; None where there is no card in it."""
    labels_shown: tuple[str, ...] = ()
    """What the labels in the picture say, each as job and place: "3F2A9C1B BAG 7"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A photo and the remark it shows, with how that is known and how sure it is."""

    photo_id: str
    remark_id: str
    how: HowLinked
    confidence: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A component in a position on this job, with everything said about it."""

    id: str
    component: str
    position: str | None = None
    of: str | None = None
    """The assembly it came off or belongs to, when said."""
    order: int | None = None
    """Place in the order things came off, from 1; None where it was not said to come off."""
    entry_ids: tuple[str, ...] = ()
    photo_ids: tuple[str, ...] = ()
    verdicts: tuple[str, ...] = ()
    """Measured against limit, in words: "7.2 mm, limit 6.5 mm: 0.7 mm left"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """A person's correction, kept apart from what was read; it always wins."""

    id: str
    remark_id: str
    kind: str | None
    """Kind of the entry it is about, None when it is about the words."""
    entry_id: str | None
    action: Literal["text", "set", "add", "strike", "accept"]
    field: str | None = None
    old: str | None = None
    """Value it replaced, or the whole statement that was struck or accepted, as JSON."""
    new: str | None = None
    """Value it gives, as JSON."""
    at_s: float | None = None
    """Second of sound, from the start of the remark, of the words it is about."""
    person: str | None = None
    made: datetime
    conflict: str | None = None
    """Why it no longer fits what is read now; None while it fits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """How far a proposal to replace, repair or reuse a part is, by whom and when; never altered, only followed by later ones."""

    id: str
    entry_id: str | None
    """The disposition it is about; None where it is about a part."""
    component: str | None
    """The part by name, so that it lasts over rereadings; `everything` for all that was advised."""
    position: str | None
    action: str
    """`as advised` where nothing else was said."""
    state: Literal["found", "advised", "approved", "declined", "asked"]
    person: str | None
    """Who decided: "owner", or a name."""
    made: datetime
    note: str | None = None
    noted_by: str | None = None
    """Who said it at the bench, or wrote it down."""
    settles: bool = False
    """It puts an end to what was decided before it."""
    remark_id: str | None = None
    """The remark that says it; None where it was written down at the desk."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Log:
    """Everything known about one job, for screen, paper and questions."""

    job: Job
    sittings: tuple[Sitting, ...] = ()
    recordings: tuple[Recording, ...] = ()
    remarks: tuple[Remark, ...] = ()
    parts: tuple[Part, ...] = ()
    photos: tuple[Photo, ...] = ()
    links: tuple[Link, ...] = ()
    mends: tuple[Mend, ...] = ()
    outages: tuple[Outage, ...] = ()
    decisions: tuple[Decision, ...] = ()
    folder: Path | None = field(default=None, compare=False)
    """Folder of the job in the shop, for opening sound and pictures; None when not stored."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """One part in one position on one machine."""

    id: str
    machine_id: str
    component: str
    position: str | None
    unit: str
    fitted: Decimal | None
    """Reading when it was fitted; None where nobody told."""
    fitted_job_id: str | None
    last_good: Decimal | None
    """The last reading at which it was seen good."""
    ended: Decimal | None
    """Reading at which it came out or was found failed; None while it is in."""
    ended_job_id: str | None
    ended_why: str
    """`failed`, `replaced` (as routine, no fault), or `in` (still fitted when last seen)."""
    exact_life: Decimal | None = None
    """How long it had run when it failed, where that was said."""
    job_ids: tuple[str, ...] = ()

    @property
    def life(self) -> tuple[Decimal, Decimal | None] | None:
        """Give [at least, at most] how long it lasted, in its unit; at most None is "longer"; None when nothing is known.

        Good and put back, or replaced without a fault: longer than that. Found failed: between the last time it was
        seen good and then. Both alike where it was said.
        """
        if self.exact_life is not None:
            return self.exact_life, self.exact_life
        if self.fitted is None:
            return None
        if self.ended_why == "failed" and self.ended is not None:
            return max(Decimal(0), (self.last_good or self.fitted) - self.fitted), self.ended - self.fitted
        last = self.ended if self.ended is not None else self.last_good
        return None if last is None or last <= self.fitted else (last - self.fitted, None)
