"""Weibull regression by lifelines, with the covariance of repeated positions."""

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.drivers.design import Design
from analytics.life.errors import DidNotConverge


@dataclass(frozen=True, slots=True, eq=False)
class FittedRegression:
    """Coefficients with intercept and log shape last."""

    coefficients: FloatArray
    covariance: FloatArray
    log_likelihood: float


def fit_regression(design: Design, shape_column: int | None) -> FittedRegression:
    """Fit with lifelines, optionally with a shape that follows one column.

    Raises
    ------
    DidNotConverge
        If the search did not settle.
    """
    import pandas as pd
    from lifelines import WeibullAFTFitter
    from lifelines.exceptions import ConvergenceError

    names = [f"x{i}" for i in range(len(design.columns))]
    frame = pd.DataFrame(design.matrix, columns=names)
    # Ages of order one keep the search of the library on safe ground.
    frame["end"] = design.lives.ages / design.lives.ages.max()
    frame["failed"] = design.lives.failed
    frame["entry"] = design.lives.entries / design.lives.ages.max()
    late = design.lives.entry_ages is not None
    ancillary: Any = None
    if shape_column is not None:
        ancillary = frame[[names[shape_column]]]
    try:
        with warnings.catch_warnings(), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            fitter = WeibullAFTFitter().fit(
                frame if late else frame.drop(columns="entry"),
                "end",
                "failed",
                ancillary=ancillary,
                entry_col="entry" if late else None,
            )
    except (ConvergenceError, ValueError, np.linalg.LinAlgError):
        raise DidNotConverge("The regression of life did not settle.") from None
    order = [("lambda_", name) for name in names] + [("lambda_", "Intercept")]
    if shape_column is not None:
        order.append(("rho_", names[shape_column]))
    order.append(("rho_", "Intercept"))
    coefficients = fitter.params_.loc[order].to_numpy(dtype=np.float64)
    covariance = fitter.variance_matrix_.loc[order, order].to_numpy(dtype=np.float64)
    if not np.isfinite(coefficients).all():
        raise DidNotConverge("The regression of life did not settle.")
    return FittedRegression(coefficients, covariance, float(fitter.log_likelihood_))


def robust_covariance(design: Design, fitted: FittedRegression) -> FloatArray:
    """Return the covariance, as a sandwich over positions when they repeat."""
    lives = design.lives
    if lives.groups is None or lives.clusters == lives.n:
        return fitted.covariance
    longest = lives.ages.max()
    shape = float(np.exp(fitted.coefficients[-1]))
    log_scale = design.matrix @ fitted.coefficients[:-2] + fitted.coefficients[-2]
    z = shape * (np.log(lives.ages / longest) - log_scale)
    entered = lives.entries > 0.0
    z_entry = shape * (
        np.log(np.where(entered, lives.entries, longest) / longest) - log_scale
    )
    hazard = np.exp(z)
    entry_hazard = np.where(entered, np.exp(z_entry), 0.0)
    length = shape * (hazard - entry_hazard - lives.failed)
    form = lives.failed * (1.0 + z) - hazard * z + entry_hazard * z_entry
    scores = np.column_stack([design.matrix * length[:, None], length, form])
    summed = np.stack(
        [np.bincount(lives.groups, column, lives.clusters) for column in scores.T]
    )
    middle = summed @ summed.T * lives.clusters / max(lives.clusters - 1, 1)
    robust = fitted.covariance @ middle @ fitted.covariance
    # Few positions make the sandwich too thin; dependence never narrows.
    stretch = np.sqrt(np.maximum(1.0, np.diag(fitted.covariance) / np.diag(robust)))
    return np.asarray(robust * np.outer(stretch, stretch), dtype=np.float64)


def shape_test(design: Design, fitted: FittedRegression, column: int) -> float | None:
    """P-value of a shape that does not follow the column."""
    try:
        wider = fit_regression(design, column)
    except DidNotConverge:
        return None
    gain = max(0.0, 2.0 * (wider.log_likelihood - fitted.log_likelihood))
    return float(special.chdtrc(1.0, gain))
