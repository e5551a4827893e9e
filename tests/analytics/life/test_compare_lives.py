import numpy as np
import pytest
from scipy import stats

from analytics.life.compare import weibull_likelihood_ratio
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, NoSpread, TooFewFailures
from analytics.life.weibull import weibull_fit
from tests.analytics.life.samples import SEAL_AGES, complete, drawn

OTHER_AGES = [2200, 3800, 4600, 5000, 6700, 7500, 7800, 8000, 11000, 12900]


def test_statistic_is_the_gain_of_separate_fits():
    """Log-likelihoods of the two seal populations: -102.2110, -94.1953, -212.0959."""
    result = weibull_likelihood_ratio(complete(SEAL_AGES), complete(OTHER_AGES))
    assert result.statistic == pytest.approx(
        2 * (212.0959 - 102.2110 - 94.1953), abs=4e-4
    )
    assert result.degrees_of_freedom == 2
    assert result.p_value_chi_square == pytest.approx(
        stats.chi2.sf(result.statistic, 2)
    )
    assert result.method == "permutation"
    assert result.p_value < 0.01
    assert result.shape == pytest.approx(1.5243, abs=5e-5)


def test_large_samples_use_chi_square_and_agree_with_permutation():
    first, second = drawn(1, 60), drawn(2, 60, scale=1300.0)
    result = weibull_likelihood_ratio(first, second)
    assert result.method == "chi-square"
    assert result.p_value == result.p_value_chi_square


def test_permutation_agrees_with_chi_square_for_middling_samples():
    first, second = drawn(1, 19, cut=2000.0), drawn(3, 40, cut=2000.0)
    result = weibull_likelihood_ratio(first, second)
    assert result.method == "permutation"
    assert result.p_value == pytest.approx(result.p_value_chi_square, abs=0.06)


def test_three_samples_have_four_degrees_of_freedom():
    samples = [drawn(i, 30, cut=1500.0, late=0.3) for i in range(3)]
    result = weibull_likelihood_ratio(*samples)
    assert result.degrees_of_freedom == 4
    assert result.shapes == pytest.approx([weibull_fit(s).shape for s in samples])


def test_equal_small_samples_are_rarely_called_different():
    small = [
        weibull_likelihood_ratio(
            drawn(seed, 5), drawn(seed + 1000, 5), permutations=199
        ).p_value
        for seed in range(200)
    ]
    assert np.mean(np.array(small) <= 0.10) == pytest.approx(0.10, abs=0.055)


def test_the_same_call_gives_the_same_p_value():
    samples = complete(SEAL_AGES), drawn(1, 8, scale=30000.0)
    assert weibull_likelihood_ratio(*samples) == weibull_likelihood_ratio(*samples)


def test_refusals():
    with pytest.raises(InvalidSample, match="at least two samples"):
        weibull_likelihood_ratio(complete(SEAL_AGES))
    with pytest.raises(InvalidSample, match="different units"):
        weibull_likelihood_ratio(
            complete(SEAL_AGES), LifeData(OTHER_AGES, [True] * 10, unit="d")
        )
    with pytest.raises(TooFewFailures, match="this sample has 1"):
        weibull_likelihood_ratio(complete(SEAL_AGES), LifeData([5, 6], [1, 0]))
    with pytest.raises(NoSpread, match="All 3 failures"):
        weibull_likelihood_ratio(complete(SEAL_AGES), complete([5, 5, 5]))
