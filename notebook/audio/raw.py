"""Raw sound on disk as it is heard, so that a kill at any moment loses at most half a second.

In: blocks of int16 samples with their place in the listening. Out: a `.raw` file (16-bit little-endian, mono, 16 kHz)
and beside it a `.jsonl`: where it belongs, then one line for each remark that ended and one for each that is done.
A remark that is judged to be none is overwritten with silence. A file goes once everything in it is done.
Never encodes and never judges. Raw and not FLAC, because of twenty kills of each way only raw lost nothing.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

SYNC_EVERY_S = 0.4
"""Less than the half second that may be lost, by one block and the time a slow disk takes."""
SAMPLE_BYTES = 2
_sync_file: Callable[[int], None] = getattr(os, "fdatasync", os.fsync)


@dataclass(frozen=True, slots=True, kw_only=True)
class RawPlace:
    """Where a raw file belongs: the first line beside it."""

    listening: str
    """One unbroken stretch of listening; sample numbers count from its start."""
    job_id: str
    sitting_id: str
    person: str | None
    anchor: datetime
    """Time of sample 0 of the listening, in UTC."""
    first_sample: int
    """Of this file, in the listening."""


@dataclass(slots=True)
class RawFile:
    """A raw file being written; call from one thread."""

    path: Path
    place: RawPlace
    samples: int = 0
    open_remarks: set[int] = field(default_factory=set)
    """First samples of remarks that ended and are not done."""
    _sound: Any = None
    _beside: Any = None
    _synced_at_s: float = 0.0
    _is_synced: bool = True

    @classmethod
    def start(cls, folder: Path, place: RawPlace) -> RawFile:
        """Make the two files; raises OSError where the disk is full."""
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{place.listening}-{place.first_sample:012}.raw"
        raw = cls(path, place)
        raw._beside = beside_of(path).open("ab", buffering=0)
        raw._note(
            {
                "listening": place.listening, "job": place.job_id, "sitting": place.sitting_id, "person": place.person,
                "anchor": place.anchor.isoformat(), "first_sample": place.first_sample, "rate_hz": 16000,
            }
        )  # fmt: skip
        raw._sound = path.open("w+b", buffering=0)
        _sync_folder(folder)
        return raw

    @property
    def end_sample(self) -> int:
        """Sample of the listening after the last one written."""
        return self.place.first_sample + self.samples

    def write(self, block: NDArray[np.int16]) -> None:
        """Append a block and sync every half second; raises OSError, with nothing of the block kept, when it cannot."""
        at = self.samples * SAMPLE_BYTES
        try:
            os.lseek(self._sound.fileno(), at, os.SEEK_SET)
            written = block.astype("<i2", copy=False).tobytes()
            while written:
                written = written[self._sound.write(written) :]
        except OSError:
            with suppress(OSError):
                self._sound.truncate(at)
            raise
        self.samples += len(block)
        self._is_synced = False
        self.sync_when_due()

    def sync_when_due(self) -> None:
        """Sync to the disk when half a second has gone since the last time."""
        now_s = time.monotonic()
        if not self._is_synced and now_s - self._synced_at_s >= SYNC_EVERY_S:
            _sync_file(self._sound.fileno())
            self._synced_at_s, self._is_synced = now_s, True

    def note_ended(self, first_sample: int, samples: int) -> None:
        """Note that a remark ended here, so that it is cut the same way after a kill."""
        self.open_remarks.add(first_sample)
        self._note({"ended": [first_sample, samples]})

    def note_done(self, first_sample: int) -> None:
        """Note that a remark is stored or erased."""
        self.open_remarks.discard(first_sample)
        self._note({"done": first_sample})

    def erase(self, first_sample: int, samples: int) -> None:
        """Overwrite a stretch with silence, at once."""
        start = max(first_sample, self.place.first_sample) - self.place.first_sample
        end = min(first_sample + samples, self.end_sample) - self.place.first_sample
        if end > start:
            os.lseek(self._sound.fileno(), start * SAMPLE_BYTES, os.SEEK_SET)
            self._sound.write(bytes((end - start) * SAMPLE_BYTES))
            _sync_file(self._sound.fileno())

    def note_closed(self) -> None:
        """Note that nothing half said is at its end."""
        self._note({"closed": True})

    def close(self, *, remove: bool) -> None:
        """Close the files, and remove them where nothing in them is waiting."""
        for file in (self._sound, self._beside):
            with suppress(OSError):
                file.close()
        if remove:
            remove_raw(self.path)

    def _note(self, line: dict[str, Any]) -> None:
        self._beside.write(json.dumps(line, ensure_ascii=False).encode() + b"\n")
        _sync_file(self._beside.fileno())


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftSound:
    """A raw file that was left by a notebook that was stopped."""

    path: Path
    place: RawPlace
    waiting: tuple[tuple[int, int], ...]
    """Remarks that had ended and were not done: first sample and samples, in the listening."""
    heard_to: int
    """Sample of the listening after the last remark that ended: what follows may hold half a remark."""
    is_closed: bool = False
    """True where it was closed in silence, so that nothing half said follows."""

    def read(self, first_sample: int, samples: int | None = None) -> NDArray[np.int16]:
        """Read a stretch; to the end of the file where no length is given."""
        start = max(0, first_sample - self.place.first_sample)
        with self.path.open("rb") as file:
            file.seek(start * SAMPLE_BYTES)
            sound = file.read(-1 if samples is None else samples * SAMPLE_BYTES)
        # A kill can leave half a sample.
        return np.frombuffer(sound[: len(sound) // SAMPLE_BYTES * SAMPLE_BYTES], "<i2").astype(np.int16)


def find_left_sound(folder: Path) -> Iterator[LeftSound]:
    """Give the raw files a stopped notebook left in a folder, in the order they were heard."""
    for beside in sorted(folder.glob("*.jsonl")):
        path = beside.with_suffix(".raw")
        left = _read_beside(beside, path)
        if left is None or not path.is_file():
            # Killed between making the two files: there is no sound yet.
            remove_raw(path)
        else:
            yield left


def _read_beside(beside: Path, path: Path) -> LeftSound | None:
    waiting: dict[int, int] = {}
    place: RawPlace | None = None
    heard_to = 0
    is_closed = False
    for text in beside.read_bytes().splitlines():
        try:
            line = json.loads(text)
            if "anchor" in line:
                place = RawPlace(
                    listening=line["listening"], job_id=line["job"], sitting_id=line["sitting"], person=line["person"],
                    anchor=datetime.fromisoformat(line["anchor"]), first_sample=line["first_sample"],
                )  # fmt: skip
                heard_to = max(heard_to, place.first_sample)
            elif "ended" in line:
                first, samples = line["ended"]
                waiting[first] = samples
                heard_to = max(heard_to, first + samples)
            elif "done" in line:
                waiting.pop(line["done"], None)
            elif "closed" in line:
                is_closed = True
        except (ValueError, KeyError, TypeError):
            continue  # the last line may be half written
    if place is None:
        return None
    return LeftSound(
        path=path, place=place, waiting=tuple(sorted(waiting.items())), heard_to=heard_to, is_closed=is_closed
    )


def beside_of(path: Path) -> Path:
    """Give the file beside a raw file."""
    return path.with_suffix(".jsonl")


def remove_raw(path: Path) -> None:
    """Remove a raw file, then what stands beside it."""
    path.unlink(missing_ok=True)
    beside_of(path).unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
