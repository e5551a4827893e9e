import numpy as np
import pytest
from lifelines import KaplanMeierFitter

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.survival import kaplan_meier, nelson_aalen
from tests.analytics.life.samples import drawn


def naive_curve(lives):
    """Plain loop over the distinct ages at failure."""
    times = sorted(set(lives.ages[lives.failed].tolist()))
    reliability, hazard, rows = 1.0, 0.0, []
    for time in times:
        risk = int(((lives.entries < time) & (lives.ages >= time)).sum())
        dead = int(((lives.ages == time) & lives.failed).sum())
        reliability *= 1.0 - dead / risk
        hazard += dead / risk
        rows.append((time, risk, dead, reliability, hazard))
    return np.array(rows).T


@pytest.mark.parametrize("late", [0.0, 0.6])
@pytest.mark.parametrize("seed", range(5))
def test_curves_match_a_plain_loop(seed, late):
    lives = drawn(seed, 60, cut=1200.0, late=late)
    lives = LifeData(np.ceil(lives.ages / 50) * 50, lives.failed, lives.entries)
    time, risk, dead, reliability, hazard = naive_curve(lives)
    curve, summed = kaplan_meier(lives), nelson_aalen(lives)
    assert curve.time.tolist() == time.tolist()
    assert curve.at_risk.tolist() == risk.tolist()
    assert curve.failures.tolist() == dead.tolist()
    assert curve.reliability == pytest.approx(reliability, rel=1e-12)
    assert summed.hazard == pytest.approx(hazard, rel=1e-12)


def test_agrees_with_lifelines():
    lives = drawn(3, 80, cut=1200.0, late=0.5)
    reference = KaplanMeierFitter(alpha=0.10).fit(
        lives.ages, lives.failed, entry=lives.entries
    )
    curve = kaplan_meier(lives)
    expected = reference.survival_function_at_times(curve.time).to_numpy()
    assert curve.reliability == pytest.approx(expected, rel=1e-9)


def test_limits_stay_within_zero_and_one_and_hold_the_estimate():
    curve = kaplan_meier(LifeData([1, 2, 3, 4, 5], [1, 1, 1, 1, 1]))
    assert ((curve.lower >= 0) & (curve.upper <= 1)).all()
    assert (curve.lower <= curve.reliability).all()
    assert (curve.reliability <= curve.upper).all()
    assert curve.lower[-1] == 0.0
    assert np.isnan(curve.standard_error[-1])


def test_all_failed_at_once_leaves_nothing():
    curve = kaplan_meier(LifeData([7, 7], [1, 1]))
    assert (curve.reliability[0], curve.lower[0], curve.upper[0]) == (0.0, 0.0, 1.0)


def test_a_life_entering_at_a_failure_was_not_at_risk():
    curve = kaplan_meier(LifeData([5, 5, 9], [1, 0, 1], [0, 0, 5]))
    assert curve.at_risk.tolist() == [2, 1]


def test_a_curve_that_ends_too_early_says_so():
    curve = kaplan_meier(LifeData([5, 90, 95], [1, 1, 0], [0, 50, 50]))
    assert curve.reliability.tolist() == [0.0, 0.0]
    assert "ends there too early" in curve.warnings[0]
    assert kaplan_meier(LifeData([5, 9], [1, 0])).warnings == ()


@pytest.mark.parametrize("curve", [kaplan_meier, nelson_aalen])
def test_refusals(curve):
    with pytest.raises(TooFewFailures, match="Nothing failed"):
        curve(LifeData([1.0, 2.0], [False, False]))
    with pytest.raises(InvalidSample, match="confidence"):
        curve(LifeData([1.0], [True]), confidence=1.0)


def test_hazard_limits_are_positive_and_hold_the_estimate():
    curve = nelson_aalen(drawn(4, 30))
    assert (curve.lower > 0).all()
    assert ((curve.lower < curve.hazard) & (curve.hazard < curve.upper)).all()
