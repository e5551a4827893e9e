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


@pytest.mark.parametrize(
    ("first", "time_a", "second", "time_b"),
    [(0, 10, 5, 20), (5, 10, 0, 20), (3, 7, 3, 7), (1, 1, 2, 2), (40, 9.5, 90, 31.0)],
)
def test_rate_ratio_agrees_with_the_binomial_test(first, time_a, second, time_b):
    found = rate_ratio(first, time_a, second, time_b)
    share = time_a / (time_a + time_b)
    reference = stats.binomtest(first, first + second, share)
    assert found.p_value == pytest.approx(reference.pvalue, rel=1e-9)
    low, high = reference.proportion_ci(0.90, "exact")
    odds = time_b / time_a
    assert found.interval.low == pytest.approx(odds * low / (1.0 - low))
    if second == 0:
        assert (found.ratio, found.interval.high) == (np.inf, np.inf)
    else:
        assert found.interval.high == pytest.approx(odds * high / (1.0 - high))


def test_two_likeliest_outcomes_count_both():
    """Three events over equal exposures: one and two are equally likely."""
    assert rate_ratio(1, 1.0, 2, 1.0).p_value == 1.0


def test_tens_of_millions_of_events_are_compared_at_once():
    found = rate_ratio(30_000_000, 1e6, 30_003_000, 1e6)
    z = 3000.0 / np.sqrt(60_003_000)
    assert found.p_value == pytest.approx(2.0 * stats.norm.sf(z), rel=1e-3)


def test_p_values_just_at_their_limit_are_rejected():
    """p(i) = 0.05 i / 12 exactly, where the division rounds upwards."""
    given = 0.05 * np.arange(1, 13) / 12.0
    assert benjamini_hochberg(np.round(given, 12)).rejected.all()


def test_tied_p_values_share_their_adjusted_value():
    given = [0.01, 0.02, 0.02, 0.02, 0.5, 0.5, 1.0, 0.0]
    found = benjamini_hochberg(given)
    assert found.adjusted == pytest.approx(stats.false_discovery_control(given))
