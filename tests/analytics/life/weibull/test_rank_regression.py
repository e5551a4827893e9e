import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, NoSpread, TooFewFailures
from analytics.life.weibull import weibull_rank_regression
from tests.analytics.life.samples import SEAL_AGES, complete


def test_points_on_a_line_give_that_line():
    ranks = (np.arange(1, 11) - 0.3) / 10.4
    ages = 500.0 * (-np.log(1.0 - ranks)) ** (1.0 / 2.5)
    for regress in ("x_on_y", "y_on_x"):
        line = weibull_rank_regression(complete(ages), regress)
        assert (line.shape, line.scale, line.r_squared) == pytest.approx(
            (2.5, 500.0, 1.0)
        )


def test_the_two_directions_differ_by_r_squared():
    lives = complete(SEAL_AGES)
    forward = weibull_rank_regression(lives)
    back = weibull_rank_regression(lives, "y_on_x")
    assert back.shape == pytest.approx(forward.shape * forward.r_squared)


def test_refusals():
    with pytest.raises(TooFewFailures, match="at least two failures"):
        weibull_rank_regression(LifeData([1, 2], [1, 0]))
    with pytest.raises(TooFewFailures, match="Nothing failed"):
        weibull_rank_regression(LifeData([1, 2], [0, 0]))
    with pytest.raises(NoSpread, match="no line can be drawn"):
        weibull_rank_regression(complete([5, 5, 5]))
    with pytest.raises(InvalidSample, match="entered late"):
        weibull_rank_regression(LifeData([1, 2], [1, 1], [0.5, 0]))
    with pytest.raises(InvalidSample, match="No regression is called 'both'"):
        weibull_rank_regression(complete([1, 2]), "both")
