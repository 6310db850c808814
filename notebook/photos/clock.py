"""How far a camera's clock is off, worked out from what was said, or read off a sync card.

In: the times of one camera's pictures, what was said when, and the spoken photo cues, in whole microseconds.
Out: an offset, perhaps with a drift, whether it is sure, and why. Never links, never reads a clock.

Every offset that would explain one picture by one cue is looked at. The likelihood of each lets cues go without a
picture and pictures without a cue, and knows no mechanic's habit beforehand: quick and slow hands are both tried.
What is claimed is what holds all but a sliver of the likelihood. Times stay whole numbers, so that moving all
pictures by any whole second moves the offset by exactly that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from notebook.entries import PhotoCue
from notebook.nouns import Remark
from notebook.photos.habits import (
    BACK_UNANSWERED,
    COMMON_HABIT,
    CUE_UNANSWERED,
    HABIT_SHARES,
    LOOSE_PER_S,
    USUAL_S,
    WAITING,
    Real,
    back_density,
    next_density,
    plain_density,
)

SECOND_US = 1_000_000
BAND_US = 26 * 3600 * SECOND_US
"""A clock is searched this far both ways: the widest two zones are 26 h apart."""
ADJACENT_US = 10 * SECOND_US
"""Offsets this near are one answer, told less exactly."""
FEW_CUES, FEWEST_CUES = 3, 2
CLEARLY_BETTER, CLEARLY_BETTER_BY_FEWEST = 2.0, 2.5
"""How much better the best offset must explain everything than all others together, as a log of odds: 7 to 1, and 12 to 1
where only two cues agree. On made sessions the odds are truer than they say (DEVELOPERS.md)."""
LEFT_OUT = 0.004
"""Share of the likelihood that may lie outside of what is claimed."""
LEAST_CLAIM_S = 1.0
CARD_CLAIM_S = 1.5
"""A card shows whole seconds, and some clocks know no others."""
LIKELY_WRONG_US = 2 * SECOND_US
RIGHT_SHARE, RIGHT_S = 0.4, 300.0
ZONE_SHARE, ZONE_S = 0.3, 120.0
"""Clocks that are about right, or right but for the zone, and by how much they are then off: common practice (no source)."""
DRIFT_AFTER_US = 3 * 3600 * SECOND_US
DRIFTS_S_A_DAY = np.array([-5.0, -3.0, -1.0, 0.0, 1.0, 3.0, 5.0])
_DAY_US = 86_400 * SECOND_US

_FEW_HABITS = np.array([1, 3, 5, 8, 10, 12])
_CANDIDATES = 24
_BIN_S = 0.5
_KERNEL_S = 20.0
_COARSE_STEP_US = SECOND_US
_FINE_STEP_US = SECOND_US // 4
_MOST_AT_ONCE = 400_000
_Whole = NDArray[np.int64]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenCue:
    """A photo cue in a remark, with times in microseconds since 1970."""

    remark_id: str
    starts_us: int
    said_us: int
    """When the words of the cue were over, by their place in the remark."""
    ends_us: int
    """When the remark was over."""
    looks_back: bool
    """The picture had been taken already ("got a picture of that")."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockOffset:
    """What is known of one camera's clock."""

    camera: str
    offset_s: float
    """How far its clock is ahead of the notebook's, at the middle of its pictures; 0 where that is not sure."""
    drift_s_a_day: float = 0.0
    """How much further ahead it is a day later; 0 where the pictures are of a few hours."""
    sure: bool
    agreeing: int
    """Cues that get a picture by this offset."""
    cues: int
    """Photo cues said in the job."""
    pictures: int
    cards: int = 0
    """Pictures of the sync card."""
    by_file_time: bool = False
    """The clock is that of the files' time of change, not the camera's own."""
    within_s: float
    """How far the offset may be from this; 0 where it is not sure."""
    why: str
    """In words: what it rests on, or why it is not sure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OffsetFit:
    """The offset that explains everything best, and how much better it is than any other."""

    offset_us: int
    drift_s_a_day: float = 0.0
    middle_us: int = 0
    """Camera time at which the offset holds, where there is a drift."""
    habit: int = COMMON_HABIT
    """Which of the habits goes with it."""
    within_us: int
    agreeing: int
    """Cues that get a picture at a time that speaks for it."""
    ahead: float
    """Log of the odds against all offsets elsewhere together."""
    by_card: bool = False
    """Read off the sync card, and so past doubt."""

    @property
    def sure(self) -> bool:
        """Tell whether enough cues agree, and the offset is clearly better than any other."""
        if self.by_card:
            return True
        needed = CLEARLY_BETTER if self.agreeing >= FEW_CUES else CLEARLY_BETTER_BY_FEWEST
        return self.agreeing >= FEWEST_CUES and self.ahead >= needed

    def put_right(self, at_us: int) -> int:
        """Give the notebook's time of a moment by the camera's clock."""
        return at_us - self.offset_us - round(self.drift_s_a_day * SECOND_US * (at_us - self.middle_us) / _DAY_US)


def to_us(moment: datetime) -> int:
    """Give microseconds since 1970, exactly; a time without zone is taken as UTC."""
    aware = moment if moment.tzinfo is not None else moment.replace(tzinfo=UTC)
    since = aware - _EPOCH
    return (since.days * 86400 + since.seconds) * SECOND_US + since.microseconds


def length_us(remark: Remark) -> int:
    """Give how long a remark was being said; 0 where that is not known."""
    seconds = remark.seconds
    return round(seconds * SECOND_US) if seconds is not None and 0 < seconds < 86400 else 0


def list_cues(remarks: Sequence[Remark]) -> list[SpokenCue]:
    """List the photo cues of the remarks that have a time, in the order said, as the entries give them."""
    cues = []
    for remark in remarks:
        if remark.at is None:
            continue
        starts, length = to_us(remark.at), length_us(remark)
        for entry in remark.entries:
            if isinstance(entry, PhotoCue) and not entry.struck:
                cues.append(
                    SpokenCue(
                        remark_id=remark.id,
                        starts_us=starts,
                        said_us=starts + _place_in_remark(entry, remark, length),
                        ends_us=starts + length,
                        looks_back=entry.which == "before",
                    )
                )
    return sorted(cues, key=lambda cue: (cue.said_us, cue.remark_id, cue.looks_back))


def fit_card(shots_us: Sequence[int], shown_us: Sequence[int]) -> OffsetFit | None:
    """Read the offset off pictures of the sync card, and a drift where two are half a day apart; None without any.

    `shots_us` are the camera's own times of those pictures, `shown_us` what the card showed.
    """
    if not shots_us:
        return None
    pairs = sorted(zip(shots_us, shown_us, strict=True))
    shots = np.array([shot for shot, _ in pairs], dtype=np.int64)
    ahead = np.array([shot - shown for shot, shown in pairs], dtype=np.int64)
    half_us = SECOND_US // 2  # a whole-second clock is behind by half a second in the middle, and so is the card
    ahead = ahead + (half_us if not (shots % SECOND_US).any() else 0) - half_us
    span_us = int(shots[-1] - shots[0])
    drift = float(ahead[-1] - ahead[0]) / SECOND_US / (span_us / _DAY_US) if span_us > _DAY_US // 2 else 0.0
    drift = drift if abs(drift) <= 20.0 else 0.0
    return OffsetFit(
        offset_us=int(np.median(ahead)) if not drift else int(ahead[0]),
        drift_s_a_day=drift,
        middle_us=int(shots[0]),
        within_us=round(CARD_CLAIM_S * SECOND_US),
        agreeing=len(pairs),
        ahead=np.inf,
        by_card=True,
    )


def fit_offset(
    shots_us: Sequence[int],
    cues: Sequence[SpokenCue],
    said_us: Sequence[tuple[int, int]] = (),
    answered: Sequence[float] = (),
) -> OffsetFit | None:
    """Find the offset within +-26 h that explains everything best; None where it could explain no cue.

    `shots_us` are the camera's own times of single pictures and first pictures of bursts, `said_us` start and end
    of every remark, `answered` how likely each cue has the picture of another camera.
    """
    shots = np.unique(np.array(shots_us, dtype=np.int64))
    if not shots.size or not cues:
        return None
    shots = shots + (0 if (shots % SECOND_US).any() else SECOND_US // 2)  # a clock of whole seconds cuts the rest off
    scene = _Scene(cues, said_us or [(cue.starts_us, cue.ends_us) for cue in cues], answered)
    peaks = _find_candidates(shots, scene)
    if not peaks.size:
        return None
    around: _Whole = np.arange(-ADJACENT_US, ADJACENT_US + 1, _COARSE_STEP_US, dtype=np.int64)
    coarse = (peaks[:, None] + around[None, :]).ravel()
    totals = _mix_habits(scene.score(coarse, shots, _FEW_HABITS), _FEW_HABITS)
    totals = totals + _weigh_offsets(coarse)
    best = coarse[totals.argmax()]
    middle = int(shots[len(shots) // 2])
    drifts = DRIFTS_S_A_DAY if shots[-1] - shots[0] > DRIFT_AFTER_US else np.zeros(1)
    fine = best + np.arange(-ADJACENT_US, ADJACENT_US + 1, _FINE_STEP_US, dtype=np.int64)
    habits = np.arange(len(USUAL_S))
    by_drift = np.stack([scene.score(fine, _undrift(shots, drift, middle), habits) for drift in drifts])
    by_drift = by_drift + np.log(HABIT_SHARES)[None, None, :] - (drifts**2 / 18)[:, None, None]
    weights = np.exp(by_drift - by_drift.max())
    share = weights.sum(axis=(0, 2)) / weights.sum()
    place = _steadiest(fine, share)
    near = weights[:, abs(fine - fine[place]) <= LIKELY_WRONG_US, :]
    drift = float((near.sum(axis=(1, 2)) * drifts).sum() / near.sum())
    habit = int(near.sum(axis=(0, 1)).argmax())
    elsewhere = totals[np.abs(coarse - fine[place]) > ADJACENT_US]
    here = totals[np.abs(coarse - fine[place]) <= ADJACENT_US]
    return OffsetFit(
        offset_us=int(fine[place]),
        drift_s_a_day=round(drift, 2),
        middle_us=middle,
        habit=habit,
        within_us=_claim(fine, share, place),
        agreeing=scene.count_agreeing(int(fine[place]), _undrift(shots, drift, middle), habit),
        ahead=float(_log_sum(here) - max(_log_sum(elsewhere), scene.score_none(len(shots)))),
    )


class _Scene:
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

    def score(self, offsets: _Whole, shots: _Whole, habits: NDArray[np.intp]) -> Real:
        """Give the log of the likelihood of everything, by offset and habit."""
        cells = (len(shots) + len(self.words) + len(self.back)) * 6 * len(habits)
        step = max(1, _MOST_AT_ONCE // cells)
        parts = [self._score_some(offsets[i : i + step], shots, habits) for i in range(0, len(offsets), step)]
        return np.concatenate(parts)

    def _score_some(self, offsets: _Whole, shots: _Whole, habits: NDArray[np.intp]) -> Real:
        plain = self.rate_plain(shots[None, :] - offsets[:, None])
        odds = self._odds(offsets, shots, plain, habits)
        answers = self.answers[None, :, None]
        cue_log = np.log(1 - answers + answers * odds).sum(axis=1)
        total: Real = np.log(plain).sum(axis=1)[:, None] + cue_log
        return total

    def rate_plain(self, at: _Whole) -> Real:
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

    def _odds(self, offsets: _Whole, shots: _Whole, plain: Real, habits: NDArray[np.intp]) -> Real:
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

    def count_agreeing(self, offset_us: int, shots: _Whole, habit: int) -> int:
        """Count the cues that get a picture by this offset at a usual time."""
        offsets = np.array([offset_us], dtype=np.int64)
        plain = self.rate_plain(shots[None, :] - offsets[:, None])
        return int((self._odds(offsets, shots, plain, np.array([habit])) > 1.0).sum())


def _find_candidates(shots: _Whole, scene: _Scene) -> _Whole:
    """Give the offsets at which most pictures stand where a cue would have them, by counting every pair."""
    half = int(BAND_US / SECOND_US / _BIN_S)
    reach = int(_KERNEL_S / _BIN_S)
    votes = np.zeros(2 * half + 1)
    base = 0
    lags = (np.arange(-reach, reach + 1) * _BIN_S).astype(float)
    forward = next_density(lags, lags, 3.5, 0.0)
    for anchors, kernel in (
        (scene.words, forward),
        (scene.ends, forward / 3),
        (scene.back, back_density(-lags, -lags)),
    ):
        apart = (shots[:, None] - anchors[None, :]).ravel()
        apart = apart[np.abs(apart) <= BAND_US]
        if not apart.size:
            continue
        base = base or int(apart[0])
        bins = np.rint((apart - base % (SECOND_US // 2)) / (SECOND_US * _BIN_S)).astype(int) + half
        counts = np.bincount(bins.clip(0, 2 * half), minlength=2 * half + 1)
        for place in (int(n) for n in np.flatnonzero(counts)):  # a pair says: the offset is this less the delay
            low, high = max(0, place - reach), min(2 * half, place + reach)
            votes[low : high + 1] += counts[place] * kernel[reach - (high - place) : reach + (place - low) + 1][::-1]
    peaks: list[int] = []
    for _ in range(_CANDIDATES):
        top = int(votes.argmax())
        if votes[top] <= 0:
            break
        peaks.append((top - half) * SECOND_US // 2 + base % (SECOND_US // 2))
        votes[max(0, top - 12) : top + 13] = 0
    found = np.array(peaks, dtype=np.int64)
    kept: _Whole = found[np.abs(found) <= BAND_US]
    return kept


def _weigh_offsets(offsets: _Whole) -> Real:
    """Give the log of how likely a clock is off by this before anything was said: about right, in a zone, or anyhow."""
    off_s = np.abs(offsets) / SECOND_US
    from_zone_s = np.abs(off_s - np.rint(off_s / 1800) * 1800)
    right = RIGHT_SHARE * np.exp(-off_s / RIGHT_S) / (2 * RIGHT_S)
    zone = ZONE_SHARE * np.exp(-from_zone_s / ZONE_S) / (2 * ZONE_S) / 104
    weight: Real = np.log(right + zone + (1 - RIGHT_SHARE - ZONE_SHARE) / (2 * BAND_US / SECOND_US))
    weight += np.log(2 * BAND_US / SECOND_US)
    return weight


def _undrift(shots: _Whole, drift_s_a_day: float, middle_us: int) -> _Whole:
    moved: _Whole = shots - np.rint(drift_s_a_day * SECOND_US * ((shots - middle_us) / _DAY_US)).astype(np.int64)
    return moved


def _mix_habits(scores: Real, habits: NDArray[np.intp]) -> Real:
    shares = HABIT_SHARES[habits] / HABIT_SHARES[habits].sum()
    top = scores.max(axis=1, keepdims=True)
    mixed: Real = top[:, 0] + np.log((np.exp(scores - top) * shares).sum(axis=1))
    return mixed


def _log_sum(scores: Real) -> float:
    if not scores.size:
        return -np.inf
    top = scores.max()
    return float(top + np.log(np.exp(scores - top).sum()))


def _steadiest(offsets: _Whole, share: Real) -> int:
    """Give the place of the offset that holds the most likelihood within two seconds; the middle of such."""
    within = np.abs(offsets[:, None] - offsets[None, :]) <= LIKELY_WRONG_US
    held = (within * share[None, :]).sum(axis=1)
    mean = int((offsets - offsets[0]) @ share) + offsets[0]
    top = np.flatnonzero(held >= held.max() - 1e-4)
    return int(top[np.abs(offsets[top] - mean).argmin()])


def _claim(offsets: _Whole, share: Real, place: int) -> int:
    """Give how far from the offset all but a sliver of the likelihood lies."""
    apart = np.abs(offsets - offsets[place])
    order = np.argsort(apart, kind="stable")
    held = np.cumsum(share[order])
    reach = int(apart[order][min(int(np.searchsorted(held, 1 - LEFT_OUT)), len(held) - 1)])
    return max(round(LEAST_CLAIM_S * SECOND_US), reach + _FINE_STEP_US)


def _place_in_remark(entry: PhotoCue, remark: Remark, length: int) -> int:
    """Give how far into the remark the words of the cue end: by the word heard last in it, else letters stand for time."""
    letters = len(remark.tidied)
    end = entry.span[1]
    if not 0 < end <= letters:
        return length
    from_end = 0  # what was changed in tidying moves the place
    for (_, tidied_end), (_, said_end), _ in remark.changes:
        if tidied_end <= end:
            from_end = tidied_end - said_end
    spoken = len(remark.text[: max(0, end - from_end)].split())
    if remark.words and len(remark.words) == len(remark.text.split()) and 0 < spoken <= len(remark.words):
        place = round(remark.words[spoken - 1].end_s * SECOND_US)
        return min(max(0, place), length)
    return length * end // letters
