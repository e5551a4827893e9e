import numpy as np
import pytest
from scipy import stats

from analytics.life.compare import benjamini_hochberg, rate_ratio
from analytics.life.errors import InvalidSample


def test_swapping_the_samples_inverts_the_ratio():
    one, other = rate_ratio(5, 100.0, 9, 300.0), rate_ratio(9, 300.0, 5, 100.0)
    assert one.ratio == pytest.approx(1.0 / other.ratio)
    assert one.interval.low == pytest.approx(1.0 / other.interval.high)
    assert one.p_value == pytest.approx(other.p_value)
    assert one.p_value_doubled == pytest.approx(other.p_value_doubled)


@pytest.mark.parametrize(
    ("a", "b", "ratio", "low_is_zero", "high_is_infinite"),
    [
        (0, 0, None, True, True),
        (0, 4, 0.0, True, False),
        (4, 0, np.inf, False, True),
    ],
)
def test_counts_of_zero(a, b, ratio, low_is_zero, high_is_infinite):
    result = rate_ratio(a, 10.0, b, 10.0)
    assert result.ratio == ratio
    assert (result.interval.low == 0.0) == low_is_zero
    assert np.isinf(result.interval.high) == high_is_infinite


@pytest.mark.parametrize(("a", "b"), [(0, 5), (3, 3), (1, 12), (40, 22)])
def test_p_values_match_the_binomial_test(a, b):
    result = rate_ratio(a, 3.0, b, 4.0)
    reference = stats.binomtest(a, a + b, 3.0 / 7.0)
    assert result.p_value == pytest.approx(reference.pvalue, rel=1e-9)
    less = stats.binomtest(a, a + b, 3.0 / 7.0, alternative="less").pvalue
    more = stats.binomtest(a, a + b, 3.0 / 7.0, alternative="greater").pvalue
    assert result.p_value_doubled == pytest.approx(min(1.0, 2 * min(less, more)))


def test_interval_covers_at_least_its_confidence():
    generator = np.random.default_rng(1)
    pairs = generator.poisson([4.0, 8.0], (2000, 2))
    covered = [0.5 in rate_ratio(int(a), 1.0, int(b), 1.0).interval for a, b in pairs]
    assert np.mean(covered) > 0.89


def test_rate_refusals():
    with pytest.raises(InvalidSample, match="first number of events"):
        rate_ratio(-1, 1.0, 1, 1.0)
    with pytest.raises(InvalidSample, match="second exposure"):
        rate_ratio(1, 1.0, 1, 0.0)
    with pytest.raises(InvalidSample, match="confidence"):
        rate_ratio(1, 1.0, 1, 1.0, confidence=0.0)


def test_adjusted_p_values_match_scipy():
    p_values = np.random.default_rng(5).uniform(size=40) ** 2
    result = benjamini_hochberg(p_values, 0.10)
    expected = stats.false_discovery_control(p_values)
    assert result.adjusted == pytest.approx(expected)
    assert result.rejected.tolist() == (expected <= 0.10).tolist()


def test_no_p_values_give_no_discoveries():
    assert benjamini_hochberg([]).adjusted.size == 0


@pytest.mark.parametrize("p_values", [[-0.1], [1.1], [np.nan]])
def test_p_values_out_of_range_are_refused(p_values):
    with pytest.raises(InvalidSample, match="p-value"):
        benjamini_hochberg(p_values)


def test_level_out_of_range_is_refused():
    with pytest.raises(InvalidSample, match="confidence must lie"):
        benjamini_hochberg([0.5], level=1.0)
