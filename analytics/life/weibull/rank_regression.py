"""Weibull line through the plotting positions, without an interval."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, NoSpread, TooFewFailures
from analytics.life.ranks import median_ranks

Regression = Literal["x_on_y", "y_on_x"]


@dataclass(frozen=True, slots=True)
class RankRegression:
    """Straight line on Weibull paper.

    Parameters
    ----------
    shape, scale : float
        Parameters of the line; the scale in the unit of the ages.
    r_squared : float
        Squared correlation of the plotted points.
    regress : {"x_on_y", "y_on_x"}
        Direction of the regression; x is the log age.
    failures, suspensions : int
        Sample.
    """

    shape: float
    scale: float
    r_squared: float
    regress: Regression
    failures: int
    suspensions: int


def weibull_rank_regression(
    data: LifeData, regress: Regression = "x_on_y"
) -> RankRegression:
    """Fit a line to the median ranks of the failures.

    Parameters
    ----------
    data : LifeData
        At least two failures of different age, nobody entered late.
    regress : {"x_on_y", "y_on_x"}
        Which distances are made small: those in log age (the usual choice of
        the trade) or those in the transformed rank.

    Returns
    -------
    RankRegression

    Raises
    ------
    InvalidSample
        If lives entered late or the direction is unknown.
    TooFewFailures
        Below two failures.
    NoSpread
        If all failures have one age.

    References
    ----------
    .. [1] Abernethy, R. B. and others, Weibull Analysis Handbook,
       AFWAL-TR-83-2079, 1983, chapter 2; from memory.
    """
    if regress not in ("x_on_y", "y_on_x"):
        raise InvalidSample(f"No regression is called {regress!r}.")
    ranks = median_ranks(data)
    if data.failures < 2:
        raise TooFewFailures("A line needs at least two failures; there is 1.")
    x = np.log(ranks.ages)
    y = np.log(-np.log1p(-ranks.median_rank))
    x_spread, y_spread = x - x.mean(), y - y.mean()
    if ranks.ages[0] == ranks.ages[-1]:
        raise NoSpread("All failures have the same age: no line can be drawn.")
    mixed = float(x_spread @ y_spread)
    x_square, y_square = float(x_spread @ x_spread), float(y_spread @ y_spread)
    shape = y_square / mixed if regress == "x_on_y" else mixed / x_square
    return RankRegression(
        shape=shape,
        scale=float(np.exp(x.mean() - y.mean() / shape)),
        r_squared=mixed * mixed / (x_square * y_square),
        regress=regress,
        failures=data.failures,
        suspensions=data.suspensions,
    )
