"""Hear a sound file: from blocks to remarks with their words, one at a time, in flat memory.

In: a sound file and a loaded ear. Out: `HeardRemark`s in order, and problems beside them.
Stores nothing; what is known already is not transcribed again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from notebook.audio.decode import RATE_HZ, OpenSound, open_sound
from notebook.audio.level import level_sound
from notebook.audio.voice import Stretch, VoiceFilter
from notebook.errors import NOTHING_FOUND, NotebookError, Problem, one_line
from notebook.nouns import Transcript

if TYPE_CHECKING:
    from notebook.audio.ear import Chooser, Ear


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardRemark:
    """One remark of a sound file; `first_sample` and `sample_count` count at 16 kHz."""

    first_sample: int
    sample_count: int
    samples: NDArray[np.int16]
    transcript: Transcript | None
    """None where the caller said that this remark is known."""

    @property
    def start_s(self) -> float:
        """Second of the file at which it begins."""
        return self.first_sample / RATE_HZ

    @property
    def end_s(self) -> float:
        """Second of the file at which it ends."""
        return (self.first_sample + self.sample_count) / RATE_HZ


@dataclass(slots=True, kw_only=True)
class Hearing:
    """A sound file being heard: iterate over it once for its remarks."""

    name: str
    rate_hz: int
    length_s: float | None
    began: datetime | None
    began_how: str
    _sound: OpenSound
    _ear: Ear
    _make_prompt: Callable[[], str]
    _is_known: Callable[[int], bool]
    _choose: Chooser | None = None
    problems: list[Problem] = field(default_factory=list)

    @property
    def sample_count(self) -> int:
        """Samples read so far; all of them once the remarks have been gone through."""
        return self._sound.sample_count

    def __iter__(self) -> Iterator[HeardRemark]:
        for first, samples in cut_stretches(self._sound.blocks()):
            transcript = None
            if not self._is_known(first):
                transcript = self._ear.hear(level_sound(samples), self._make_prompt(), choose=self._choose)
            yield HeardRemark(first_sample=first, sample_count=len(samples), samples=samples, transcript=transcript)
        self.problems.extend(self._sound.problems)


@contextmanager
def hear_sound(
    path: Path,
    ear: Ear,
    make_prompt: Callable[[], str],
    *,
    is_known: Callable[[int], bool] = lambda _first: False,
    zone: tzinfo | None = None,
    choose: Chooser | None = None,
) -> Iterator[Hearing]:
    """Open a sound file for hearing; raise NotebookError when it is missing, unreadable or not sound.

    `make_prompt` is called afresh for each remark; `choose` chooses among the hypotheses of each. `is_known` tells, by first sample, which remarks need no hearing.
    """
    with open_sound(path, zone) as sound:
        yield Hearing(
            name=sound.name,
            rate_hz=sound.rate_hz,
            length_s=sound.length_s,
            began=sound.began,
            began_how=sound.began_how,
            _sound=sound,
            _ear=ear,
            _make_prompt=make_prompt,
            _is_known=is_known,
            _choose=choose,
        )


def cut_stretches(blocks: Iterator[NDArray[np.int16]]) -> Iterator[tuple[int, NDArray[np.int16]]]:
    """Cut blocks into stretches of speech; yields the first sample and the samples, holding no more than one stretch."""
    voice = VoiceFilter()
    kept = KeptSound()
    for block in blocks:
        kept.add(block)
        for stretch in voice.feed(block):
            yield stretch.first_sample, kept.take(stretch)
        kept.let_go(voice.keep_from)
    for stretch in voice.finish():
        yield stretch.first_sample, kept.take(stretch)


class KeptSound:
    """The last stretch of sound, from `first` on."""

    def __init__(self) -> None:
        self.first = 0
        self._blocks: list[NDArray[np.int16]] = []

    def add(self, block: NDArray[np.int16]) -> None:
        """Take the next block."""
        self._blocks.append(block)

    def take(self, stretch: Stretch) -> NDArray[np.int16]:
        """Give the samples of a stretch."""
        sound = np.concatenate(self._blocks) if self._blocks else np.zeros(0, np.int16)
        start = stretch.first_sample - self.first
        return sound[start : start + stretch.samples].copy()

    def let_go(self, before: int) -> None:
        """Forget whole blocks before a sample."""
        while self._blocks and self.first + len(self._blocks[0]) <= before:
            self.first += len(self._blocks.pop(0))


def read_stretch(path: Path, first_sample: int, sample_count: int) -> NDArray[np.int16]:
    """Read one stretch of a sound file, at 16 kHz; raise NotebookError when the file cannot be read or ends before it.

    A file that ends within the stretch gives what there is of it.
    """
    kept = KeptSound()
    with open_sound(path) as sound:
        for block in sound.blocks():
            kept.add(block)
            kept.let_go(first_sample)
            if sound.sample_count >= first_sample + sample_count:
                break
    found = kept.take(Stretch(first_sample=first_sample, samples=sample_count))
    if not len(found):
        raise NotebookError(
            f"'{one_line(path.name)}' ends before {first_sample / RATE_HZ:.1f} s; there is no sound at that place.",
            "Put back the file as it was taken in.",
            NOTHING_FOUND,
        )
    return found
