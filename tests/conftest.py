"""Makes what the tests of several rooms need: nouns with only what matters said, a shop, the command line.

In: what a test cares about. Out: nouns, an archive in a fresh folder, or what a command answered.
Everything made here is invented.
"""

from __future__ import annotations

import io
import json
import sys
import tomllib
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Literal

import pytest

from notebook.archive.store import Archive
from notebook.commands.main import run
from notebook.entries import Entry
from notebook.nouns import Job, Link, Log, Machine, Mend, Photo, Recording, Remark, Sitting

ROOT = Path(__file__).parents[1]
EARLIER = ROOT / "demo_session" / "earlier"
MORNING = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)

# Text that tries to break a line, drive a terminal, or pass for markup of a page.
HOSTILE = "a\nb\r\x1b[31mc\x07 <script>x</script> **d** `e` | # [f](g) \u2028h \x9b0m\ud800"

MendAction = Literal["text", "set", "add", "strike", "accept"]

# --- nouns -----------------------------------------------------------------------------------------------


def make_job(number: str = "2041", *, kind: str = "winch", plate: str | None = None, job_id: str = "job-1") -> Job:
    machine = Machine(id=f"machine-of-{job_id}", kind=kind, plate=plate)
    return Job(id=job_id, number=number, machine=machine, opened=MORNING)


def make_sitting(job: Job, person: str | None = "Maren") -> Sitting:
    return Sitting(id=f"sitting-of-{job.id}", job_id=job.id, person=person, started=MORNING)


def make_remark(text: str, *entries: Entry, order: int = 1, job: Job | None = None, **more: Any) -> Remark:
    """Make a remark whose entries have ids, as every stored entry has."""
    remark_id = f"remark-{order}" if job is None else f"remark-{order}-of-{job.id}"
    sitting_id = make_sitting(job or make_job()).id
    named = tuple(e if e.id else replace(e, id=f"{remark_id}-entry-{n}") for n, e in enumerate(entries, 1))
    said = {"heard": text, "text": text, "tidied": text, "at": None, "seconds": None, **more}
    return Remark(id=remark_id, sitting_id=sitting_id, order=order, entries=named, **said)


def make_photo(name: str = "IMG_1.jpg", *, photo_id: str = "photo-1", taken: datetime | None = MORNING) -> Photo:
    return Photo(
        id=photo_id, name=name, sha256=f"sha-of-{photo_id}", taken=taken, taken_how="the picture says", camera="folder card",
        width_px=40, height_px=30, picture_format="JPEG",
    )  # fmt: skip


def make_link(photo: Photo, remark: Remark) -> Link:
    return Link(photo_id=photo.id, remark_id=remark.id, how="cue", confidence=0.9)


def make_recording(name: str = "winch.ogg", *, sha256: str = "sound-1") -> Recording:
    return Recording(
        sha256=sha256, name=name, rate_hz=16000, sample_count=16000 * 600, started=MORNING, started_how="its name says"
    )


def make_mend(remark: Remark, action: MendAction, entry: Entry | None = None, *, minute: int = 0, **more: Any) -> Mend:
    """Make a mend; `old` and `new` are given as values and stored as JSON."""
    for name in ("old", "new"):
        if name in more and action != "text":
            more[name] = json.dumps(more[name])
    return Mend(
        id=str(uuid.uuid5(uuid.NAMESPACE_OID, f"{remark.id} {action} {entry.id if entry else ''} {minute} {more}")),
        remark_id=remark.id, kind=entry.kind if entry else None, entry_id=entry.id if entry else None,
        action=action, made=MORNING + timedelta(hours=8, minutes=minute), **more,
    )  # fmt: skip


def make_log(*remarks: Remark, job: Job | None = None, **more: Any) -> Log:
    job = job or make_job()
    return Log(job=job, sittings=(make_sitting(job),), remarks=remarks, **more)


def open_stocked_archive(folder: Path, *jobs: Job) -> Archive:
    """Open an archive in a folder, with jobs and a sitting for each."""
    archive = Archive(folder)
    for job in jobs or (make_job(),):
        archive.add_job(job)
        archive.add_sitting(make_sitting(job))
    return archive


@pytest.fixture
def stocked(tmp_path: Path) -> Iterator[Archive]:
    """Give an archive that holds the job of `make_job()` and a sitting."""
    with open_stocked_archive(tmp_path) as archive:
        yield archive


# --- the command line ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What a command answered."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out, parse_constant=_refuse_constant)

    @property
    def json_lines(self) -> list[Any]:
        return [json.loads(line, parse_constant=_refuse_constant) for line in self.out.splitlines()]


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is no JSON")


Teardown = Callable[..., Answered]


def run_teardown(*arguments: str | Path, shop: Path, say: str | bytes = "") -> Answered:
    """Run the command line in this process, as a terminal would start it."""
    out, err = io.BytesIO(), io.BytesIO()
    said = say.encode() if isinstance(say, str) else say
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["teardown", *map(str, arguments)])
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(said), "utf-8"))
        patch.setattr(sys, "stdout", stdout := io.TextIOWrapper(out, "utf-8", newline="\n", write_through=True))
        patch.setattr(sys, "stderr", stderr := io.TextIOWrapper(err, "utf-8", newline="\n", write_through=True))
        patch.setenv("TEARDOWN_SHOP", str(shop))
        patch.setenv("COLUMNS", "100")
        with pytest.raises(SystemExit) as left:
            run()
    stdout.flush()
    stderr.flush()
    return Answered(status=int(left.value.code or 0), out=out.getvalue().decode(), err=err.getvalue().decode())


@pytest.fixture
def teardown(tmp_path: Path) -> Teardown:
    """Give the command line with a shop of its own."""

    def ask(*arguments: str | Path, say: str | bytes = "") -> Answered:
        return run_teardown(*arguments, shop=tmp_path / "shop", say=say)

    return ask


@pytest.fixture
def write_remarks(tmp_path: Path) -> Callable[..., Path]:
    """Give a writer of files with one remark a line."""

    def write(*lines: str, name: str = "said.txt") -> Path:
        path = tmp_path / name
        path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
        return path

    return write


def earlier_jobs() -> list[dict[str, Any]]:
    """Give what is known of the invented earlier jobs."""
    jobs: list[dict[str, Any]] = tomllib.loads((EARLIER / "earlier.toml").read_text("utf-8"))["job"]
    return jobs


@pytest.fixture(scope="session")
def earlier_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop that took in every earlier job through the command line; only to be asked, never changed."""
    shop = tmp_path_factory.mktemp("earlier") / "shop"
    for job in earlier_jobs():
        opened = run_teardown(
            "new", job["number"], "--machine", job["machine"], "--plate", job["plate"], "--opened", str(job["opened"]), shop=shop
        )  # fmt: skip
        taken = run_teardown(
            "add", job["number"], EARLIER / f"{job['number']}.txt", "--person", job["person"], shop=shop
        )
        assert (opened.status, taken.status, taken.err) == (0, 0, "")
    return shop
