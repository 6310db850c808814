"""Listens: takes blocks from the microphone, keeps them, and tells when a remark pauses and ends.

In: a way to open the microphone, a folder for raw sound. Out: events, told from the listening thread as they happen.
Never waits for the ear: what was heard is handed on and the next block is taken. Opens the microphone again when it
is lost, and says so. What was asleep or shut leaves no sound.
"""

from __future__ import annotations

import queue
import threading
import time
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from notebook.audio.hear import KeptSound
from notebook.audio.microphone import SoundSource
from notebook.audio.raw import RawPlace
from notebook.audio.raw_keeper import MOST_WAITING_S, ROLL_AFTER_S, RawKeeper
from notebook.audio.voice import BEFORE_S, LONGEST_S, SILENCE_S, SileroVoice, Stretch, VoiceFilter
from notebook.errors import NotebookError

RATE_HZ = 16000
LOST_AFTER_S = 1.0
AGAIN_AFTER_S = 1.0
PAUSE_S = 0.3
"""After this much silence the ear may begin, in case nothing follows."""
LEVEL_EVERY_S = 0.1
SILENT_DB = -75.0
"""A microphone in a room never stays below this; one that is muted or unplugged at its other end does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelHeard:
    """How loud it is now."""

    db: float
    """Of full scale."""
    voice_on: bool
    dead_s: float
    """How long the microphone has given nothing at all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VoiceBegan:
    """Somebody began to speak, or went on after a pause."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardStretch:
    """A stretch of speech; a `RemarkPaused` may still go on, a `RemarkEnded` is over."""

    listening: str
    stretch: Stretch
    samples: NDArray[np.int16]
    at: datetime
    """When it began, in UTC, by the anchor of the listening."""
    sitting_id: str
    person: str | None
    voice_ended_s: float
    """Monotonic time of the last voiced sound."""
    is_kept: bool
    """False while asleep: then it is on no disk."""

    @property
    def key(self) -> str:
        """What the remark is made from, the same after a kill."""
        return f"bench:{self.listening}:{self.stretch.first_sample}"


class RemarkPaused(HeardStretch):
    """A remark that stopped for the time it takes to begin decoding."""


class RemarkEnded(HeardStretch):
    """A remark that is over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MicrophoneOpened:
    """The microphone works."""

    name: str
    away_since: datetime | None
    """When it was lost; None at the start."""
    at: datetime
    why: str = ""
    """Why it was away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MicrophoneLost:
    """No sound comes any more."""

    message: str
    remedy: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class DiskFilled:
    """Sound cannot be written; it waits in memory."""

    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DiskCleared:
    """Everything that waited is on disk again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundGone:
    """Sound that could not be kept, because the disk stayed full too long."""

    since: datetime
    at: datetime


Event = (
    LevelHeard | VoiceBegan | RemarkPaused | RemarkEnded | MicrophoneOpened | MicrophoneLost | DiskFilled | DiskCleared | SoundGone
)  # fmt: skip


def utc_now() -> datetime:
    """Give the time."""
    return datetime.now(UTC)


