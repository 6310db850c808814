"""How people take pictures while they talk, as densities of delays.

In: seconds between what was said and the shutter. Out: how usual that is, a second. Never reads a clock, never links.

Every figure here is common practice (no source): the middle of a delay, its spread (of the logarithm), and a second,
wider hump for the times a camera had to be fetched first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]

CUE_UNANSWERED = 1 / 3
"""Share of cues that get no picture."""
BACK_UNANSWERED = 0.1
"""Share of cues that look back on a picture that is not there; people say so less idly."""
_QUICK_TO_SLOW_S = np.array([1.8, 2.4, 3.1, 4.0, 5.2, 6.8, 9.0])
_QUICK_TO_SLOW_SHARES = np.array([0.12, 0.18, 0.21, 0.21, 0.14, 0.09, 0.05])
USUAL_S = np.concatenate([_QUICK_TO_SLOW_S, _QUICK_TO_SLOW_S])
"""Habits: middle of the delay from a cue to its picture, of hands that do not wait, then of hands that do."""
WAITING = np.repeat([0.08, 0.9], len(_QUICK_TO_SLOW_S))
"""Habits: share of pictures that wait for the end of the remark and not for the words of the cue."""
HABIT_SHARES = np.concatenate([0.75 * _QUICK_TO_SLOW_SHARES, 0.25 * _QUICK_TO_SLOW_SHARES])
COMMON_HABIT = 2
"""The habit to begin with."""
USUAL_SPREAD = 0.5
FETCHED_SHARE, FETCHED_TIMES, FETCHED_SPREAD = 0.15, 3.0, 1.3
"""Share of delays with the camera out of reach, how many times longer they are, and their spread."""
EARLY_SHARE, EARLY_S, EARLY_SPREAD_S = 0.08, 2.0, 3.0
"""Share taken shortly before a plain "photo" is said; middle and spread of how long before."""
BACK_USUAL_S, BACK_SPREAD, BACK_AFTER_SHARE = 5.0, 0.75, 0.05
"""From a picture to the words "got a picture of that"; share that is taken after all."""
BACK_FROM_START_SHARE, BACK_FROM_START_S = 0.4, 3.0
"""Share of looks back that are timed by the start of the remark, and their middle."""
PLAIN_A_REMARK = 0.35
"""Pictures a remark that no cue speaks of."""
PLAIN_DURING, PLAIN_AFTER, PLAIN_BEFORE = 0.33, 0.64, 0.03
PLAIN_USUAL_S, PLAIN_SPREAD = 5.5, 0.8
LOOSE_PER_S = 1 / 7200
"""Pictures a second that have nothing to do with anything said."""
SHARED_BACK = 1.0
"""How readily one picture serves a second remark that looks back on it."""


def delay_density(delay_s: Real, usual_s: Real | float, spread: float = USUAL_SPREAD) -> Real:
    """Give how usual a delay is: two log-normal humps, nothing before zero."""
    at = np.maximum(delay_s, 1e-3)
    near = np.log(at / usual_s) / spread
    far = np.log(at / (usual_s * FETCHED_TIMES)) / FETCHED_SPREAD
    humps = (1 - FETCHED_SHARE) / spread * np.exp(-(near**2) / 2) + FETCHED_SHARE / FETCHED_SPREAD * np.exp(
        -(far**2) / 2
    )
    density: Real = np.where(delay_s > 0, humps / (at * np.sqrt(2 * np.pi)), 0.0)
    return density


def next_density(after_words_s: Real, after_end_s: Real, usual_s: Real | float, waiting: Real | float) -> Real:
    """Give how usual it is that a picture comes this long after the words of a cue and after its remark."""
    early = np.exp(-(((after_words_s + EARLY_S) / EARLY_SPREAD_S) ** 2) / 2) / (EARLY_SPREAD_S * np.sqrt(2 * np.pi))
    late = (1 - waiting) * delay_density(after_words_s, usual_s) + waiting * delay_density(after_end_s, usual_s)
    density: Real = (1 - EARLY_SHARE) * late + EARLY_SHARE * np.where(after_words_s < 1.0, early, 0.0)
    return density


def back_density(before_words_s: Real, before_start_s: Real) -> Real:
    """Give how usual it is that a cue looks back this long on its picture, from its words and from its remark."""
    by_words = delay_density(before_words_s, BACK_USUAL_S, BACK_SPREAD)
    by_start = delay_density(before_start_s, BACK_FROM_START_S, BACK_SPREAD)
    before = (1 - BACK_FROM_START_SHARE) * by_words + BACK_FROM_START_SHARE * by_start
    density: Real = (1 - BACK_AFTER_SHARE) * before + BACK_AFTER_SHARE * delay_density(-before_words_s, 3.0)
    return density


def plain_density(since_start_s: Real, since_end_s: Real, length_s: Real) -> Real:
    """Give how often a picture no cue speaks of comes this long after the start and the end of a remark."""
    within = (since_start_s >= 0) & (since_end_s <= 0)
    during = np.where(within, PLAIN_DURING / np.maximum(length_s, 1.0), 0.0)
    after = PLAIN_AFTER * delay_density(since_end_s, PLAIN_USUAL_S, PLAIN_SPREAD)
    before = PLAIN_BEFORE * delay_density(-since_start_s, PLAIN_USUAL_S, PLAIN_SPREAD)
    density: Real = PLAIN_A_REMARK * (during + after + before)
    return density
