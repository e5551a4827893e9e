"""Random draws of Weibull parameters within the doubt of their estimates."""

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.errors import TooFewFailures
from analytics.life.weibull import FixedShapeFit, WeibullFit
from analytics.life.weibull.calibration import simulated_fits
from analytics.life.weibull.solver import MINIMUM_FAILURES

Fit = WeibullFit | FixedShapeFit
# Draws further out than this have next to no likelihood.
LOG_SHAPE_REACH = 3.0
# Below so many failures of a cut sample limits from draws cover less than 87 %:
# see the calibration tables.
SURE_FAILURES = 10


def few_cut_failures_warnings(fit: Fit) -> tuple[str, ...]:
    """Return a warning where limits made from the draws cover below 87 %."""
    if (
        isinstance(fit, FixedShapeFit)
        or fit.suspensions == 0
        or fit.failures >= SURE_FAILURES
    ):
        return ()
    return (
        f"With {fit.failures} failures among lives still running these limits are a "
        "little too narrow: they cover less often than stated.",
    )


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
    A free fit of at most sixty failures is drawn from the distribution of its
    errors, simulated under the plan of its sample; a larger one, or one whose
    lives share positions, from the normal distribution of its logs. With a
    known shape the scale is drawn from the chi-square behind its limits.
    """
    if isinstance(fit, FixedShapeFit):
        if fit.scale is None:
            raise TooFewFailures("Without a failure the life has no estimate.")
        gamma = generator.gamma(fit.failures + 0.5, size=runs)
        scales = fit.scale * (fit.failures / gamma) ** (1.0 / fit.shape)
        return np.full(runs, fit.shape), scales
    information, plan = fit.limits.information, fit.limits.plan
    if plan is not None and information.robust is None:
        log_shapes, log_scales = simulated_fits(plan, MINIMUM_FAILURES)
        drawn = generator.integers(log_shapes.size, size=runs)
        log_shape = -log_shapes[drawn]
        log_scale = -np.exp(log_shapes[drawn]) * log_scales[drawn] / fit.shape
    else:
        roots = np.linalg.cholesky(information.spread())
        log_shape, log_scale = roots @ generator.standard_normal((2, runs))
    log_shape = np.clip(log_shape, -LOG_SHAPE_REACH, LOG_SHAPE_REACH)
    shapes = fit.shape * np.exp(log_shape)
    return shapes, fit.scale * np.exp(np.clip(log_scale, -20.0, 20.0))
