"""How long a part lasts: the curve of those still good, the median, the life that nine in ten outlast.

In: lives as [at least, at most], at most None where it was still good. Out: curve, band and fitted figures, or why there
are too few. Counts nothing that was only mentioned: lives come from fittings.

Kaplan-Meier (SciPy's `ecdf`) where every failure is exact; Turnbull's estimate for intervals (Turnbull 1976, the
self-consistent one); Weibull by maximum likelihood with SciPy's `weibull_min.fit` on censored data.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, stats

from notebook.nouns import Fitting, Job

FEWEST_FOR_CURVE = 3
"""Failures; below this it is too few to say anything of a curve."""
FEWEST_FOR_WEIBULL = 5
_ROUNDS = 2000
_SAMPLES = 200
_FEWEST_SAMPLES = 40
_MANY = 300
"""Above so many lives fewer samples are drawn for the band, so that an answer never takes long."""
_SURE = 1.959963984540054
"""Standard deviations either side that hold 95 %."""

Life = tuple[float, float | None]
"""At least, at most; at most None is "longer than that"."""
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Share still good after each time; a step function that begins at 1."""

    times: tuple[float, ...]
    good: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    method: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Weibull:
    """A Weibull fit; intervals hold 95 %."""

    shape: float
    scale: float
    median: tuple[float, float, float]
    """Estimate, low, high."""
    b10: tuple[float, float, float]
    """The life that nine in ten outlast."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeStatistics:
    """What the lives of a part say."""

    failures: int
    censored: int
    curve: Curve | None
    weibull: Weibull | None
    too_few: str | None
    """Why there is no curve or no fit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lives:
    """The lives of one component, all in one unit."""

    component: str
    unit: str
    fittings: tuple[Fitting, ...]
    lives: tuple[Life, ...]
    statistics: LifeStatistics
    jobs: tuple[Job, ...]
    """The jobs behind them, the earliest first."""


def life_statistics(lives: Sequence[Life]) -> LifeStatistics:
    """Work out curve and fit; raises nothing, and says so where there are too few."""
    failures = sum(high is not None for _, high in lives)
    censored = len(lives) - failures
    if failures < FEWEST_FOR_CURVE:
        said = f"{failures} failure{'s' if failures != 1 else ''} among {len(lives)}: too few to say"
        return LifeStatistics(failures=failures, censored=censored, curve=None, weibull=None, too_few=said)
    exact = all(high is None or high == low for low, high in lives)
    curve = kaplan_meier(lives) if exact else turnbull(lives)
    weibull = fit_weibull(lives) if failures >= FEWEST_FOR_WEIBULL else None
    too_few = None if weibull else f"{failures} failures: too few for a fitted life"
    return LifeStatistics(failures=failures, censored=censored, curve=curve, weibull=weibull, too_few=too_few)


def kaplan_meier(lives: Sequence[Life]) -> Curve:
    """Give the Kaplan-Meier curve of exact and right-censored lives, with its log-log band (SciPy)."""
    data = stats.CensoredData(
        uncensored=np.array([low for low, high in lives if high is not None]),
        right=np.array([low for low, high in lives if high is None]),
    )
    sf = stats.ecdf(data).sf
    keep = np.diff(np.concatenate([[1.0], sf.probabilities])) < 0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # it is undefined where all or none have failed
        band = sf.confidence_interval(method="log-log")
    low = np.nan_to_num(band.low.probabilities, nan=0.0)
    high = np.nan_to_num(band.high.probabilities, nan=1.0)
    return Curve(
        times=_floats(sf.quantiles[keep]), good=_floats(sf.probabilities[keep]), low=_floats(low[keep]), high=_floats(high[keep]), method="Kaplan-Meier",
    )  # fmt: skip


