"""Rates and limits of units whose counts show no spread."""

import numpy as np
import pytest
from scipy import optimize, stats

from analytics.judging.pools import possible_pools
from analytics.reports.bad_actors.averaged_rates import averaged_rates

EVENTS = np.array([2, 1, 3, 2, 0, 2, 1, 4])
YEARS = np.array([1.0, 1.0, 1.0, 2.0, 0.5, 1.0, 1.0, 2.0])


def naive(events, years, confidence):
    """Mean and limits of one unit at a time, by scipy."""
    pools = possible_pools(EVENTS.astype(float), YEARS, some_worse=False)
    gammas = stats.gamma(
        pools.alphas + events, 0, 1 / (pools.alphas / pools.means + years)
    )
    limits = [
        optimize.brentq(
            lambda rate, at=at: pools.weights @ gammas.cdf(rate) - at, 0, 50, xtol=1e-12
        )
        for at in (0.5 - confidence / 2, 0.5 + confidence / 2)
    ]
    return pools.weights @ gammas.mean(), *limits


@pytest.mark.parametrize("confidence", [0.5, 0.9])
def test_mean_and_limits_are_those_of_the_averaged_gammas(confidence):
    found = np.transpose(averaged_rates(EVENTS, YEARS, confidence))
    expected = [naive(*unit, confidence) for unit in zip(EVENTS, YEARS, strict=True)]
    # Halved 24 times, far below what is shown.
    assert found == pytest.approx(np.array(expected), rel=1e-5)


def test_units_alike_have_one_rate_and_more_events_a_higher_one():
    rate, low, high = averaged_rates(EVENTS, YEARS, 0.9)
    assert rate[0] == rate[5]
    assert rate[1] < rate[0] < rate[2]
    assert (low < rate).all()
    assert (rate < high).all()
