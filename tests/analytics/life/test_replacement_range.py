import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.replacement_range import age_replacement_range
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape
from tests.analytics.life.samples import SEAL_AGES, complete, drawn


def test_much_data_leaves_little_doubt():
    fit = weibull_fit(drawn(3, 5000, shape=3.0))
    found = age_replacement_range(fit, 1.0, 10.0)
    assert found.worthwhile_share == 1.0
    width = found.age_interval.high / found.age_interval.low
    assert 1.0 < width < 1.1
    assert found.saving_interval.high - found.saving_interval.low < 0.05
    assert found.policy.age in found.age_interval


def test_few_failures_widen_it():
    few = age_replacement_range(weibull_fit(complete(SEAL_AGES[:5])), 1.0, 10.0)
    many = age_replacement_range(weibull_fit(complete(SEAL_AGES * 8)), 1.0, 10.0)
    assert np.log(few.age_interval.high / few.age_interval.low) > 2.0 * np.log(
        many.age_interval.high / many.age_interval.low
    )


def test_without_clear_wear_out_replacing_may_cost_more():
    fit = weibull_fit(drawn(4, 12, shape=1.15))
    found = age_replacement_range(fit, 1.0, 3.0)
    assert found.worthwhile_share < 0.95
    assert found.saving_interval.low < 0.01


def test_infant_mortality_has_no_age_at_all():
    fit = weibull_fit_fixed_shape(complete(SEAL_AGES), 0.7)
    found = age_replacement_range(fit, 1.0, 10.0)
    assert found.age_interval is None
    assert (found.worthwhile_share, found.policy.worthwhile) == (0.0, False)
    assert (found.saving_interval.low, found.saving_interval.high) == (0.0, 0.0)


def test_refusals():
    bare = weibull_fit_fixed_shape(LifeData([5.0], [0]), 2.0)
    with pytest.raises(TooFewFailures, match="no estimate"):
        age_replacement_range(bare, 1.0, 2.0)
    fit = weibull_fit(complete(SEAL_AGES))
    with pytest.raises(InvalidSample, match="planned cost"):
        age_replacement_range(fit, 0.0, 2.0)
    with pytest.raises(InvalidSample, match="confidence"):
        age_replacement_range(fit, 1.0, 2.0, confidence=1.0)
