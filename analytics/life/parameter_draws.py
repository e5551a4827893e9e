"""Random draws of Weibull parameters within the doubt of their estimates."""

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.errors import TooFewFailures
from analytics.life.weibull import FixedShapeFit, WeibullFit

Fit = WeibullFit | FixedShapeFit
# Draws further out than this have next to no likelihood.
LOG_SHAPE_REACH = 3.0


def parameter_draws(
    fit: Fit, runs: int, generator: np.random.Generator
) -> tuple[FloatArray, FloatArray]:
    """Return shapes and scales, one pair for each run.

    Parameters
    ----------
    fit : WeibullFit or FixedShapeFit
        With at least one failure.
    runs : int
        Number of pairs.
    generator : numpy.random.Generator
        Source of chance.

    Raises
    ------
    TooFewFailures
        If the fit has no scale.

    Notes
    -----
    A free fit is drawn from the normal distribution of its logs; with a known
    shape the scale is drawn from the chi-square behind its limits.
    """
    if isinstance(fit, FixedShapeFit):
        if fit.scale is None:
            raise TooFewFailures("Without a failure the life has no estimate.")
        gamma = generator.gamma(fit.failures + 0.5, size=runs)
        scales = fit.scale * (fit.failures / gamma) ** (1.0 / fit.shape)
        return np.full(runs, fit.shape), scales
    stretch = np.array([fit.shape, fit.scale])
    covariance = fit.covariance / np.outer(stretch, stretch)
    roots = np.linalg.cholesky(covariance)
    logs = roots @ generator.standard_normal((2, runs))
    log_shape = np.clip(logs[0], -LOG_SHAPE_REACH, LOG_SHAPE_REACH)
    shapes = fit.shape * np.exp(log_shape)
    return shapes, fit.scale * np.exp(np.clip(logs[1], -20.0, 20.0))
