"""Curves of the candidates agree with scipy's distributions."""

import numpy as np
import pytest
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.distribution_curves import candidate_reliability
from analytics.life.distributions import CandidateFit, compare_distributions
from analytics.life.errors import InvalidSample

AGES = np.array([10.0, 100.0, 450.0, 2_000.0])


def candidate(name, **parameters):
    return CandidateFit(name, parameters, 0.0, 0.0, 0.0, 1.0)


@pytest.mark.parametrize(
    ("fit", "expected"),
    [
        (candidate("Weibull", shape=1.7, scale=400), stats.weibull_min(1.7, scale=400)),
        (candidate("exponential", scale=400), stats.expon(scale=400)),
        (
            candidate("lognormal", median=300, log_spread=0.6),
            stats.lognorm(0.6, scale=300),
        ),
        (candidate("gamma", shape=2.5, scale=150), stats.gamma(2.5, scale=150)),
    ],
)
def test_each_curve_is_that_of_its_distribution(fit, expected):
    assert candidate_reliability(fit, AGES) == pytest.approx(expected.sf(AGES))


def test_every_candidate_of_a_comparison_has_a_curve_that_falls():
    found = compare_distributions(LifeData([120, 300, 480, 900, 1_500], [True] * 5))
    for fit in found.candidates:
        shares = candidate_reliability(fit, AGES)
        assert (np.diff(shares) < 0).all()


def test_an_age_of_zero_is_refused():
    with pytest.raises(InvalidSample, match="Every age must be above zero"):
        candidate_reliability(candidate("exponential", scale=400), [0.0])


def test_a_name_that_is_no_candidate_is_refused():
    with pytest.raises(InvalidSample, match="No distribution is called 'normal'"):
        candidate_reliability(candidate("normal"), [1.0])
