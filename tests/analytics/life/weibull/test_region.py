import numpy as np
import pytest
from scipy import optimize

from analytics.life.weibull.likelihood import life_sums, log_likelihood
from analytics.life.weibull.region import extremes, likelihood_region
from analytics.life.weibull.solver import solve
from tests.analytics.life.samples import complete, drawn

DROP = 1.3527717


def naive_limit(lives, log_hazard, sign):
    """Extreme log age over the region, by a general constrained search."""
    sums = life_sums([lives])
    solution = solve(sums)
    shape = solution.shape[0]
    scale = float(np.exp(solution.log_scale[0]) * lives.ages.max())
    floor = log_likelihood(lives, shape, scale) - DROP
    answer = optimize.minimize(
        lambda p: -sign * (p[1] + log_hazard * np.exp(-p[0])),
        np.log([shape, scale]),
        method="SLSQP",
        constraints=[
            {
                "type": "ineq",
                "fun": lambda p: log_likelihood(lives, *np.exp(p)) - floor,
            }
        ],
        bounds=[(x - 4.0, x + 4.0) for x in np.log([shape, scale])],
        options={"ftol": 1e-13, "maxiter": 500},
    )
    return -sign * answer.fun


@pytest.mark.parametrize("log_hazard", [-2.25, 0.0, 0.8])
@pytest.mark.parametrize(
    "lives",
    [complete([100, 130, 290]), drawn(7, 25, cut=1200.0), drawn(8, 40, late=0.5)],
    ids=["three", "cut", "late"],
)
def test_age_limits_match_a_general_search(lives, log_hazard):
    sums = life_sums([lives])
    region = likelihood_region(sums, solve(sums), np.array([DROP]))
    low, high = region.log_age_limits(log_hazard)
    reference = np.log(lives.ages.max())
    assert low[0] + reference == pytest.approx(
        naive_limit(lives, log_hazard, -1.0), abs=2e-5
    )
    assert high[0] + reference == pytest.approx(
        naive_limit(lives, log_hazard, 1.0), abs=2e-5
    )


def test_likelihood_on_the_edge_has_dropped_by_the_given_amount():
    lives = drawn(7, 25, cut=1200.0, late=0.3)
    sums = life_sums([lives])
    solution = solve(sums)
    region = likelihood_region(sums, solution, np.array([DROP]))
    top = solution.profile[0] + sums.constant[0]
    for k, rate in zip(region.shape[0, ::9], region.log_rate[0, ::9], strict=True):
        scale = float(np.exp(-rate / k) * lives.ages.max())
        assert log_likelihood(lives, k, scale) == pytest.approx(top - DROP, abs=1e-6)


def test_region_without_lower_end_is_open():
    lives = drawn(21, 5, shape=1.0, late=1.0)
    sums = life_sums([lives])
    solution = solve(sums)
    assert solution.status[0] == 0
    region = likelihood_region(sums, solution, np.array([4.0]))
    low, high = region.log_age_limits(0.0)
    assert region.open_low[0]
    assert region.shape_low[0] == 0.0
    assert (low[0], high[0]) == (-np.inf, np.inf)


def test_extremes_of_a_smooth_loop_are_exact_between_points():
    angle = np.linspace(0.0, 2.0 * np.pi, 256, endpoint=False) + 0.01
    low, high = extremes(np.sin(angle)[None, :])
    assert (low[0], high[0]) == pytest.approx((-1.0, 1.0), abs=1e-8)