def turnbull(lives: Sequence[Life], *, samples: int = _SAMPLES) -> Curve:
    """Give Turnbull's curve of interval-censored lives; the band from resampling the lives (seeded, so always the same)."""
    times, good = turnbull_estimate(lives)
    random = np.random.default_rng(20260304)
    drawn = np.ones((samples, len(times)))
    samples = min(samples, max(_FEWEST_SAMPLES, _SAMPLES * _MANY // len(lives)))
    drawn = drawn[:samples]
    for n in range(samples):
        again = [lives[i] for i in random.integers(0, len(lives), len(lives))]
        if any(high is not None for _, high in again):
            own_times, own_good = turnbull_estimate(again, rounds=200)
            drawn[n] = [_at(own_times, own_good, t) for t in times]
    low, high = (np.percentile(drawn, q, axis=0) for q in (2.5, 97.5)) if samples else (good, good)
    return Curve(times=_floats(times), good=_floats(good), low=_floats(low), high=_floats(high), method="Turnbull")


def turnbull_estimate(lives: Sequence[Life], *, rounds: int = _ROUNDS) -> tuple[Floats, Floats]:
    """Give the ends of the intervals that can hold failures, and the share still good after each (Turnbull 1976)."""
    lows = np.array([low for low, _ in lives], dtype=float)
    highs = np.array([math.inf if high is None else high for _, high in lives], dtype=float)
    inner = _innermost(lows, highs)
    begins, ends = np.array([b for b, _ in inner]), np.array([e for _, e in inner])
    within = _within(begins, ends, lows, highs).astype(np.float64)
    mass = np.full(len(inner), 1 / len(inner))
    for _ in range(rounds):
        fresh = mass * (within.T @ (1 / (within @ mass))) / len(lives)
        if np.abs(fresh - mass).max() < 1e-10:
            mass = fresh
            break
        mass = fresh
    finite = np.isfinite(ends)
    return ends[finite], 1 - np.cumsum(mass)[finite]


def _within(begins: Floats, ends: Floats, lows: Floats, highs: Floats) -> NDArray[np.bool_]:
    """Tell which life may have ended in which interval: "still good at 900" did not fail at 900, as in Kaplan-Meier."""
    after = np.where(begins == ends, (begins > lows[:, None]) | (begins == highs[:, None]), begins >= lows[:, None])
    return after & (ends <= highs[:, None])


def _innermost(lows: Floats, highs: Floats) -> list[tuple[float, float]]:
    """Give exact lives, and the intervals from a lower end to the next upper end with no other end or exact life between.

    Only these can hold mass; an interval is open below and closed above.
    """
    exact = sorted({float(low) for low, high in zip(lows, highs, strict=True) if low == high})
    wide = lows != highs
    ends = sorted([(float(h), 0) for h in set(highs[wide])] + [(float(x), 1) for x in set(lows[wide])])
    out = [(t, t) for t in exact]
    last: float | None = None
    for at, is_lower in ends:
        if is_lower:
            last = at
        elif last is not None:
            if not any(last < t <= at for t in exact):
                out.append((last, at))
            last = None
    return sorted(out, key=lambda i: (i[1], i[0]))


def _at(times: Floats, good: Floats, time: float) -> float:
    before = np.searchsorted(times, time, side="right") - 1
    return float(good[before]) if before >= 0 else 1.0


def fit_weibull(lives: Sequence[Life]) -> Weibull | None:
    """Fit a Weibull distribution by maximum likelihood; None where the data do not settle one.

    A life of nought is one of less than the clock shows: between 0 and 1.
    """
    lives = [(0.0, 1.0) if high is not None and high <= 0 else (low, high) for low, high in lives]
    data = stats.CensoredData(
        uncensored=np.array([low for low, high in lives if high is not None and high == low]),
        right=np.array([low for low, high in lives if high is None]),
        left=np.array([high for low, high in lives if high is not None and low <= 0 and high != low]),
        interval=np.array([[low, high] for low, high in lives if high is not None and 0 < low < high]).reshape(-1, 2),
    )
    try:
        with np.errstate(all="ignore"):  # the search may step where the likelihood is nothing
            shape, _, scale = stats.weibull_min.fit(data, floc=0)
    except (stats.FitError, ValueError, RuntimeError):
        return None
    if not (math.isfinite(shape) and math.isfinite(scale) and shape > 0 and scale > 0):
        return None
    start = np.log([shape, scale])
    best = optimize.minimize(
        lambda p: -_log_likelihood(lives, *np.exp(p)),
        start,
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-9},
    )
    covariance = _covariance(lives, best.x)
    shape, scale = (float(v) for v in np.exp(best.x))
    return Weibull(
        shape=shape, scale=scale, median=_quantile(best.x, covariance, 0.5), b10=_quantile(best.x, covariance, 0.1)
    )


def _log_likelihood(lives: Sequence[Life], shape: float, scale: float) -> float:
    lows = np.array([low for low, _ in lives]) / scale
    highs = np.array([math.inf if high is None else high for _, high in lives]) / scale
    exact = lows == highs
    with np.errstate(all="ignore"):  # the search may step where the likelihood is nothing
        total = float(np.sum(math.log(shape / scale) + (shape - 1) * np.log(lows[exact]) - lows[exact] ** shape))
        between = np.exp(-(lows[~exact] ** shape)) - np.exp(-(highs[~exact] ** shape))
        return total + float(np.sum(np.log(np.maximum(between, 1e-300))))


def _covariance(lives: Sequence[Life], at: Floats) -> Floats:
    """Give the covariance of log shape and log scale from the curvature of the likelihood."""
    step = 1e-4
    curve = np.zeros((2, 2))
    for i in range(2):
        for j in range(2):
            for a, b, sign in ((1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)):
                moved = at.copy()
                moved[i] += a * step
                moved[j] += b * step
                curve[i, j] -= sign * _log_likelihood(lives, *np.exp(moved)) / (4 * step * step)
    try:
        found = np.asarray(np.linalg.inv(curve), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.full((2, 2), np.nan)
    return found


def _quantile(at: Floats, covariance: Floats, share: float) -> tuple[float, float, float]:
    """Give the time by which a share has failed, with the ends of its interval, worked out on the log scale."""
    bend = math.log(-math.log(1 - share))
    slope = np.array([-bend * math.exp(-at[0]), 1.0])
    middle = float(at[1] + bend * math.exp(-at[0]))
    variance = float(slope @ covariance @ slope)
    if not variance > 0:
        return math.exp(middle), 0.0, math.inf
    reach = _SURE * math.sqrt(variance)
    return math.exp(middle), math.exp(middle - reach), math.exp(min(middle + reach, 700.0))


def _floats(values: Sequence[float] | Floats) -> tuple[float, ...]:
    return tuple(float(v) for v in values)
