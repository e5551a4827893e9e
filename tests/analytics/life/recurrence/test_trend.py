import numpy as np
import pytest

from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.recurrence import laplace_test, military_handbook_test

TESTS = [laplace_test, military_handbook_test]


@pytest.mark.parametrize("trend", TESTS)
def test_level_is_held_without_a_trend(trend):
    generator = np.random.default_rng(2)
    p_values = [
        trend(generator.uniform(0, 50, max(2, generator.poisson(12))), 50.0).p_value
        for _ in range(2000)
    ]
    assert np.mean(np.array(p_values) <= 0.10) == pytest.approx(0.10, abs=0.025)


@pytest.mark.parametrize("trend", TESTS)
@pytest.mark.parametrize(
    ("shape", "direction"), [(3.0, "worsening"), (0.3, "improving")]
)
def test_direction_follows_the_trend(trend, shape, direction):
    events = 100.0 * np.random.default_rng(3).uniform(size=40) ** (1 / shape)
    result = trend(events, 100.0)
    assert result.direction == direction
    assert result.p_value < 0.01


@pytest.mark.parametrize("trend", TESTS)
def test_a_test_ended_by_a_failure_leaves_that_failure_out(trend):
    events = [3.0, 10.0, 40.0, 55.0]
    assert trend(events, truncation="failure").statistic == pytest.approx(
        trend(events[:-1], 55.0).statistic
    )


@pytest.mark.parametrize("trend", TESTS)
def test_one_system_in_a_list_is_that_system(trend):
    events = [3.0, 10.0, 40.0]
    assert trend([events], [60.0]) == trend(events, 60.0)


def test_pooled_statistics_are_sums():
    lists, ends = [[1.0, 4.0], [2.0, 9.0, 11.0]], [6.0, 12.0]
    parts = [military_handbook_test(e, end) for e, end in zip(lists, ends, strict=True)]
    pooled = military_handbook_test(lists, ends)
    assert pooled.statistic == pytest.approx(sum(part.statistic for part in parts))
    assert pooled.degrees_of_freedom == 10
    expected = (5 - 2 * 3 + 22 - 3 * 6) / np.sqrt((2 * 36 + 3 * 144) / 12)
    assert laplace_test(lists, ends).statistic == pytest.approx(expected)


@pytest.mark.parametrize("trend", TESTS)
def test_refusals(trend):
    with pytest.raises(TooFewFailures, match="at least two events"):
        trend([1.0], 5.0)
    with pytest.raises(TooFewFailures, match="at least two events"):
        trend([1.0, 2.0], truncation="failure")
    with pytest.raises(InvalidSample, match="outside the time"):
        trend([1.0, 7.0], 5.0)
