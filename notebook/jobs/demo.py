"""Runs the invented demonstration session from end to end, and measures each stage.

In: the folder of the session and a shop. Out: the log, an answer, and time and peak memory by stage.
A second run takes in nothing that is already there.
"""

from __future__ import annotations

import resource
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from datetime import time as clock_time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from notebook.archive.store import Archive
from notebook.errors import NotebookError, Problem
from notebook.history.ask import Answer, answer_question
from notebook.jobs.intake import Intake, Progress, take_in
from notebook.jobs.opening import open_archive, open_job
from notebook.nouns import Job, Log
from notebook.shop import Shop

if TYPE_CHECKING:
    from notebook.audio.ear import Ear


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of the demonstration, measured."""

    name: str
    seconds: float
    peak_mb: float
    """Largest resident memory of this process since the stage began (or since the start, where the system cannot say)."""


@dataclass(slots=True, kw_only=True)
class DemoRun:
    """What the demonstration gave."""

    job: Job | None = None
    log: Log | None = None
    answer: Answer | None = None
    intake: Intake | None = None
    stages: list[Stage] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def find_session(folder: Path | None) -> Path:
    """Give the folder of the demonstration session; raises NotebookError when it is not there."""
    for place in [folder] if folder else [Path("demo_session"), Path(__file__).parents[2] / "demo_session"]:
        if (place / "job.toml").is_file():
            return place
    raise NotebookError(
        "The demonstration session is not here.", "Run this in the project's folder, or name it with --session DIR."
    )


def run_demo(session: Path, shop: Shop, ear: Callable[[], Ear], progress: Progress) -> DemoRun:
    """Open the invented jobs, take everything in, and ask the question of the session."""
    run = DemoRun()
    said = tomllib.loads((session / "job.toml").read_text("utf-8"))
    with _measured(run, "open the archive"):
        archive = open_archive(shop)
    with archive:
        with _measured(run, "eight earlier jobs, in words"):
            _take_earlier(archive, shop, session / "earlier", run, progress)
        job = _job(archive, shop, said)
        with _measured(run, "load the speech model"):
            loaded = _load_once(ear, archive, job, session / said["sound"])
        with _measured(run, "hear, read and link the sound"):
            run.intake = take_in(
                archive, shop, job, [session / said["sound"]], started=datetime.fromisoformat(said["started"]), person=said["person"], ear=loaded,
                progress=progress,
            )  # fmt: skip
            run.problems.extend(run.intake.problems)
        with _measured(run, "take in and link the photos"):
            photos = take_in(archive, shop, job, [session / said["photos"]], progress=progress)
            run.problems.extend(photos.problems)
            run.intake.photos, run.intake.known_photos = photos.photos, photos.known_photos
        with _measured(run, "load the log"):
            run.log = archive.load_log(job)
        with _measured(run, "answer a question"):
            run.answer = answer_question(archive, said["question"])
    run.job = job
    return run


def _job(archive: Archive, shop: Shop, said: dict[str, Any]) -> Job:
    found = archive.find_jobs(said["number"])
    if found:
        return found[0]
    opened = datetime.combine(said["opened"], clock_time(0), UTC)
    return open_job(
        archive, shop, number=said["number"], machine=said["machine"], plate=said.get("plate"), owner_ref=said.get("owner_ref"),
        reading=said.get("reading") or None, opened=opened,
    )  # fmt: skip


def _take_earlier(archive: Archive, shop: Shop, folder: Path, run: DemoRun, progress: Progress) -> None:
    for said in tomllib.loads((folder / "earlier.toml").read_text("utf-8"))["job"]:
        job = _job(archive, shop, said)
        intake = take_in(
            archive, shop, job, [folder / f"{said['number']}.txt"], person=said["person"], progress=progress
        )
        run.problems.extend(intake.problems)


def _load_once(ear: Callable[[], Ear], archive: Archive, job: Job, sound: Path) -> Callable[[], Ear]:
    """Load the model here when the sound still has to be heard, so that loading is measured apart from hearing."""
    from notebook.audio.weights import sha256_of_file

    known = archive.recording(job.id, sha256_of_file(sound))
    if known is not None and known[2]:
        return ear
    loaded = ear()
    return lambda: loaded


@contextmanager
def _measured(run: DemoRun, name: str) -> Iterator[None]:
    _forget_peak()
    started = time.perf_counter()
    yield
    run.stages.append(Stage(name=name, seconds=time.perf_counter() - started, peak_mb=_peak_mb()))


def _forget_peak() -> None:
    """Ask Linux to count the peak of resident memory from now on; other systems cannot."""
    try:
        Path("/proc/self/clear_refs").write_text("5", "ascii")
    except OSError:
        return


def _peak_mb() -> float:
    try:
        for line in Path("/proc/self/status").read_text("ascii").splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) / 1024
    except OSError:
        pass
    largest = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return largest / 1024 if sys.platform != "darwin" else largest / 1024 / 1024
