"""Labels for the bags and trays of a job, as values for paper and as plain text for a label printer.

In: a job, its places. Out: values, text. Draws no code: that is a picture like any other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from notebook.errors import one_line
from notebook.log.places import Place
from notebook.nouns import Job

LONGEST_CONTENTS = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label."""

    place: str
    job: str
    machine: str
    contents: str
    says: str
    """What its code says."""
    file: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """All labels of a job."""

    job: str
    labels: tuple[Label, ...]


def make_labels(job: Job, places: Sequence[tuple[Place, str]]) -> LabelSheet:
    """Make the labels of places, each with what its code says."""
    plate = f", {job.machine.plate}" if job.machine.plate else ""
    return LabelSheet(
        job=one_line(job.number),
        labels=tuple(
            Label(
                place=one_line(place.name[:1].upper() + place.name[1:]), job=one_line(job.number), machine=one_line(f"{job.machine.kind}{plate}"),
                contents=_short(", ".join(k.thing for k in place.things if k.job_id == job.id)), says=says, file=f"q{n:03}.png",
            )
            for n, (place, says) in enumerate(places, 1)
        ),
    )  # fmt: skip


def labels_text(sheet: LabelSheet) -> str:
    """Write the labels for a label printer: four lines each and what the code says, an empty line between."""
    return "\n".join(
        f"{label.place}\nJob {label.job}\n{label.machine}\n{label.contents}\n{label.says}\n" for label in sheet.labels
    )


def _short(words: str) -> str:
    words = one_line(words)
    return words if len(words) <= LONGEST_CONTENTS else words[: LONGEST_CONTENTS - 4].rsplit(" ", 1)[0] + " ..."
