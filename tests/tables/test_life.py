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


def test_turnbull_counts_a_life_still_good_at_a_failure_as_kaplan_meier_does() -> None:
    """By hand: of 600, 700, 900 and "over 900" one in four fails each time, and the last of two at 900: 0.75, 0.5, 0.25."""
    lives: list[Life] = [(600.0, 600.0), (700.0, 700.0), (900.0, 900.0), (900.0, None)]
    times, good = turnbull_estimate(lives)
    assert list(times) == [600.0, 700.0, 900.0]
    assert list(good) == pytest.approx([0.75, 0.5, 0.25], abs=1e-6)
    assert kaplan_meier(lives).good == pytest.approx((0.75, 0.5, 0.25))


def test_turnbull_is_the_likeliest_curve_there_is() -> None:
    """Gentleman and Geyer 1994: no move of mass raises the likelihood, so each interval's gradient is at most the count."""
    random = np.random.default_rng(7)
    for _ in range(5):
        lows = random.integers(0, 12, 25).astype(float)
        lives: list[Life] = [(a, None if random.random() < 0.3 else a + float(random.integers(1, 8))) for a in lows]
        times, good = turnbull_estimate(lives)
        step = {0.0: 1.0, **dict(zip(times, good, strict=True))}

        def share(time: float, step: dict[float, float] = step) -> float:
            return step[max(t for t in step if t <= time)]

        chances = np.array([share(a) - (share(b) if b is not None else 0.0) for a, b in lives])
        for end in (*times, np.inf):
            holds = np.array([a < end <= (b if b is not None else np.inf) for a, b in lives])
            assert (holds / chances).sum() <= len(lives) * (1 + 1e-3)


def test_yearly_looks_at_heat_exchanger_tubes() -> None:
    """Meeker and Escobar, Statistical Methods for Reliability Data, chapter 3: 100 tubes, 1, 2, 2 cracked in years 1 to 3."""
    lives: list[Life] = [(0.0, 1.0), *(((1.0, 2.0),) * 2), *(((2.0, 3.0),) * 2), *(((3.0, None),) * 95)]
    times, good = turnbull_estimate(lives)
    assert list(times) == [1.0, 2.0, 3.0]
    assert list(1 - good) == pytest.approx([0.01, 0.03, 0.05], abs=1e-6)


MILEAGES = ([5248, 7454, 16890, 17200, 38700, 45000, 49390, 69040, 72280, 131900],
            [3961, 4007, 4734, 6054, 7298, 10190, 23060, 27160, 28690, 37100, 40060, 45670, 53000, 67000, 69630, 77350, 78470, 91680, 105700, 106300, 150400])  # fmt: skip
"""Mileages of vehicle parts, SAE paper 1999-01-3220: failed, and still good."""


def test_mileages_of_vehicle_parts() -> None:
    """SAE 1999-01-3220, run with lifelines 0.30.3 and SciPy 1.17.1: scale 134,651, shape 1.15443; Kaplan-Meier ends at 0.26986."""
    lives: list[Life] = [*((float(t), float(t)) for t in MILEAGES[0]), *((float(t), None) for t in MILEAGES[1])]
    fit = fit_weibull(lives)
    assert fit is not None
    assert fit.shape == pytest.approx(1.15443, rel=1e-4)
    assert fit.scale == pytest.approx(134651, rel=1e-4)
    wanted = [0.96429, 0.92571, 0.88547, 0.84522, 0.79550, 0.74247, 0.68535, 0.61682, 0.53972, 0.26986]
    assert kaplan_meier(lives).good == pytest.approx(wanted, abs=1e-5)


def test_twenty_survival_times_of_the_scipy_tests() -> None:
    """SciPy's test_weibull_censored1 (lecture notes cited there): shape 2.149, scale 28.99."""
    failed = [3, 5, 8, 15, 22, 23, 29, 32, 35, 40, 26, 28, 21]
    lives: list[Life] = [
        *((float(t), float(t)) for t in failed),
        *((float(t), None) for t in (6, 10, 11, 20, 27, 33, 24)),
    ]
    fit = fit_weibull(lives)
    assert fit is not None
    assert fit.shape == pytest.approx(2.149, abs=1e-3)
    assert fit.scale == pytest.approx(28.9964, abs=1e-3)


