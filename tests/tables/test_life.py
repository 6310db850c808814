"""The statistics of lives, against published worked examples and general libraries."""

from __future__ import annotations

import lifelines
import lifelines.datasets
import numpy as np
import pytest

from notebook.tables.life import Life, fit_weibull, kaplan_meier, life_statistics, turnbull_estimate

NIST_FAILED = [10, 32, 56, 98, 122, 181]
NIST: list[Life] = [*((float(t), float(t)) for t in NIST_FAILED), *((float(t), None) for t in (50, 100, 125, 150)), *(((200.0, None),) * 10)]  # fmt: skip


def test_kaplan_meier_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods 8.2.1.5: R at the six failures."""
    curve = kaplan_meier(NIST)
    assert curve.times == tuple(map(float, NIST_FAILED))
    assert curve.good == pytest.approx([0.95, 0.90, 0.847059, 0.794118, 0.737395, 0.670359], abs=1e-6)
    assert all(low <= good <= high for low, good, high in zip(curve.low, curve.good, curve.high, strict=True))


def test_weibull_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook 8.4.1.3: ten failures in 500 h of twenty units; shape 1.7208, scale 606.5280."""
    failed = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
    lives: list[Life] = [*((float(t), float(t)) for t in failed), *(((500.0, None),) * 10)]
    fit = fit_weibull(lives)
    assert fit is not None
    assert fit.shape == pytest.approx(1.7208, abs=1e-3)
    assert fit.scale == pytest.approx(606.5280, abs=0.05)
    theirs = lifelines.WeibullFitter().fit([t for t, _ in lives], [h is not None for _, h in lives])
    assert fit.median[0] == pytest.approx(theirs.median_survival_time_, rel=1e-4)
    assert fit.b10[1] < fit.b10[0] < fit.b10[2] < fit.median[0]


def test_weibull_of_intervals_agrees_with_lifelines() -> None:
    """The diabetes set of lifelines (interval-censored): shape 2.8235, scale 18.8565 (lifelines and SciPy agree)."""
    table = lifelines.datasets.load_diabetes()
    lives: list[Life] = [
        (float(a), float(b) if np.isfinite(b) else None) for a, b in zip(table["left"], table["right"], strict=True)
    ]
    fit = fit_weibull(lives)
    assert fit is not None
    assert fit.shape == pytest.approx(2.8235, abs=2e-3)
    assert fit.scale == pytest.approx(18.8565, abs=1e-2)


def test_turnbull_agrees_with_lifelines() -> None:
    """The same set, its curve: lifelines' non-parametric estimate for intervals."""
    table = lifelines.datasets.load_diabetes().sample(200, random_state=1)
    apart = np.arange(len(table)) * 1e-5  # no two ends alike: theirs takes intervals as closed, ours as open below
    table = table.assign(left=table["left"] + apart, right=table["right"] + apart)
    lives: list[Life] = [
        (float(a), float(b) if np.isfinite(b) else None) for a, b in zip(table["left"], table["right"], strict=True)
    ]
    times, good = turnbull_estimate(lives)
    theirs = lifelines.KaplanMeierFitter().fit_interval_censoring(table["left"], table["right"])
    curve = theirs.survival_function_
    for time in (5, 10, 15, 20, 25):
        ours = good[np.searchsorted(times, time, side="right") - 1] if times[0] <= time else 1.0
        row = curve.loc[curve.index <= time].iloc[-1]
        assert min(row) - 0.02 <= ours <= max(row) + 0.02


def test_turnbull_of_exact_lives_is_kaplan_meier() -> None:
    """Turnbull's estimate falls together with Kaplan-Meier where nothing is an interval (Turnbull 1976)."""
    times, good = turnbull_estimate(NIST)
    assert list(times) == [float(t) for t in NIST_FAILED]
    assert list(good) == pytest.approx(kaplan_meier(NIST).good, abs=1e-6)


def test_too_few_is_said() -> None:
    said = life_statistics([(100.0, None), (200.0, 200.0)])
    assert said.curve is None
    assert said.too_few == "1 failure among 2: too few to say"
    assert life_statistics([(100.0, 100.0), (150.0, 150.0), (200.0, 200.0)]).weibull is None
