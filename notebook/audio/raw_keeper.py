"""Keeps the raw files of one listening in order, and holds on in memory while the disk is full.

In: blocks, and which remarks ended, are done or are to be erased. Out: raw files that come and go.
Never raises for a full disk: what could not be written waits and is tried again with the next block.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from notebook.audio.raw import RawFile, RawPlace

RATE_HZ = 16000
ROLL_AFTER_S = 20.0
"""Silence is kept no longer than this: then a new file is begun and the old one goes."""
MOST_WAITING_S = 600.0
"""Sound held in memory while the disk is full; 19 MB."""


class RawKeeper:
    """The raw files of one listening; call from one thread."""

    def __init__(self, folder: Path, place: RawPlace) -> None:
        self._folder = folder
        self.listening = place.listening
        self._place = place
        self._now: RawFile | None = None
        self._older: list[RawFile] = []
        self._to_do: deque[Callable[[], None]] = deque()
        self.trouble: OSError | None = None
        """Why nothing can be written now; None while all is well."""
        self._file_start = place.first_sample
        self._end = place.first_sample
        self._to_do.append(lambda: self._start(place.first_sample))

    @property
    def waiting_s(self) -> float:
        """How much sound may wait in memory, at most, for the disk."""
        return len(self._to_do) * 0.032

    @property
    def file_samples(self) -> int:
        """Length of the file now being written."""
        return self._end - self._file_start

    def add(self, block: NDArray[np.int16]) -> None:
        """Write the next block."""
        self._end += len(block)
        self._do(lambda: self._file().write(block))

    def note_ended(self, first_sample: int, samples: int) -> None:
        """Note that a remark ended."""
        self._do(lambda: self._file().note_ended(first_sample, samples))

    def note_done(self, first_sample: int) -> None:
        """Note that a remark is stored, and let go of files in which nothing waits."""
        self._do(lambda: self._done(first_sample))

    def erase(self, first_sample: int, samples: int) -> None:
        """Overwrite a stretch that was no remark, and note that it is done."""

        def erase() -> None:
            for raw in (*self._older, *([self._now] if self._now else [])):
                raw.erase(first_sample, samples)
            self._done(first_sample)

        self._do(erase)

    def roll(self, first_sample: int, kept: NDArray[np.int16]) -> None:
        """Begin a new file with the sound kept from `first_sample` on; nobody speaks now."""
        self._file_start = first_sample

        def roll() -> None:
            old = self._file()
            self._start(first_sample)
            self._file().write(kept)
            old.note_closed()
            self._older.append(old)
            self._let_go()

        self._do(roll)

    def close(self) -> None:
        """Close the file being written; files in which a remark waits stay until it is done."""

        def close() -> None:
            old = self._file()
            old.note_closed()
            self._now = None
            self._older.append(old)
            self._let_go()

        self._do(close)

    @property
    def is_finished(self) -> bool:
        """Whether every file has gone."""
        return self._now is None and not self._older and not self._to_do

    def leave(self) -> None:
        """Close every file and leave those in which a remark waits for the next start."""
        for raw in (*self._older, *([self._now] if self._now else [])):
            raw.close(remove=not raw.open_remarks)
        self._older, self._now = [], None

    def try_again(self) -> None:
        """Do what could not be done while the disk was full."""
        try:
            while self._to_do:
                self._to_do[0]()
                self._to_do.popleft()
            if self._now is not None:
                self._now.sync_when_due()
        except OSError as error:
            self.trouble = error
        else:
            self.trouble = None

    def _do(self, what: Callable[[], None]) -> None:
        self._to_do.append(what)
        self.try_again()

    def _file(self) -> RawFile:
        assert self._now is not None
        return self._now

    def _start(self, first_sample: int) -> None:
        self._now = RawFile.start(self._folder, replace(self._place, first_sample=first_sample))

    def _done(self, first_sample: int) -> None:
        for raw in (*self._older, *([self._now] if self._now else [])):
            if first_sample in raw.open_remarks:
                raw.note_done(first_sample)
        self._let_go()

    def _let_go(self) -> None:
        for raw in [raw for raw in self._older if not raw.open_remarks]:
            raw.close(remove=True)
            self._older.remove(raw)
