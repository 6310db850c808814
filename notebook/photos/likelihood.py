"""How well an offset of a camera's clock goes with all that was said and all its pictures.

In: cues and remarks, and the camera's own times of its pictures, in whole microseconds. Out: logs of likelihood, by
offset and habit. Never chooses.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from notebook.photos.habits import (
    BACK_UNANSWERED,
    CUE_UNANSWERED,
    LOOSE_PER_S,
    USUAL_S,
    WAITING,
    Real,
    back_density,
    next_density,
    plain_density,
)
from notebook.photos.spoken_cues import SECOND_US, SpokenCue

Whole = NDArray[np.int64]
_MOST_AT_ONCE = 400_000


class Scene:
    """What was said, in arrays, and how well an offset goes with it."""

    def __init__(
        self, cues: Sequence[SpokenCue], said_us: Sequence[tuple[int, int]], answered: Sequence[float]
    ) -> None:
        asking = [cue for cue in cues if not cue.looks_back]
        looking = [cue for cue in cues if cue.looks_back]
        self.words = np.array([c.said_us for c in asking], np.int64)
        self.ends = np.array([c.ends_us for c in asking], np.int64)
        self.back = np.array([c.said_us for c in looking], np.int64)
        self.back_starts = np.array([c.starts_us for c in looking], np.int64)
        free = 1 - np.array(answered or [0.0] * len(cues))
        back = np.array([cue.looks_back for cue in cues], dtype=bool)
        self.answers = np.concatenate([(1 - CUE_UNANSWERED) * free[~back], (1 - BACK_UNANSWERED) * free[back]])
        """How likely each cue has a picture of this camera; those that ask first."""
        ordered = sorted(said_us)
        self.starts = np.array([s for s, _ in ordered], np.int64)
        self.stops = np.array([e for _, e in ordered], np.int64)

    def score_none(self, shot_count: int) -> float:
        """Give the log of the likelihood that no cue has a picture here and every picture is loose."""
        return float(np.log(1 - self.answers).sum() + shot_count * np.log(LOOSE_PER_S))

    def score(self, offsets: Whole, shots: Whole, habits: NDArray[np.intp]) -> Real:
        """Give the log of the likelihood of everything, by offset and habit."""
        cells = (len(shots) + len(self.words) + len(self.back)) * 6 * len(habits)
        step = max(1, _MOST_AT_ONCE // cells)
        parts = [self._score_some(offsets[i : i + step], shots, habits) for i in range(0, len(offsets), step)]
        return np.concatenate(parts)

    def _score_some(self, offsets: Whole, shots: Whole, habits: NDArray[np.intp]) -> Real:
        plain = self.rate_plain(shots[None, :] - offsets[:, None])
        odds = self._odds(offsets, shots, plain, habits)
        answers = self.answers[None, :, None]
        cue_log = np.log(1 - answers + answers * odds).sum(axis=1)
        total: Real = np.log(plain).sum(axis=1)[:, None] + cue_log
        return total

    def rate_plain(self, at: Whole) -> Real:
        """Give how many pictures a second that no cue speaks of are to be expected at these times."""
        place = np.searchsorted(self.starts, at, side="right")
        rate = np.full(at.shape, LOOSE_PER_S)
        for back in (-3, -2, -1, 0):
            index = place + back
            there = (index >= 0) & (index < len(self.starts))
            index = index.clip(0, len(self.starts) - 1)
            starts, stops = self.starts[index], self.stops[index]
            density = plain_density((at - starts) / SECOND_US, (at - stops) / SECOND_US, (stops - starts) / SECOND_US)
            rate += np.where(there, density, 0.0)
        return rate

    def _odds(self, offsets: Whole, shots: Whole, plain: Real, habits: NDArray[np.intp]) -> Real:
        """Give for each offset, cue and habit the odds that one of the pictures is its, and not by chance there."""
        rows = np.arange(len(offsets))[:, None]
        asked = np.zeros((len(offsets), len(self.words), len(habits)))
        first = np.searchsorted(shots, offsets[:, None] + self.words[None, :] - 6 * SECOND_US)
        for step in range(4):
            index, there = (first + step).clip(0, len(shots) - 1), first + step < len(shots)
            at = shots[index] - offsets[:, None]
            words_s, ends_s = (at - self.words) / SECOND_US, (at - self.ends) / SECOND_US
            density = next_density(words_s[..., None], ends_s[..., None], USUAL_S[habits], WAITING[habits])
            asked += np.where(there[..., None], density / plain[rows, index][..., None], 0.0)
        looked = np.zeros((len(offsets), len(self.back), 1))
        after = np.searchsorted(shots, offsets[:, None] + self.back[None, :])
        for step in (-2, -1, 0):
            index = (after + step).clip(0, len(shots) - 1)
            there = (after + step >= 0) & (after + step < len(shots))
            at = shots[index] - offsets[:, None]
            density = back_density((self.back - at) / SECOND_US, (self.back_starts - at) / SECOND_US)
            looked[..., 0] += np.where(there, density / plain[rows, index], 0.0)
        return np.concatenate([asked, np.broadcast_to(looked, (*looked.shape[:2], len(habits)))], axis=1)

    def count_agreeing(self, offset_us: int, shots: Whole, habit: int) -> int:
        """Count the cues that get a picture by this offset at a usual time."""
        offsets = np.array([offset_us], dtype=np.int64)
        plain = self.rate_plain(shots[None, :] - offsets[:, None])
        return int((self._odds(offsets, shots, plain, np.array([habit])) > 1.0).sum())
