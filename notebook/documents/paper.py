"""What every document that leaves the bench has: its head, its pictures, its bars, and where each thing was said.

In: a log, the shop's settings. Out: values in plain words and numbers, for paper and for a browser alike.
Never lays out a page, never opens a picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from notebook.documents.words import plain_number
from notebook.errors import one_line
from notebook.log.verdicts import Verdict
from notebook.nouns import AT_THE_BENCH, Log, Photo, Remark
from notebook.shop import PaperSettings

_SCALE_OVER = Decimal("1.25")


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What stands at the head and foot of every page."""

    title: str
    shop: str
    address: tuple[str, ...]
    mark: str | None
    """File of the shop's mark; None for none."""
    job: str
    machine: str
    date: str
    facts: tuple[tuple[str, str], ...]
    """Label and value: plate, meter, worked by."""
    notice: str = ""
    """A line below the title: what kind of copy this is."""
    label: str = "Job"
    """What `job` is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ref:
    """Where something was said."""

    number: int
    """Of the remark."""
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing in words, and where it was said."""

    words: str
    refs: tuple[Ref, ...] = ()
    is_unsure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture as it stands in a document."""

    number: int
    file: str
    caption: str
    photo_id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A measured value on a scale with its limits; places are from 0 to 1."""

    label: str
    value: str
    limit: str
    verdict: str
    at: float
    low: float | None
    high: float | None
    is_past: bool
    refs: tuple[Ref, ...] = ()


@dataclass(slots=True, kw_only=True)
class PictureBook:
    """Numbers the pictures of a document as they are put in; one that is put in twice keeps its number."""

    taken: dict[str, Picture] = field(default_factory=dict)

    def put(self, photos: Iterable[Photo], caption: str) -> tuple[Picture, ...]:
        """Give the pictures that were not put in before; what each shows is its caption."""
        fresh = []
        for photo in photos:
            if photo.id not in self.taken:
                number = len(self.taken) + 1
                self.taken[photo.id] = Picture(
                    number=number, file=f"p{number:03}.jpg", caption=one_line(caption), photo_id=photo.id
                )
                fresh.append(self.taken[photo.id])
        return tuple(fresh)

    def numbers(self, photos: Iterable[Photo]) -> tuple[int, ...]:
        """Give the numbers of pictures that are in the document."""
        return tuple(self.taken[p.id].number for p in photos if p.id in self.taken)


def make_head(log: Log, title: str, settings: PaperSettings, *, notice: str = "") -> Head:
    """Make the head of a document about one job; its date is the job's own, never today's."""
    job = log.job
    people = sorted({s.person for s in log.sittings if s.person} | {r.person for r in log.remarks if r.person})
    facts = [("Machine", job.machine.kind)]
    if job.machine.plate:
        facts.append(("Plate or tag", job.machine.plate))
    if job.reading:
        facts.append(("Meter", job.reading))
    facts.append(("Opened", day_words(job.opened)))
    if job.closed:
        facts.append(("Closed", day_words(job.closed)))
    if people:
        facts.append(("Stripped by", list_words(people)))
    machine = f"{job.machine.kind}, {job.machine.plate}" if job.machine.plate else job.machine.kind
    return Head(
        title=title, shop=one_line(settings.name), address=tuple(one_line(a) for a in settings.address), mark="mark.jpg" if settings.mark else None,
        job=one_line(job.number), machine=one_line(machine), date=day_words(job_day(log)),
        facts=tuple((label, one_line(value)) for label, value in facts), notice=notice,
    )  # fmt: skip


def job_day(log: Log) -> datetime:
    """Give the day a document of the job stands for: when it was closed, else of its last remark with a time, else when it was opened."""
    said = [r.at for r in log.remarks if r.at is not None]
    return log.job.closed or max(said, default=log.job.opened)


def day_words(at: datetime) -> str:
    """Write a day: "4 March 2026"."""
    return f"{at.day} {at:%B %Y}"


