import numpy as np
import pytest
from scipy import special

from analytics.life.errors import InvalidSample
from analytics.life.renewal import renewal_function
from analytics.life.weibull import weibull_mean


def test_constant_rate_renews_steadily():
    found = renewal_function(1.0, 20.0, [0.0, 1.0, 20.0, 5000.0])
    assert found == pytest.approx([0.0, 0.05, 1.0, 250.0], abs=1e-6)


@pytest.mark.parametrize("shape", [0.6, 1.5, 4.0])
@pytest.mark.parametrize("time", [0.4, 3.0, 12.0])
def test_matches_simulation(shape, time):
    generator = np.random.default_rng(6)
    lives = generator.weibull(shape, (40_000, int(20 + 8 * time)))
    counts = (np.cumsum(lives, axis=1) <= time).sum(axis=1)
    error = counts.std() / 200.0
    assert renewal_function(shape, 1.0, time)[0] == pytest.approx(
        counts.mean(), abs=4.0 * error
    )


@pytest.mark.parametrize("shape", [0.5, 1.2, 3.0, 8.0])
def test_grid_and_straight_line_meet(shape):
    times = np.linspace(5.0, 80.0, 400) * weibull_mean(shape, 1.0)
    steps = np.diff(renewal_function(shape, 1.0, times))
    assert (steps > 0).all()
    assert np.abs(np.diff(steps)[200:]).max() < 5e-3


def test_scale_only_stretches_time():
    assert renewal_function(2.0, 500.0, 750.0) == pytest.approx(
        renewal_function(2.0, 1.0, 1.5)
    )


def test_refusals():
    with pytest.raises(InvalidSample, match="zero or more"):
        renewal_function(1.0, 1.0, [-1.0])
    with pytest.raises(InvalidSample, match="shape must be above zero"):
        renewal_function(0.0, 1.0, 1.0)
    with pytest.raises(InvalidSample, match="missing or infinite"):
        renewal_function(1.0, 1.0, np.nan)


def by_series(shape, time, terms=40):
    """Smith and Leadbetter's power series, fit for times up to the scale."""
    first = [
        special.gamma(1.0 + n * shape) / special.factorial(n) for n in range(terms)
    ]
    weights = [0.0]
    for n in range(1, terms):
        weights.append(first[n] - sum(first[j] * weights[n - j] for j in range(1, n)))
    return sum(
        (-1.0) ** (n - 1)
        * weights[n]
        * time ** (n * shape)
        / special.gamma(1 + n * shape)
        for n in range(1, terms)
    )


@pytest.mark.parametrize("shape", [0.5, 0.8, 1.0, 1.7, 3.5])
@pytest.mark.parametrize("time", [0.01, 0.2, 0.6])
def test_early_renewals_match_the_power_series(shape, time):
    found = renewal_function(shape, 50.0, [50.0 * time])
    assert found == pytest.approx([by_series(shape, time)], abs=1e-6)


@pytest.mark.parametrize("shape", [1e-9, 1e9, float("nan"), "steep"])
def test_absurd_shapes_are_refused(shape):
    with pytest.raises(InvalidSample, match="shape"):
        renewal_function(shape, 1.0, 1.0)