def test_the_waltons_set_of_lifelines() -> None:
    """lifelines load_waltons: median 56; scale 55.7331, shape 3.45051; band as lifelines works it out (log-log)."""
    table = lifelines.datasets.load_waltons()
    lives: list[Life] = [(float(t), float(t) if e else None) for t, e in zip(table["T"], table["E"], strict=True)]
    fit, curve = fit_weibull(lives), kaplan_meier(lives)
    assert fit is not None
    assert fit.shape == pytest.approx(3.45051, rel=1e-4)
    assert fit.scale == pytest.approx(55.7331, rel=1e-4)
    assert next(t for t, g in zip(curve.times, curve.good, strict=True) if g <= 0.5) == 56
    theirs = lifelines.KaplanMeierFitter().fit(table["T"], table["E"])
    band = theirs.confidence_interval_survival_function_
    for time, low, high in zip(curve.times, curve.low, curve.high, strict=True):
        row = band.loc[time]
        if 0 < theirs.survival_function_.loc[time].iloc[0] < 1:
            assert low == pytest.approx(row.iloc[0], abs=1e-6)
            assert high == pytest.approx(row.iloc[1], abs=1e-6)


def test_the_intervals_of_the_fit_hold_what_they_should() -> None:
    """Of 12 invented sets of 30 lives with a known median, 95 % intervals hold it all but one or two times."""
    random = np.random.default_rng(11)
    held = 0
    for _ in range(12):
        drawn = 1000 * random.weibull(2.0, 30)
        lives: list[Life] = [(float(t), float(t)) if t < 1200 else (1200.0, None) for t in drawn]
        fit = fit_weibull(lives)
        assert fit is not None
        held += fit.median[1] <= 1000 * np.log(2) ** 0.5 <= fit.median[2]
    assert 10 <= held <= 12


def test_a_part_that_failed_at_once_breaks_nothing() -> None:
    said = life_statistics(
        [(0.0, 0.0), (200.0, 200.0), (300.0, 350.0), (400.0, 400.0), (500.0, 500.0), (0.0, 300.0), (500.0, None)]
    )
    assert said.weibull is not None
    assert said.weibull.b10[0] < said.weibull.median[0]


def test_a_curve_begins_with_the_first_failure_not_with_the_first_life() -> None:
    assert kaplan_meier([(10.0, None), (20.0, 20.0), (30.0, 30.0)]).times == (20.0, 30.0)


def test_diesel_generator_fans() -> None:
    """Nelson 1982, as in SciPy's test_weibull_min_sas1: 70 fans, 12 failures; shape 1.0584, scale 26.2968 thousand hours."""
    failed = [450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750]
    good = [
        460, 1560, 1660, *[1850] * 5, *[2030] * 3, 2200, *[3000] * 4, 3200, *[3750] * 2, *[4150] * 4, *[4300] * 4, *[4850] * 4, *[5000] * 3, *[6100] * 3,
        6300, *[6450] * 2, 6700, 7450, *[7800] * 2, *[8100] * 2, 8200, *[8500] * 3, *[8750] * 2, 9400, 9900, *[10100] * 3, 11500,
    ]  # fmt: skip
    assert len(failed) + len(good) == 70
    lives: list[Life] = [*((t / 1000, t / 1000) for t in failed), *((t / 1000, None) for t in good)]
    fit, curve = fit_weibull(lives), kaplan_meier(lives)
    assert fit is not None
    assert fit.shape == pytest.approx(1.0584, rel=1e-4)
    assert fit.scale == pytest.approx(26.2968, rel=1e-4)
    wanted = [0.98571, 0.95672, 0.94200, 0.90775, 0.89062, 0.87167, 0.85230, 0.82723, 0.79542, 0.70704]
    assert curve.good == pytest.approx(wanted, abs=1e-5)


def test_the_example_of_scipys_distribution_function() -> None:
    """SciPy pull request 18136: twenty times, six deaths; run with SciPy 1.17.1 and lifelines 0.30.3."""
    times = [24, 3, 11, 19, 24, 13, 14, 2, 18, 17, 24, 21, 12, 1, 10, 23, 6, 5, 9, 17]
    died = [0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 1, 0, 1, 0, 1]
    lives: list[Life] = [(float(t), float(t) if d else None) for t, d in zip(times, died, strict=True)]
    wanted = [0.95, 0.897222, 0.844444, 0.76, 0.675556, 0.506667]
    assert kaplan_meier(lives).good == pytest.approx(wanted, abs=1e-6)
    assert list(turnbull_estimate(lives)[1]) == pytest.approx(wanted, abs=1e-6)
