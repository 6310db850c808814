"""A log made by hand, for the documents."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

from notebook.entries import Caution, Correction, Entry, Finding, Measurement, Mileage, Step, Storage, Tip, Tool
from notebook.log.parts import gather_parts
from notebook.log.strike import strike_corrected
from notebook.nouns import Job, Link, Log, Machine, Mend, Photo, Recording, Remark, Sitting

OPENED = datetime(2026, 3, 4, 8, 30, tzinfo=UTC)
JOB = Job(
    id="job-1", number="2041", machine=Machine(id="m", kind="winch", plate="ST-118"), reading="1860 h", opened=OPENED
)
SITTING = Sitting(id="s1", job_id="job-1", person="Maren", started=OPENED)
RECORDING = Recording(sha256="ab", name="a.ogg", rate_hz=48000, sample_count=9, started=OPENED, started_how="said")


def make_log(
    *said: tuple[str, tuple[Entry, ...]],
    job: Job = JOB,
    photos: tuple[Photo, ...] = (),
    links: tuple[Link, ...] = (),
    mends: tuple[Mend, ...] = (),
) -> Log:
    """Make the log of a job from remarks and what they were read into, struck and gathered as the notebook does it."""
    remarks = []
    for n, (text, entries) in enumerate(said, 1):
        named = tuple(replace(e, id=f"{n}{at}abcdef-entry") for at, e in enumerate(entries))
        remarks.append(
            Remark(
                id=f"r{n}",
                sitting_id="s1",
                order=n,
                at=None,
                seconds=None,
                heard=text,
                text=text,
                tidied=text,
                entries=named,
            )
        )
    struck = strike_corrected(remarks)
    parts, _ = gather_parts(job.id, struck, links, lambda _: None)
    return Log(
        job=job,
        sittings=(SITTING,),
        recordings=(RECORDING,),
        remarks=tuple(struck),
        parts=tuple(parts),
        photos=photos,
        links=links,
        mends=mends,
    )


def make_photo(name: str, photo_id: str = "p1") -> Photo:
    return Photo(
        id=photo_id, name=name, sha256=photo_id, taken=OPENED, taken_how="camera", camera="none", width_px=1, height_px=1, picture_format="JPEG"
    )  # fmt: skip


EVERYDAY = (
    ("Hour meter reads 1860 hours.", (Mileage(value=Decimal(1860), unit="h"),)),
    ("Guard's off.", (Step(component="guard", action="removed"),)),
    ("Drum's off the shaft, and it is worn.", (Step(component="drum", action="removed", off="shaft"), Finding(component="drum", condition="worn", degree="slight"))),
    ("Hub is cracked.", (Finding(component="hub", condition="cracked"),)),
    ("Scratch that, hub is sound.", (Correction(scope="last remark"), Finding(component="hub", condition="sound"))),
    ("No play in the pinion.", (Finding(component="pinion", condition="loose", presence="absent"),)),
    ("Might be a crack by the keyway.", (Finding(component="keyway", condition="cracked", presence="possible", doubt="which keyway?"),)),
    ("Lining 7.2, limit 6.5.", (Measurement(component="lining", quantity="thickness", value=Decimal("7.2"), unit="mm"), Measurement(component="lining", quantity="thickness", value=Decimal("6.5"), unit="mm", role="limit"))),
    ("The other two are fine.", (Finding(condition="sound", count=2, doubt="which part is not plain"),)),
    ("Mind the spring.", (Caution(topic="spring", text="Mind the spring."),)),
    ("Warm it first.", (Tip(text="Warm it first."), Tool(name="two-leg puller"), Storage(place="bag 7", contents=("springs", "shims")))),
)  # fmt: skip
"""One of everything a job is told."""
