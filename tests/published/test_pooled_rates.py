"""Ten pumps of Gaver and O'Muircheartaigh, Technometrics 29 (1987) 1-15.

Hyperparameters recomputed with R optim and a negative binomial regression.
"""

import pytest

from analytics.life.pooling import gamma_poisson_pool
from tests.published.cases import published_cases


@pytest.mark.parametrize("case", published_cases("pooled_rates"))
def test_pool_agrees(case):
    data, expected = case["data"], case["expected"]
    pool = gamma_poisson_pool(data["failures"], data["exposure_thousand_hours"])
    assert pool.alpha == pytest.approx(expected["alpha"], rel=1e-6)
    assert pool.beta == pytest.approx(expected["beta"], rel=1e-6)
    assert pool.pool_mean == pytest.approx(expected["prior_mean"], rel=1e-6)
    assert pool.log_likelihood == pytest.approx(expected["marginal_loglik"], abs=1e-6)
    assert pool.posterior_mean == pytest.approx(expected["posterior_means"], rel=1e-5)
    assert pool.posterior_interval.ravel().tolist() == pytest.approx(
        [limit for pair in expected["posterior_90"] for limit in pair], rel=1e-5
    )
