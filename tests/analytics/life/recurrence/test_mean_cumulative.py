import numpy as np
import pytest

from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.recurrence import History, mean_cumulative_function


def drawn_units(seed, n=25, late=False):
    generator = np.random.default_rng(seed)
    units = []
    for _ in range(n):
        end = generator.uniform(3, 10)
        start = generator.uniform(0, 2) if late else 0.0
        times = generator.uniform(start, end, generator.poisson(0.5 * end))
        times = np.ceil(times * 4) / 4
        units.append(History(times[(times > start) & (times <= end)], end, start))
    return units


def naive_curve(units):
    """Mean and robust variance by plain sums over units and ages."""
    times = sorted({float(t) for unit in units for t in unit.events})
    mean, residual, rows = 0.0, np.zeros(len(units)), []
    for time in times:
        risk = np.array([unit.start < time <= unit.end for unit in units])
        own = np.array([(unit.events == time).sum() for unit in units])
        share = own.sum() / risk.sum()
        mean += share
        residual += risk * (own - share) / risk.sum()
        rows.append((mean, (residual**2).sum()))
    return np.array(rows).T


@pytest.mark.parametrize("late", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_curve_matches_plain_sums(seed, late):
    units = drawn_units(seed, late=late)
    mean, variance = naive_curve(units)
    curve = mean_cumulative_function(units)
    assert curve.mean == pytest.approx(mean, rel=1e-12)
    assert curve.variance == pytest.approx(variance, rel=1e-9)


def test_events_at_one_age_make_one_step():
    curve = mean_cumulative_function([([2.0, 2.0], 5.0), ([2.0], 5.0), ([], 5.0)])
    assert curve.time.tolist() == [2.0]
    assert curve.events.tolist() == [3]
    assert curve.mean.tolist() == [1.0]


def test_one_unit_has_no_variance_between_units():
    curve = mean_cumulative_function([([1.0, 2.0], 5.0)])
    assert curve.mean.tolist() == [1.0, 2.0]
    assert curve.variance == pytest.approx([0.0, 0.0])


def test_before_the_first_event_the_mean_is_zero():
    curve = mean_cumulative_function([([2.0], 5.0), ([3.0], 5.0)])
    assert (curve.at(1.9), curve.at(2.0), curve.at(9.0)) == (0.0, 0.5, 1.0)


def test_limits_hold_the_estimate():
    curve = mean_cumulative_function(drawn_units(9))
    assert ((curve.lower > 0) & (curve.lower <= curve.mean)).all()
    assert (curve.mean <= curve.upper).all()


def test_limits_cover_when_units_differ():
    """Half the units have three times the rate; the robust limits still cover."""
    generator = np.random.default_rng(4)
    hits = []
    for _ in range(300):
        rates = np.where(generator.uniform(size=60) < 0.5, 0.5, 1.5)
        units = [
            (generator.uniform(0, 10, generator.poisson(10 * rate)), 10.0)
            for rate in rates
        ]
        curve = mean_cumulative_function(units)
        hits.append(curve.lower[-1] <= 10.0 <= curve.upper[-1])
    assert np.mean(hits) == pytest.approx(0.90, abs=0.05)


def test_refusals():
    with pytest.raises(TooFewFailures, match="No unit has an event"):
        mean_cumulative_function([([], 5.0)])
    with pytest.raises(InvalidSample, match="no unit"):
        mean_cumulative_function([])
    with pytest.raises(InvalidSample, match="confidence"):
        mean_cumulative_function([([1.0], 5.0)], confidence=1.0)


def test_large_fleets_stay_quick():
    generator = np.random.default_rng(1)
    units = [(generator.uniform(0, 10, 30), 10.0) for _ in range(10_000)]
    curve = mean_cumulative_function(units)
    assert curve.mean[-1] == pytest.approx(30.0)


def test_few_units_carry_a_warning():
    few = mean_cumulative_function(drawn_units(1, n=19))
    assert "With 19 units the limits are a little too narrow" in few.warnings[0]
    assert mean_cumulative_function(drawn_units(1, n=40)).warnings == ()
