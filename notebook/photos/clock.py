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

import numpy as np
from numpy.typing import NDArray

from notebook.photos.habits import (
    COMMON_HABIT,
    HABIT_SHARES,
    USUAL_S,
    Real,
    back_density,
    next_density,
)
from notebook.photos.likelihood import Scene, Whole
from notebook.photos.spoken_cues import SECOND_US, SpokenCue

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
_CARD_DRIFT_AFTER_US = 2 * 3600 * SECOND_US

_FEW_HABITS = np.array([1, 3, 5, 8, 10, 12])
_CANDIDATES = 24
_BIN_S = 0.5
_KERNEL_S = 20.0
_COARSE_STEP_US = SECOND_US
_FINE_STEP_US = SECOND_US // 4


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


def fit_card(
    shots_us: Sequence[int],
    shown_us: Sequence[int],
    others_us: Sequence[int] = (),
    cues: Sequence[SpokenCue] = (),
    said_us: Sequence[tuple[int, int]] = (),
    answered: Sequence[float] = (),
) -> OffsetFit | None:
    """Read the offset off pictures of the sync card, and a drift where two are half a day apart; None without any.

    `shots_us` are the camera's own times of those pictures, `shown_us` what the card showed, `others_us` the times of
    its other pictures: hours from the card the clock may have drifted, by what was said meanwhile, or nobody knows how.
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
    offset_us = int(np.median(ahead)) if not drift else int(ahead[0])
    farthest_us = max((min(abs(other - int(shot)) for shot in shots) for other in others_us), default=0)
    unknown_s = 0.0
    if not drift and farthest_us > _CARD_DRIFT_AFTER_US:
        unknown_s = DRIFTS_S_A_DAY[-1] * farthest_us / _DAY_US
        if cues:
            drift = _drift_from_card(offset_us, int(shots[0]), others_us, Scene(cues, said_us, answered))
    return OffsetFit(
        offset_us=offset_us,
        drift_s_a_day=drift,
        middle_us=int(shots[0]),
        within_us=round((CARD_CLAIM_S + unknown_s) * SECOND_US),
        agreeing=len(pairs),
        ahead=np.inf,
        by_card=True,
    )


def _drift_from_card(offset_us: int, card_us: int, shots_us: Sequence[int], scene: Scene) -> float:
    """Give the drift since the card that goes best with what was said, seconds a day; near 0 where little speaks."""
    shots = np.array(sorted(shots_us), dtype=np.int64)
    habits = np.arange(len(USUAL_S))
    offset = np.array([offset_us], dtype=np.int64)
    scores = np.stack([scene.score(offset, _undrift(shots, drift, card_us), habits)[0] for drift in DRIFTS_S_A_DAY])
    scores = scores + np.log(HABIT_SHARES) - (DRIFTS_S_A_DAY**2 / 18)[:, None]
    weights = np.exp(scores - scores.max())
    return round(float((weights.sum(axis=1) * DRIFTS_S_A_DAY).sum() / weights.sum()), 2)


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
    scene = Scene(cues, said_us or [(cue.starts_us, cue.ends_us) for cue in cues], answered)
    peaks = _find_candidates(shots, scene)
    if not peaks.size:
        return None
    around: Whole = np.arange(-ADJACENT_US, ADJACENT_US + 1, _COARSE_STEP_US, dtype=np.int64)
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


def _find_candidates(shots: Whole, scene: Scene) -> Whole:
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
    kept: Whole = found[np.abs(found) <= BAND_US]
    return kept


def _weigh_offsets(offsets: Whole) -> Real:
    """Give the log of how likely a clock is off by this before anything was said: about right, in a zone, or anyhow."""
    off_s = np.abs(offsets) / SECOND_US
    from_zone_s = np.abs(off_s - np.rint(off_s / 1800) * 1800)
    right = RIGHT_SHARE * np.exp(-off_s / RIGHT_S) / (2 * RIGHT_S)
    zone = ZONE_SHARE * np.exp(-from_zone_s / ZONE_S) / (2 * ZONE_S) / 104
    weight: Real = np.log(right + zone + (1 - RIGHT_SHARE - ZONE_SHARE) / (2 * BAND_US / SECOND_US))
    weight += np.log(2 * BAND_US / SECOND_US)
    return weight


def _undrift(shots: Whole, drift_s_a_day: float, middle_us: int) -> Whole:
    moved: Whole = shots - np.rint(drift_s_a_day * SECOND_US * ((shots - middle_us) / _DAY_US)).astype(np.int64)
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


def _steadiest(offsets: Whole, share: Real) -> int:
    """Give the place of the offset that holds the most likelihood within two seconds; the middle of such."""
    within = np.abs(offsets[:, None] - offsets[None, :]) <= LIKELY_WRONG_US
    held = (within * share[None, :]).sum(axis=1)
    mean = int((offsets - offsets[0]) @ share) + offsets[0]
    top = np.flatnonzero(held >= held.max() - 1e-4)
    return int(top[np.abs(offsets[top] - mean).argmin()])


def _claim(offsets: Whole, share: Real, place: int) -> int:
    """Give how far from the offset all but a sliver of the likelihood lies."""
    apart = np.abs(offsets - offsets[place])
    order = np.argsort(apart, kind="stable")
    held = np.cumsum(share[order])
    reach = int(apart[order][min(int(np.searchsorted(held, 1 - LEFT_OUT)), len(held) - 1)])
    return max(round(LEAST_CLAIM_S * SECOND_US), reach + _FINE_STEP_US)