def list_words(names: Sequence[str], *, most: int = 99) -> str:
    """Write "a, b and c"; beyond `most`, "a, b and 3 more"."""
    listed = list(names)
    if len(listed) > most:
        return f"{', '.join(listed[: most - 1])} and {len(listed) - most + 1} more"
    return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} and {listed[-1]}" if listed else ""


def count_words(number: int, one: str, many: str | None = None) -> str:
    """Write "1 part", "3 parts"."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def capital(text: str) -> str:
    """Begin with a capital."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Begin with a capital and end with a stop."""
    text = capital(text.strip())
    return text if text.endswith((".", "!", "?")) or not text else text + "."


class Times:
    """Says where in the sound, or at what time, each remark of a log was said."""

    def __init__(self, log: Log) -> None:
        self._recordings = {r.sha256: r for r in log.recordings}
        self._zones = {s.id: ZoneInfo(s.zone) for s in log.sittings}

    def ref(self, remark: Remark) -> Ref:
        """Give the number of a remark and when it was said."""
        return Ref(number=remark.order, at=self.when(remark))

    def when(self, remark: Remark) -> str:
        """Give minutes and seconds in the recording; the time of day where it was heard at the bench; else nothing."""
        recording = self._recordings.get(remark.recording_sha256 or "")
        is_live = recording is not None and recording.started_how == AT_THE_BENCH
        if remark.at is not None and (remark.first_sample is None or is_live):
            return f"{remark.at.astimezone(self._zones.get(remark.sitting_id, ZoneInfo('UTC'))):%H:%M:%S}"
        if remark.first_sample is None:
            return ""
        seconds = int(remark.first_sample / (recording.rate_hz if recording is not None else 16000))
        hours, rest = divmod(seconds, 3600)
        return f"{hours}:{rest // 60:02}:{rest % 60:02}" if hours else f"{rest // 60}:{rest % 60:02}"


def make_bar(verdict: Verdict, refs: tuple[Ref, ...] = (), *, name: str = "") -> Bar | None:
    """Lay a measured value on a scale from nought; None where nothing bounds it or the value is below nought."""
    value = verdict.measured.value
    bounds = [b for b in (verdict.low, verdict.high, verdict.nominal) if b is not None]
    if value is None or value < 0 or not bounds or min(bounds) < 0:
        return None
    top = max([value, *bounds]) * _SCALE_OVER
    if top == 0:
        return None
    unit = verdict.measured.unit or ""
    sides = []
    if verdict.low is not None:
        sides.append(f"not under {plain_number(verdict.low)} {unit}".rstrip())
    if verdict.high is not None:
        sides.append(f"not over {plain_number(verdict.high)} {unit}".rstrip())
    if not sides and verdict.nominal is not None:
        sides.append(f"nominal {plain_number(verdict.nominal)} {unit}".rstrip())
    label = " ".join(w for w in (name, verdict.measured.quantity or "size") if w)
    return Bar(
        label=one_line(label), value=f"{plain_number(value)} {unit}".rstrip(), limit=", ".join(sides), verdict=verdict_words(verdict),
        at=_share(value, top), low=_share(verdict.low, top) if verdict.low is not None else None,
        high=_share(verdict.high, top) if verdict.high is not None else None, is_past=verdict.left is not None and verdict.left < 0, refs=refs,
    )  # fmt: skip


def verdict_words(verdict: Verdict) -> str:
    """Say how far inside or past the limit."""
    unit = verdict.measured.unit or ""
    if verdict.left is None:
        return "limit known, side not said"
    if verdict.left < 0:
        return f"past the limit by {plain_number(-verdict.left)} {unit}".rstrip()
    if verdict.left == 0:
        return "at the limit"
    return f"within, {plain_number(verdict.left)} {unit} left".replace("  ", " ")


def _share(value: Decimal, top: Decimal) -> float:
    return round(float(value / top), 4)
