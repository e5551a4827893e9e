import numpy as np
import pytest

from analytics.life.recurrence.growth_limits import (
    cramer_von_mises,
    failure_ended_factors,
    fit_statistics,
    time_ended_factors,
)


@pytest.mark.parametrize("factors", [time_ended_factors, failure_ended_factors])
def test_factors_close_in_on_one(factors):
    widths = [
        np.log(high / low) for low, high in (factors(n, 0.9) for n in (3, 10, 99))
    ]
    assert widths == sorted(widths, reverse=True)
    low, high = factors(3000, 0.90)
    reach = 1.6449 * np.sqrt(2.0 / 3000.0)
    assert (low, high) == pytest.approx((np.exp(-reach), np.exp(reach)), rel=3e-3)


def test_failure_ended_factors_match_simulation():
    generator = np.random.default_rng(1)
    product = generator.gamma(6, size=200_000) * generator.gamma(5, size=200_000)
    low, high = failure_ended_factors(6, 0.90)
    assert 36.0 / low == pytest.approx(np.quantile(product, 0.95), rel=0.01)
    assert 36.0 / high == pytest.approx(np.quantile(product, 0.05), rel=0.01)


def test_even_spacing_has_the_least_distance():
    ideal = (2.0 * np.arange(1, 6) - 1.0) / 10.0
    assert cramer_von_mises(ideal) == pytest.approx(1.0 / 60.0)
    assert cramer_von_mises(np.sort(ideal**2)) > 1.0 / 60.0


def test_critical_value_of_the_fit_test():
    """MIL-HDBK-189 prints 0.17 for the 10 % level from about 30 events; from memory."""
    null = fit_statistics(30)
    assert null[int(0.90 * null.size)] == pytest.approx(0.172, abs=0.006)
