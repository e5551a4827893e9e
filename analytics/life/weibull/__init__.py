"""Two-parameter Weibull life: fits, limits and what follows from them."""

from analytics.life.weibull.fit import Band, WeibullFit, weibull_fit
from analytics.life.weibull.fixed_shape import (
    FixedShapeFit,
    fixed_shape_sensitivity,
    weibull_fit_fixed_shape,
)
from analytics.life.weibull.functions import (
    conditional_failure,
    weibull_mean,
    weibull_reliability,
)
from analytics.life.weibull.likelihood import log_likelihood
from analytics.life.weibull.many import WeibullFits, weibull_fit_many
from analytics.life.weibull.rank_regression import (
    RankRegression,
    weibull_rank_regression,
)
from analytics.life.weibull.solver import Status

__all__ = [
    "Band",
    "FixedShapeFit",
    "RankRegression",
    "Status",
    "WeibullFit",
    "WeibullFits",
    "conditional_failure",
    "fixed_shape_sensitivity",
    "log_likelihood",
    "weibull_fit",
    "weibull_fit_fixed_shape",
    "weibull_fit_many",
    "weibull_mean",
    "weibull_rank_regression",
    "weibull_reliability",
]