class Listener(threading.Thread):
    """The listening thread; everything that others ask of it is done between two blocks."""

    def __init__(
        self,
        *,
        open_source: Callable[[], SoundSource],
        folder: Path,
        job_id: str,
        sitting_id: str,
        person: str | None,
        tell: Callable[[Event], None],
        before_s: float = BEFORE_S,
        silence_s: float = SILENCE_S,
        by_key: bool = False,
        now: Callable[[], datetime] = utc_now,
    ) -> None:
        super().__init__(name="listener", daemon=True)
        self._open_source = open_source
        self._folder = folder
        self._job_id, self._sitting_id, self.person = job_id, sitting_id, person
        self._tell = tell
        self._before_s, self._silence_s = before_s, silence_s
        self._now = now
        self._asked: queue.SimpleQueue[Callable[[], None]] = queue.SimpleQueue()
        self._stop_asked = threading.Event()
        self._shut = 0
        self._shut_until_s = 0.0
        self._asleep = False
        self.by_key = by_key
        """One key starts and stops a remark, instead of the voice filter."""
        self._pressed = False
        self._keepers: list[RawKeeper] = []
        self._is_full = False
        self._dead_since_s: float | None = None
        self._levelled_s = 0.0
        self.voice_on = False
        self._voice_model: SileroVoice

    # --- asked from other threads ----------------------------------------------------------------------------

    def stop(self) -> None:
        """End the remark being heard, if any, and stop."""
        self._stop_asked.set()

    def shut(self) -> None:
        """Hear nothing until opened: the notebook speaks."""
        self._asked.put(lambda: self._set_shut(1))

    def open(self, after_s: float = 0.25) -> None:
        """Hear again, a moment after the notebook has spoken."""
        self._asked.put(lambda: self._set_shut(-1, after_s))

    def sleep(self, asleep: bool) -> None:
        """Keep no sound while asleep; remarks are told all the same, for the phrase that wakes."""
        self._asked.put(lambda: setattr(self, "_asleep", asleep))

    def note_done(self, listening: str, first_sample: int) -> None:
        """Note that a remark is stored."""
        self._asked.put(lambda: self._done(listening, first_sample))

    def erase(self, listening: str, first_sample: int, samples: int) -> None:
        """Erase a stretch that was no remark."""
        self._asked.put(lambda: self._erase(listening, first_sample, samples))

    def press(self) -> None:
        """Start or stop a remark by key."""
        self._asked.put(self._press)

    def set_by_key(self, by_key: bool) -> None:
        """Let a key start and stop remarks, or the voice."""

        def change() -> None:
            self.by_key, self._pressed = by_key, False

        self._asked.put(change)

    # --- the thread ------------------------------------------------------------------------------------------

    def run(self) -> None:
        """Listen until stopped."""
        lost: MicrophoneLost | None = None
        # Loaded before the microphone: what is heard must be on disk at once, and loading can take seconds on a busy machine.
        self._voice_model = SileroVoice()
        while not self._stop_asked.is_set():
            try:
                source = self._open_source()
            except NotebookError as error:
                if lost is None or lost.message != error.message:
                    lost = MicrophoneLost(
                        message=error.message, remedy=error.remedy, at=lost.at if lost else self._now()
                    )
                    self._tell(lost)
                self._wait(AGAIN_AFTER_S)
                continue
            opened_at = self._now()
            first = source.read(LOST_AFTER_S)
            if first is None:
                # A device that opens and gives nothing is as good as none.
                source.close()
                lost = self._lose(lost, opened_at)
                self._wait(AGAIN_AFTER_S)
                continue
            self._tell(
                MicrophoneOpened(
                    name=source.name, away_since=lost.at if lost else None, at=self._now(), why=lost.message if lost else ""
                )
            )  # fmt: skip
            lost = None
            try:
                is_lost = self._listen(source, first)
            finally:
                _close_quietly(source)
            if is_lost:
                lost = self._lose(None, self._now() - timedelta(seconds=LOST_AFTER_S))
        for keeper in self._keepers:
            keeper.leave()

    def finish_asked(self) -> None:
        """Do what was asked after the thread ended, so that a remark stored last leaves no raw sound."""
        self._do_asked()
        for keeper in self._keepers:
            keeper.leave()

    def _lose(self, before: MicrophoneLost | None, at: datetime) -> MicrophoneLost:
        lost = before or MicrophoneLost(
            message="The microphone is lost: no sound comes.", remedy="Plug it in again; listening goes on by itself.", at=at
        )  # fmt: skip
        if before is None:
            self._tell(lost)
        return lost

    def _listen(self, source: SoundSource, block: NDArray[np.int16] | None) -> bool:
        """Listen until the microphone is lost (True) or all is to stop (False); shut in between."""
        while True:
            while self._shut > 0 or time.monotonic() < self._shut_until_s:
                if self._stop_asked.is_set():
                    return False
                if source.read(LOST_AFTER_S) is None:
                    return True
                self._do_asked()
                block = None
            if block is None:
                block = source.read(LOST_AFTER_S)
                if block is None:
                    return True
            end = self._listen_stretch(source, block)
            if end != "shut":
                return end == "lost"
            block = None

    def _listen_stretch(self, source: SoundSource, first: NDArray[np.int16]) -> str:
        listening = _Listening(self, first)
        block: NDArray[np.int16] | None = first
        last_s = time.monotonic()
        while True:
            if block is not None:
                last_s = time.monotonic()
                listening.take(block)
                self._level(block)
            self._do_asked()
            self._watch_disk(listening)
            end = None
            if self._stop_asked.is_set():
                end = "stop"
            elif self._shut > 0 or listening.asleep != self._asleep or listening.is_over:
                end = "shut"
            elif time.monotonic() - last_s > LOST_AFTER_S:
                end = "lost"
            if end is not None:
                listening.finish()
                return end
            block = source.read(0.1)

    def _level(self, block: NDArray[np.int16]) -> None:
        now_s = time.monotonic()
        power = float(np.mean(np.square(block.astype(np.float32)))) if len(block) else 0.0
        db = 10 * float(np.log10(max(power, 1e-3))) - 90.3
        if db > SILENT_DB:
            self._dead_since_s = None
        elif self._dead_since_s is None:
            self._dead_since_s = now_s
        if now_s - self._levelled_s >= LEVEL_EVERY_S:
            self._levelled_s = now_s
            dead_s = now_s - self._dead_since_s if self._dead_since_s is not None else 0.0
            self._tell(LevelHeard(db=max(-90.0, db), voice_on=self.voice_on, dead_s=dead_s))

    def _watch_disk(self, listening: _Listening) -> None:
        self._keepers = [keeper for keeper in self._keepers if not keeper.is_finished]
        for keeper in self._keepers:
            if keeper.trouble is not None:
                keeper.try_again()
        trouble = next((keeper.trouble for keeper in self._keepers if keeper.trouble is not None), None)
        if trouble is not None and not self._is_full:
            self._is_full = True
            self._tell(DiskFilled(message=f"Sound cannot be written to the disk ({trouble.strerror or trouble})."))
        elif trouble is None and self._is_full:
            self._is_full = False
            self._tell(DiskCleared())
        if listening.keeper is not None and listening.keeper.waiting_s > MOST_WAITING_S:
            self._keepers.remove(listening.keeper)
            listening.is_over = True
            self._tell(SoundGone(since=self._now() - timedelta(seconds=MOST_WAITING_S), at=self._now()))

    def _do_asked(self) -> None:
        while not self._asked.empty():
            self._asked.get()()

    def _wait(self, seconds: float) -> None:
        self._do_asked()
        for keeper in self._keepers:
            keeper.try_again()
        self._stop_asked.wait(seconds)

    def _set_shut(self, by: int, after_s: float = 0.0) -> None:
        self._shut = max(0, self._shut + by)
        if by < 0:
            self._shut_until_s = time.monotonic() + after_s

    def _done(self, listening: str, first_sample: int) -> None:
        for keeper in self._keepers:
            if keeper.listening == listening:
                keeper.note_done(first_sample)

    def _erase(self, listening: str, first_sample: int, samples: int) -> None:
        for keeper in self._keepers:
            if keeper.listening == listening:
                keeper.erase(first_sample, samples)

    def _press(self) -> None:
        self._pressed = self.by_key


