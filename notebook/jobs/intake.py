"""Takes sound, photos and remarks in words into a job; safe to stop and to run again.

In: files and folders. Out: what was taken in, what was there already, and problems beside it.
Each remark is stored whole, one at a time; twins by content are taken once; originals are kept byte for byte.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from notebook.archive.store import Archive
from notebook.errors import NotebookError, Problem, one_line
from notebook.jobs.choosing import Choice, chooser_for
from notebook.jobs.derive import name_entries, reader_for, reread_job
from notebook.jobs.opening import lasting_id, make_folders
from notebook.jobs.pictures import leave_other_days, take_pictures
from notebook.nouns import Job, Log, Photo, Recording, Remark, Sitting
from notebook.reading.reader import Reader, reader_version
from notebook.shop import Shop

if TYPE_CHECKING:
    from notebook.audio.ear import Ear

SOUND = frozenset(".wav .flac .mp3 .m4a .aac .ogg .oga .opus .wma .webm .mp4 .mov .mkv .3gp .amr .aiff .aif".split())
PICTURES = frozenset([".jpg", ".jpeg", ".png", ".heic", ".heif", ".webp"])
WORDS = frozenset({".txt", ".jsonl"})
LONGEST_WORDS_FILE = 50_000_000
LONGEST_REMARK = 20_000
"""Characters; a quarter of an hour of talk. Reading takes longer than in proportion."""

Progress = Callable[[str, float, float], None]
"""Told what is being done, how far it is, and how much there is (0 when that is not known)."""


@dataclass(slots=True, kw_only=True)
class Intake:
    """What a taking-in did."""

    remarks: int = 0
    known_remarks: int = 0
    photos: int = 0
    known_photos: int = 0
    dropped: int = 0
    """Stretches of noise in which words had been made up."""
    started_how: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    log: Log | None = None

    def count_photo(self, outcome: Photo | Problem | None) -> None:
        """Count what became of a picture: taken in, a problem, or there already."""
        if isinstance(outcome, Problem):
            self.problems.append(outcome)
        elif outcome is None:
            self.known_photos += 1
        else:
            self.photos += 1


def no_progress(_what: str, _done: float, _of: float) -> None:
    """Tell nobody."""


def take_in(
    archive: Archive, shop: Shop, job: Job, paths: Sequence[Path], *, started: datetime | None = None, person: str | None = None,
    ear: Callable[[], Ear] | None = None, progress: Progress = no_progress, all_days: bool = False,
) -> Intake:  # fmt: skip
    """Take files and folders into a job; one bad file never stops the rest.

    `started` says when the first sound file began. `ear` is called when there is sound that has to be heard. Of a whole
    card only pictures of the job's days are taken, unless `all_days`.
    """
    intake = Intake()
    make_folders(shop.job_folder(job.id))
    sounds, pictures, words = _sort_files(paths, intake)
    for path in words:
        _guarded(path, intake, partial(_take_words, archive, job, path, person, started, intake, shop))
    for n, path in enumerate(sounds):
        began = started if n == 0 else None
        _guarded(path, intake, partial(_take_sound, archive, shop, job, path, began, person, ear, intake, progress))
    if pictures:
        take_pictures(archive, shop, job, _of_the_days(archive, shop, job, paths, pictures, all_days, intake), intake.count_photo, progress)  # fmt: skip
    if intake.remarks or intake.photos or archive.needs_reading(job.id, reader_version(shop.words)):
        progress("reading", 0, 0)
        intake.log = reread_job(archive, job, shop=shop)
    return intake


def _of_the_days(
    archive: Archive, shop: Shop, job: Job, paths: Sequence[Path], pictures: list[Path], all_days: bool, intake: Intake
) -> list[Path]:
    """Leave the pictures of other days that lie in whole cards and large folders among the paths."""
    if all_days:
        return pictures
    left: set[Path] = set()
    for folder in (path for path in paths if _is_folder(path)):
        inside = [picture for picture in pictures if picture.is_relative_to(folder)]
        kept, told = leave_other_days(archive, shop, job, folder, inside)
        left |= set(inside) - set(kept)
        if told is not None:
            intake.problems.append(told)
    return [picture for picture in pictures if picture not in left]


def _is_folder(path: Path) -> bool:
    """Tell a folder; what cannot even be looked at (a name too long) is none, and is told of where files are sorted."""
    try:
        return path.is_dir()
    except OSError:
        return False


def _guarded(path: Path, intake: Intake, take: Callable[[], None]) -> None:
    try:
        take()
    except NotebookError as error:
        if "disk is full" in error.message.lower():
            raise
        intake.problems.append(Problem(about=path.name, message=error.message, remedy=error.remedy))


def _sort_files(paths: Iterable[Path], intake: Intake) -> tuple[list[Path], list[Path], list[Path]]:
    sounds: list[Path] = []
    pictures: list[Path] = []
    words: list[Path] = []
    for path in paths:
        try:
            is_folder, is_there, is_file = path.is_dir(), path.exists(), path.is_file()
        except OSError as error:
            intake.problems.append(
                Problem(about=path.name[:60], message=f"It cannot be reached ({error.strerror}).", remedy="Check the name and the rights.")
            )  # fmt: skip
            continue
        if is_folder:
            inside = sorted(
                p
                for p in path.rglob("*")
                if p.is_file() and not any(part.startswith(".") for part in p.relative_to(path).parts)
            )
            more = _sort_files([p for p in inside if p.suffix.lower() in SOUND | PICTURES | WORDS], intake)
            sounds += more[0]
            pictures += more[1]
            words += more[2]
        elif not is_there:
            intake.problems.append(
                Problem(about=path.name or str(path), message="There is no such file.", remedy="Check the name.")
            )
        elif not is_file:
            intake.problems.append(
                Problem(about=path.name, message="This is a pipe or a device, no file; it was left.", remedy="Copy what it gives into a file.")
            )  # fmt: skip
        elif path.suffix.lower() in SOUND:
            sounds.append(path)
        elif path.suffix.lower() in PICTURES:
            pictures.append(path)
        elif path.suffix.lower() in WORDS:
            words.append(path)
        else:
            intake.problems.append(
                Problem(about=path.name, message="This is neither sound, photo nor remarks in words, by its name; it was left.", remedy="Sound: .wav .flac .mp3 .m4a .ogg .mp4 ...; photos: .jpg .png .heic .webp; words: .txt .jsonl.")
            )  # fmt: skip
    return sounds, pictures, words


# --- remarks in words ------------------------------------------------------------------------------------


def _take_words(
    archive: Archive, job: Job, path: Path, person: str | None, started: datetime | None, intake: Intake, shop: Shop
) -> None:
    from notebook.audio.weights import sha256_of_file

    try:
        if path.stat().st_size > LONGEST_WORDS_FILE:
            raise NotebookError("This file is too long for remarks in words; it was left.", "Cut it into smaller ones.")
        text = path.read_text(encoding="utf-8-sig")
        sha256 = sha256_of_file(path)
    except UnicodeDecodeError as error:
        raise NotebookError("This is not text in UTF-8; it was left.", "Save it as plain text.") from error
    except OSError as error:
        raise NotebookError(
            f"It cannot be read ({error.strerror}); nothing was changed.", "Check the file and its rights."
        ) from error
    lines = [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip()]
    if not lines:
        raise NotebookError("There is not one remark in it.", "Write one remark a line.")
    sitting = Sitting(
        id=lasting_id(job.id, sha256, "sitting"),
        job_id=job.id,
        person=person,
        started=started or job.opened,
        zone=shop.settings.zone,
    )
    archive.add_sitting(sitting)
    reader = reader_for(shop, job.machine.kind)
    for number, line in lines:
        key = f"{sha256}:{number}"
        if archive.has_remark(job.id, key):
            intake.known_remarks += 1
            continue
        said = _said_in_line(line, path, number, intake)
        if said is None:
            continue
        at, seconds, words = said
        _store(archive, job, reader, key, intake, Remark(
            id=lasting_id(job.id, key), sitting_id=sitting.id, order=archive.next_order(job.id), at=at, seconds=seconds, person=person, heard=words, text=words,
        ))  # fmt: skip


def _said_in_line(
    line: str, path: Path, number: int, intake: Intake
) -> tuple[datetime | None, float | None, str] | None:
    remedy = 'Write {"at": "2026-03-04T09:12:00+00:00", "seconds": 3.2, "text": "..."}.'
    try:
        said = (None, None, line.strip()) if path.suffix.lower() == ".txt" else _said_in_row(json.loads(line))
        if len(said[2]) > LONGEST_REMARK:
            remedy = "Cut it into several."
            raise ValueError(f"it has more than {LONGEST_REMARK} characters")
        return said
    except (ValueError, TypeError, OverflowError, RecursionError) as error:
        why = "it is no JSON" if isinstance(error, (json.JSONDecodeError, RecursionError)) else error
        intake.problems.append(
            Problem(about=f"{path.name} line {number}", message=f"This line is no remark ({why}); it was left, the rest was taken.", remedy=remedy)
        )  # fmt: skip
        return None


def _said_in_row(row: Any) -> tuple[datetime | None, float | None, str]:
    if not isinstance(row, dict):
        raise ValueError("it is no object with a text")
    at = datetime.fromisoformat(row["at"]) if row.get("at") else None
    if at is not None and at.tzinfo is None:
        raise ValueError("its time has no zone")
    text = row.get("text")
    if not isinstance(text, str) or not text.strip():
        raise ValueError("it has no text")
    if any("\ud800" <= c <= "\udfff" for c in text):  # JSON may hold half of a sign, which no store takes
        raise ValueError("its text holds half of a sign")
    seconds = float(row["seconds"]) if row.get("seconds") is not None else None
    if seconds is not None and not 0 <= seconds < math.inf:
        raise ValueError("its seconds are no length")
    return at.astimezone(UTC) if at else None, seconds, text.strip()


def _store(archive: Archive, job: Job, reader: Reader, key: str, intake: Intake, remark: Remark) -> None:
    reading = reader.read(remark.text, line=remark.id)
    read = replace(
        remark,
        tidied=reading.tidied,
        changes=reading.changes,
        entries=name_entries(remark.id, reading.entries, reading.tidied),
    )
    _count(intake, archive.add_remark(job.id, read, source_key=key))


def _count(intake: Intake, is_new: bool) -> None:
    """Count a remark; one that another program took in meanwhile was there already."""
    intake.remarks += is_new
    intake.known_remarks += not is_new


# --- sound -----------------------------------------------------------------------------------------------


def _take_sound(
    archive: Archive, shop: Shop, job: Job, path: Path, started: datetime | None, person: str | None, ear: Callable[[], Ear] | None, intake: Intake,
    progress: Progress,
) -> None:  # fmt: skip
    from notebook.audio.hear import hear_sound
    from notebook.audio.keep import keep_original_sound

    sha256 = _sha256_of_sound(path)
    known = archive.recording(job.id, sha256)
    if known is not None and known[2]:
        intake.known_remarks += archive.count_remarks_of(job.id, sha256)
        return
    if ear is None:
        raise NotebookError("There is no speech model to hear it with.", "Get one with: teardown doctor --get-models")
    so_far = _SoFar(job.machine.kind, shop)
    stored = {r.first_sample: r for r in archive.load_log(job).remarks if r.recording_sha256 == sha256} if known else {}
    listener = ear()
    with hear_sound(
        path,
        listener,
        lambda: so_far.make_prompt(listener),
        is_known=lambda first: archive.has_remark(job.id, f"{sha256}:{first}"),
        choose=so_far.choose,
    ) as hearing:
        began, how = (started, "said when it was taken in") if started else (hearing.began, hearing.began_how)
        if known is not None and known[0].started is not None and started is None:
            began, how = known[0].started, known[0].started_how
        intake.started_how.append(
            f"{one_line(path.name)} began {began:%Y-%m-%d %H:%M:%S %Z}: {how}"
            if began
            else f"{one_line(path.name)}: when it began is not known"
        )
        kept = keep_original_sound(path, shop.job_folder(job.id) / "sound", sha256)
        recording = Recording(
            sha256=sha256,
            name=one_line(path.name),
            rate_hz=hearing.rate_hz,
            sample_count=0,
            started=began,
            started_how=how,
        )
        sitting = Sitting(
            id=lasting_id(job.id, sha256, "sitting"),
            job_id=job.id,
            person=person,
            started=began or job.opened,
            zone=shop.settings.zone,
        )
        archive.add_sitting(sitting)
        archive.add_recording(job.id, sitting.id, recording, str(kept.relative_to(shop.folder)))
        for heard in hearing:
            progress(f"hearing {one_line(path.name)}", heard.end_s, hearing.length_s or 0)
            if heard.transcript is None:
                intake.known_remarks += 1
                if (earlier := stored.get(heard.first_sample)) is not None:
                    so_far.read(earlier)
                continue
            if not heard.transcript.text.strip():
                intake.dropped += 1
                continue
            key = f"{sha256}:{heard.first_sample}"
            remark = Remark(
                id=lasting_id(job.id, key), sitting_id=sitting.id, order=archive.next_order(job.id),
                at=began + timedelta(seconds=heard.start_s) if began else None, seconds=round(heard.end_s - heard.start_s, 3), person=person,
                recording_sha256=sha256, first_sample=heard.first_sample, sample_count=heard.sample_count, heard=heard.transcript.heard,
                text=heard.transcript.text, words=heard.transcript.words, doubt=heard.transcript.doubt, unsettled=heard.transcript.unsettled,
            )  # fmt: skip
            is_new = archive.add_remark(
                job.id, so_far.read(remark), source_key=key, transcript=heard.transcript, sound_path=str(kept.relative_to(shop.folder))
            )  # fmt: skip
            _count(intake, is_new)
        archive.finish_recording(job.id, sha256, hearing.sample_count)
        intake.problems.extend(hearing.problems)


class _SoFar:
    """What was said and named in a recording up to here; a run that goes on is told of what is stored already."""

    def __init__(self, machine: str, shop: Shop) -> None:
        self._machine = machine
        self._shop = shop
        self._shop_words = shop.words.names
        self._reader = reader_for(shop, machine)
        self._named: list[str] = []
        self._said: list[str] = []

    def read(self, remark: Remark) -> Remark:
        """Read a remark after those before it, and remember it."""
        reading = self._reader.read(remark.text, line=remark.id)
        entries = name_entries(remark.id, reading.entries, reading.tidied)
        self._said.append(remark.text)
        self._named.extend(c for e in entries if (c := getattr(e, "component", None)))
        return replace(remark, tidied=reading.tidied, changes=reading.changes, entries=entries)

    def choose(self, texts: Sequence[str], logs: Sequence[float]) -> Choice:
        """Choose among what the ear may have heard."""
        return chooser_for(self._shop, self._machine, self._named)(texts, logs)

    def make_prompt(self, listener: Ear) -> str:
        """Make the prompt for the next remark."""
        from notebook.audio.prompt import make_prompt
        from notebook.jobs.ear_words import words_for_ear

        words = words_for_ear(self._machine, self._named, self._shop_words)
        return make_prompt(self._machine, words, self._said[-1:], listener.count_tokens)


def _sha256_of_sound(path: Path) -> str:
    from notebook.audio.weights import sha256_of_file

    try:
        return sha256_of_file(path)
    except OSError as error:
        raise NotebookError(
            f"It cannot be read ({error.strerror}); nothing was changed.", "Check the file and its rights."
        ) from error
