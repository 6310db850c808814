"""Which cue or remark each picture belongs to, by one pass over the whole job.

In: times of pictures (by the notebook's clock), of remarks and of cues, in whole microseconds. Out: for each
picture, how likely it belongs to each remark. Never opens a picture, never judges a clock.

Pictures and cues are two rows in order of time. Every way of pairing them that keeps both orders is weighed: a
cue may go without a picture, a picture without a cue, and a cue that looks back may share the picture of the cue
before. Forward and backward sums over all ways (as for a hidden Markov model) give each pair its share.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from notebook.photos.habits import (
    BACK_SPREAD,
    BACK_UNANSWERED,
    BACK_USUAL_S,
    CUE_UNANSWERED,
    LOOSE_PER_S,
    SHARED_BACK,
    USUAL_S,
    WAITING,
    Real,
    back_density,
    next_density,
    plain_density,
)
from notebook.photos.spoken_cues import SECOND_US, SpokenCue

BY_CUE = 0.25
"""A picture that is of a remark anyway is so by its cue where that much of it speaks for the cue."""
LEAST_BY_CUE = 0.05
_NEGLIGIBLE = 1e-9
_REMARKS_BACK, _REMARKS_ON = 6, 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """How likely one picture belongs to one remark, and how that is known."""

    remark_id: str
    by_cue: bool
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A remark with a time, in microseconds."""

    id: str
    sitting_id: str
    starts_us: int
    ends_us: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """What is known of one picture (or burst): its claims, the likeliest first."""

    own: tuple[Claim, ...]
    also: tuple[Claim, ...]
    """Cues that share it though it has its own remark."""
    loose: float
    """How likely it belongs to nothing that was said."""


def align_pictures(
    shots_us: Sequence[int], habits: Sequence[int], cues: Sequence[SpokenCue], said: Sequence[Said]
) -> list[Claims]:
    """Weigh every way of pairing; give the claims on each picture. All are in order of time.

    `habits` is the habit that goes with the camera of each picture.
    """
    if not shots_us:
        return []
    shots = np.array(shots_us, dtype=np.int64)
    by_time = [_weigh_time(int(at), said) for at in shots]
    rate = np.array([sum(weights.values()) + LOOSE_PER_S for weights in by_time])
    odds, shared = _weigh_cues(shots, np.array(habits), cues, rate)
    left_out = np.array([BACK_UNANSWERED if cue.looks_back else CUE_UNANSWERED for cue in cues])
    matched, also = _sum_ways(odds, shared, left_out)
    return [
        _gather(by_time[n], rate[n], dict(enumerate(matched[n])), dict(enumerate(also[n])), cues)
        for n in range(len(shots))
    ]


def _weigh_time(at: int, said: Sequence[Said]) -> dict[str, float]:
    """Give how often a picture no cue speaks of comes at this time, by the remark it would be of."""
    starts = np.array([s.starts_us for s in said], dtype=np.int64)
    place = int(np.searchsorted(starts, at, side="right"))
    near = said[max(0, place - _REMARKS_BACK) : place + _REMARKS_ON]
    since_start = np.array([(at - s.starts_us) / SECOND_US for s in near])
    since_end = np.array([(at - s.ends_us) / SECOND_US for s in near])
    density = plain_density(since_start, since_end, since_start - since_end)
    weights: dict[str, float] = {}
    for s, weight in zip(near, density, strict=True):
        weights[s.id] = weights.get(s.id, 0.0) + float(weight)
    return weights


def _weigh_cues(
    shots: NDArray[np.int64], habits: NDArray[np.intp], cues: Sequence[SpokenCue], rate: Real
) -> tuple[Real, Real]:
    """Give the odds of each picture (rows) being that of each cue, and of each cue sharing a picture."""
    words = np.array([c.said_us for c in cues], dtype=np.int64)
    starts = np.array([c.starts_us for c in cues], dtype=np.int64)
    ends = np.array([c.ends_us for c in cues], dtype=np.int64)
    back = np.array([c.looks_back for c in cues], dtype=bool)
    since_words = (shots[:, None] - words[None, :]) / SECOND_US
    since_ends = (shots[:, None] - ends[None, :]) / SECOND_US
    since_starts = (shots[:, None] - starts[None, :]) / SECOND_US
    forward = next_density(since_words, since_ends, USUAL_S[habits][:, None], WAITING[habits][:, None])
    backward = back_density(-since_words, -since_starts)
    answered = np.where(back, (1 - BACK_UNANSWERED) * backward, (1 - CUE_UNANSWERED) * forward)
    odds = answered / rate[:, None]
    most = np.array([BACK_USUAL_S * np.exp(-(BACK_SPREAD**2))])
    often = back_density(most, most)[0]
    shared = np.where(back[None, :], SHARED_BACK * backward / often, 0.0)
    return odds, shared