class _Listening:
    """One unbroken stretch of listening, with one clock anchor."""

    def __init__(self, owner: Listener, first: NDArray[np.int16]) -> None:
        self._owner = owner
        self.id = uuid.uuid4().hex[:12]
        self.asleep = owner._asleep
        self.is_over = False
        self._anchor = owner._now() - timedelta(seconds=len(first) / RATE_HZ)
        owner._voice_model.forget()
        self._voice = VoiceFilter(owner._voice_model, before_s=owner._before_s, silence_s=owner._silence_s)
        self._kept = KeptSound()
        self._heard = 0
        self._told_pause: Stretch | None = None
        self._key_from: int | None = None
        """First sample of the remark that a key began."""
        self.keeper: RawKeeper | None = None
        if not self.asleep:
            place = RawPlace(
                listening=self.id, job_id=owner._job_id, sitting_id=owner._sitting_id, person=owner.person,
                anchor=self._anchor, first_sample=0,
            )  # fmt: skip
            self.keeper = RawKeeper(owner._folder, place)
            owner._keepers.append(self.keeper)

    def take(self, block: NDArray[np.int16]) -> None:
        """Keep a block, then listen to it."""
        if self.keeper is not None:
            self.keeper.add(block)
        self._heard += len(block)
        self._kept.add(block)
        if self._owner.by_key:
            self._take_by_key()
            return
        was_on = self._voice.voice_on
        for stretch in self._voice.feed(block):
            self._end(stretch)
            was_on = False
        is_on = self._voice.voice_on
        self._owner.voice_on = is_on
        if is_on and not was_on:
            self._owner._tell(VoiceBegan())
        self._watch_pause()
        if not is_on:
            self._kept.let_go(self._voice.keep_from)
            self._roll()

    def finish(self) -> None:
        """End what is being said, and close the files."""
        if self._key_from is not None:
            self._end(Stretch(first_sample=self._key_from, samples=self._heard - self._key_from))
            self._key_from = None
        elif not self._owner.by_key:
            for stretch in self._voice.finish():
                self._end(stretch)
        self._owner.voice_on = False
        if self.keeper is not None and not self.is_over:
            self.keeper.close()

    def _watch_pause(self) -> None:
        """Tell of a pause once, and again when it turned out to be none."""
        if not self._voice.voice_on:
            self._told_pause = None
            return
        stretch = self._voice.stretch_so_far
        assert stretch is not None
        silence = self._heard - self._voice.last_voice
        if self._told_pause is not None and self._told_pause != stretch:
            self._told_pause = None
            self._owner._tell(VoiceBegan())
        if self._told_pause is None and silence >= PAUSE_S * RATE_HZ:
            stretch = self._voice.stretch_so_far
            if stretch is not None and stretch.samples + stretch.first_sample <= self._heard:
                self._told_pause = stretch
                self._owner._tell(RemarkPaused(**self._told(stretch)))

    def _end(self, stretch: Stretch) -> None:
        if self.keeper is not None:
            self.keeper.note_ended(stretch.first_sample, stretch.samples)
        self._owner._tell(RemarkEnded(**self._told(stretch)))

    def _told(self, stretch: Stretch) -> dict[str, Any]:
        last_voice = self._heard if self._owner.by_key else self._voice.last_voice
        return {
            "listening": self.id, "stretch": stretch, "samples": self._kept.take(stretch),
            "at": self._anchor + timedelta(seconds=stretch.first_sample / RATE_HZ), "sitting_id": self._owner._sitting_id,
            "person": self._owner.person, "voice_ended_s": time.monotonic() - (self._heard - last_voice) / RATE_HZ, "is_kept": self.keeper is not None,
        }  # fmt: skip

    def _take_by_key(self) -> None:
        owner = self._owner
        pressed, owner._pressed = owner._pressed, False
        start = self._key_from
        if start is None and pressed:
            self._key_from = max(self._kept.first, self._heard - round(owner._before_s * RATE_HZ))
            owner._tell(VoiceBegan())
        elif start is not None and (pressed or self._heard - start >= LONGEST_S * RATE_HZ):
            self._end(Stretch(first_sample=start, samples=self._heard - start, cut=not pressed))
            self._key_from = None if pressed else self._heard
        owner.voice_on = self._key_from is not None
        if self._key_from is None:
            self._kept.let_go(self._heard - round(owner._before_s * RATE_HZ))
            self._roll()

    def _roll(self) -> None:
        if self.keeper is not None and self.keeper.file_samples > ROLL_AFTER_S * RATE_HZ:
            first = self._kept.first
            self.keeper.roll(first, self._kept.take(Stretch(first_sample=first, samples=self._heard - first)))


def _close_quietly(source: SoundSource) -> None:
    # A dead sound server may never answer; its device is then left to the thread.
    closing = threading.Thread(target=source.close, daemon=True)
    closing.start()
    closing.join(1.0)
