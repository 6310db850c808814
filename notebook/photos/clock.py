"""How far a camera's clock is off, worked out from what was said.

In: the times of one camera's pictures and the spoken photo cues, in whole microseconds.
Out: a constant offset, whether it is sure, and why. Never links, never reads a clock.

First form: every offset that would explain one picture by one cue is scored over all cues, each
by how usual the delay is that it would mean. Times stay whole numbers, so that moving all
pictures by any time moves the offset by exactly that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from notebook.entries import PhotoCue
from notebook.nouns import Remark

SECOND_US = 1_000_000
BAND_US = 26 * 3600 * SECOND_US
"""A clock is searched this far both ways: the widest two zones are 26 h apart."""
EARLY_US = 2 * SECOND_US
AFTER_CUE_US = 12 * SECOND_US
"""A picture that a cue asks for comes from a little before the cue is said to this long after its remark."""
ADJACENT_US = 6 * SECOND_US
"""Offsets this near are one answer, told less exactly."""
FEWEST_CUES = 3
CLEARLY_BETTER = 2.5
"""How much better the best offset must explain the cues than any other, as a log of odds: 12 to 1."""
STILL_POSSIBLE = 2.0
"""Offsets that explain them by this much less are within what is claimed."""
LEAST_CLAIM_US = 4 * SECOND_US

# How people take pictures: common practice (no source).
USUAL_DELAY_S, DELAY_SPREAD = 2.7, 0.65
"""Middle and spread (of its logarithm) of the delay from a cue to its picture."""
CUES_UNANSWERED = 1 / 3
ODD_DELAYS = 0.2
"""Share of pictures whose delay is like no other, anywhere from early to late."""
CHANCE_PER_S = 1 / 15
"""Pictures a second at a busy bench: how often one falls anywhere by chance."""

_PAIRS_AT_ONCE = 200_000
_STEP_US = SECOND_US // 4
_Whole = NDArray[np.int64]
_Real = NDArray[np.float64]

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
    """How far its clock is ahead of the notebook's; 0 where that is not sure."""
    sure: bool
    agreeing: int
    """Cues that get a picture by this offset."""
    cues: int
    """Photo cues said in the job."""
    pictures: int
    by_file_time: bool = False
    """The clock is that of the files' time of change, not the camera's own."""
    within_s: float
    """How far the offset may be from this; 0 where it is not sure."""
    why: str
    """In words: what it rests on, or why it is not sure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OffsetFit:
    """The offset that explains the cues best, and how much better it is than any other."""

    offset_us: int
    within_us: int
    agreeing: int
    """Cues that get a picture at a time that speaks for it."""
    ahead: float
    """Log of the odds against the best offset elsewhere."""

    @property
    def sure(self) -> bool:
        """Tell whether enough cues agree, and the offset is clearly better than any other."""
        return self.agreeing >= FEWEST_CUES and self.ahead >= CLEARLY_BETTER


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


def fit_offset(shots_us: Sequence[int], cues: Sequence[SpokenCue]) -> OffsetFit | None:
    """Find the offset within +-26 h that explains the cues best; None where it could explain none.

    `shots_us` are the camera's own times of single pictures and first pictures of bursts.
    """
    shots = np.unique(np.array(shots_us, dtype=np.int64))
    anchors = np.concatenate([_anchors(cues, late) + _usual(cues) for late in (False, True)])
    offsets = np.unique(shots[:, None] - anchors[None, :])
    offsets = offsets[np.abs(offsets) <= BAND_US]
    if not offsets.size:
        return None
    scores = _score_offsets(offsets, shots, cues).sum(axis=1)
    coarse = offsets[scores.argmax()]
    near = coarse + np.arange(-ADJACENT_US, ADJACENT_US + 1, _STEP_US, dtype=np.int64)
    near_scores = _score_offsets(near, shots, cues)
    totals = near_scores.sum(axis=1)
    best = int(totals.argmax())
    possible = near[totals >= totals[best] - STILL_POSSIBLE]
    elsewhere = scores[np.abs(offsets - near[best]) > ADJACENT_US]
    none_explained = len(cues) * np.log(CUES_UNANSWERED)
    return OffsetFit(
        offset_us=int(near[best]),
        within_us=max(LEAST_CLAIM_US, int(np.abs(possible - near[best]).max())),
        agreeing=int((near_scores[best] > 0).sum()),
        ahead=float(totals[best] - max(elsewhere.max(initial=none_explained), none_explained)),
    )


def _place_in_remark(entry: PhotoCue, remark: Remark, length: int) -> int:
    """Give how far into the remark the words of the cue end; letters stand for time."""
    letters = len(remark.tidied)
    end = entry.span[1]
    return length * end // letters if 0 < end <= letters else length


def _score_offsets(offsets: _Whole, shots: _Whole, cues: Sequence[SpokenCue]) -> _Real:
    """Give for each offset (rows) and cue (columns) the log of the odds that the cue speaks for it."""
    at_once = max(1, _PAIRS_AT_ONCE // max(1, len(cues)))
    parts = [_score_some(offsets[i : i + at_once], shots, cues) for i in range(0, len(offsets), at_once)]
    return np.concatenate(parts)


def _score_some(offsets: _Whole, shots: _Whole, cues: Sequence[SpokenCue]) -> _Real:
    """A picture is as likely timed from the words of the cue as from the end of its remark."""
    backward = np.array([cue.looks_back for cue in cues])
    odds = np.zeros((len(offsets), len(cues)))
    for from_end in (False, True):
        anchors = _anchors(cues, from_end)
        after = np.searchsorted(shots, offsets[:, None] + (anchors + _usual(cues))[None, :])
        nearest = np.zeros(odds.shape)
        for place in (after - 1, after):
            there = (place >= 0) & (place < len(shots))
            delay = (shots[place.clip(0, len(shots) - 1)] - offsets[:, None] - anchors[None, :]) / SECOND_US
            density = _delay_density(np.where(backward, -delay, delay))
            nearest = np.maximum(nearest, np.where(there, density, 0.0))
        odds += nearest / 2
    scores: _Real = np.log(CUES_UNANSWERED + (1 - CUES_UNANSWERED) * odds / CHANCE_PER_S)
    return scores


def _anchors(cues: Sequence[SpokenCue], from_end: bool) -> _Whole:
    """Give the moment each delay counts from: forward from the words or the end, back from the start."""
    return np.array([c.starts_us if c.looks_back else c.ends_us if from_end else c.said_us for c in cues], np.int64)


def _usual(cues: Sequence[SpokenCue]) -> _Whole:
    usual = round(USUAL_DELAY_S * SECOND_US)
    return np.array([-usual if cue.looks_back else usual for cue in cues], np.int64)


def _delay_density(delay_s: _Real) -> _Real:
    """Give how usual a delay is, a second: mostly log-normal about the usual one, some of them any."""
    early_s, late_s = EARLY_US / SECOND_US, AFTER_CUE_US / SECOND_US
    delay = np.maximum(delay_s, 1e-3)
    spread = np.log(delay / USUAL_DELAY_S) / DELAY_SPREAD
    usual = np.where(delay_s > 0, np.exp(-(spread**2) / 2) / (delay * DELAY_SPREAD * np.sqrt(2 * np.pi)), 0.0)
    odd = np.where((delay_s >= -early_s) & (delay_s <= late_s), 1 / (early_s + late_s), 0.0)
    density: _Real = (1 - ODD_DELAYS) * usual + ODD_DELAYS * odd
    return density