def _sum_ways(odds: Real, shared: Real, left_out: Real) -> tuple[Real, Real]:
    """Sum over all ways: give the share of ways in which a picture is a cue's, and in which a cue shares it.

    A cell (row, column) has dealt with so many pictures and so many cues. Ways to it end in a match (or in a cue
    that shares it), in a picture left to time, or in a cue left out; a cue is left out only just before a match
    or the end, so that every pairing is one way.
    """
    pictures, cues = odds.shape
    left = np.concatenate([[0.0], np.cumsum(np.log(left_out))])
    skips = np.triu(np.exp(np.minimum(left[None, :] - left[:, None], 0.0)), 1)
    shares = [[int(k) for k in np.flatnonzero(row > _NEGLIGIBLE)] for row in shared]
    matches = np.zeros((pictures + 1, cues + 1))
    others = np.zeros((pictures + 1, cues + 1))
    by_sharing = np.zeros((pictures + 1, cues + 1))
    others[0, 0] = 1.0
    reached = np.zeros(cues + 1)
    for row in range(pictures + 1):
        if row:
            others[row] = matches[row - 1] + others[row - 1]
            matches[row, 1:] = reached[:-1] * odds[row - 1]
            for k in shares[row - 1]:
                by_sharing[row, k + 1] = matches[row, k] * shared[row - 1, k]
                matches[row, k + 1] += by_sharing[row, k + 1]
        reached = matches[row] + others[row]
        skipped = reached @ skips
        scale = reached.sum() + skipped.sum()
        for ways in (matches[row], others[row], by_sharing[row]):
            ways /= scale
        reached = (reached + skipped) / scale
    matched, also = np.zeros(odds.shape), np.zeros(odds.shape)
    from_match = from_other = np.zeros(cues + 1)
    for row in range(pictures, -1, -1):
        onward = np.zeros(cues + 1)
        if row == pictures:
            onward[cues] = 1.0
            on = onward
        else:
            onward[:-1] = odds[row] * from_match[1:]
            on = onward + from_other
        other = on + skips @ onward
        match = other.copy()
        for k in reversed(shares[row - 1]) if row else ():
            match[k] += shared[row - 1, k] * match[k + 1]
        if row:
            # A way that shares is counted in the cell it began in and again where it went on.
            whole = matches[row] @ other + others[row] @ other
            matched[row - 1] = ((matches[row] - by_sharing[row]) * match)[1:] / whole
            also[row - 1] = (by_sharing[row] * match)[1:] / whole
        scale = max(float(match.max()), float(other.max()))
        from_match, from_other = match / scale, other / scale
    return matched, also


def _gather(
    by_time: dict[str, float], rate: float, matched: dict[int, float], also: dict[int, float], cues: Sequence[SpokenCue]
) -> Claims:
    left = max(0.0, 1.0 - sum(matched.values()))
    own: dict[str, list[float]] = {}
    for k, share in matched.items():
        own.setdefault(cues[k].remark_id, [0.0, 0.0])[0] += share
    for remark_id, weight in by_time.items():
        own.setdefault(remark_id, [0.0, 0.0])[1] += left * weight / rate
    claims = [
        Claim(remark_id=remark_id, by_cue=cued >= max(BY_CUE * (cued + timed), LEAST_BY_CUE), share=cued + timed)
        for remark_id, (cued, timed) in own.items()
        if cued + timed > 1e-6
    ]
    sharing = [
        Claim(remark_id=cues[k].remark_id, by_cue=True, share=share) for k, share in also.items() if share > 1e-6
    ]
    return Claims(
        own=tuple(sorted(claims, key=lambda c: (-c.share, c.remark_id))),
        also=tuple(sorted(sharing, key=lambda c: (-c.share, c.remark_id))),
        loose=left * LOOSE_PER_S / rate,
    )
