"""Weibull regression of life on service and repair covariates."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy import special

from analytics.life.arrays import checked_confidence
from analytics.life.compare import benjamini_hochberg
from analytics.life.drivers.design import Design, life_design
from analytics.life.drivers.engine import (
    FittedRegression,
    fit_regression,
    robust_covariance,
    shape_test,
)
from analytics.life.errors import TooFewFailures
from analytics.life.results import Interval

if TYPE_CHECKING:
    import pandas as pd

FAILURES_PER_COLUMN = 10
NOT_PROPORTIONAL = 0.01


@dataclass(frozen=True, slots=True)
class LifeDriver:
    """Effect of one covariate.

    Parameters
    ----------
    name : str
        Covariate.
    level, against : str or None
        Level compared with level, for a covariate in words.
    step : float
        Rise of a number whose effect is reported: its middle half.
    ratio : float
        Life at the level, or after the step, over life without; all else equal.
    interval : Interval
        Of the ratio.
    p_value, adjusted_p_value : float
        Of no effect, alone and among all covariates.
    stands_out : bool
        Whether it survives the control of false discoveries.
    proportional_p_value : float or None
        Chance of the data if the covariate stretches life without changing
        the shape; None if it could not be tested.
    """

    name: str
    level: str | None
    against: str | None
    step: float
    ratio: float
    interval: Interval
    p_value: float
    adjusted_p_value: float
    stands_out: bool
    proportional_p_value: float | None


@dataclass(frozen=True, slots=True)
class LifeDrivers:
    """What makes life short or long.

    Parameters
    ----------
    drivers : tuple of LifeDriver
        In the order of the table.
    shape : float
        Common Weibull shape.
    refused : dict
        Column or level to the reason why it was left out.
    failures, suspensions, left_out, clusters : int
        Sample; `left_out` rows had a missing value or a refused level.
    warnings : tuple of str
        Doubts, in sentences.
    """

    drivers: tuple[LifeDriver, ...]
    shape: float
    refused: dict[str, str]
    failures: int
    suspensions: int
    left_out: int
    clusters: int
    warnings: tuple[str, ...]


def life_drivers(
    table: "pd.DataFrame",
    age: str = "age",
    failed: str = "failed",
    entry: str | None = "entry_age",
    group: str | None = "position",
    unit: str = "h",
    confidence: float = 0.90,
    level: float = 0.10,
) -> LifeDrivers:
    """Estimate how each covariate stretches or shortens life.

    Parameters
    ----------
    table : pandas.DataFrame
        One row for each life; every column not named below is a covariate,
        numbers as they are, all else as levels.
    age, failed : str
        Columns of the age at the end and whether it was a failure.
    entry, group : str, optional
        Columns of the entry age and the position, used if present.
    unit : str, default "h"
        Unit of the ages.
    confidence : float, default 0.90
        Of the intervals.
    level : float, default 0.10
        Highest share of false discoveries among the covariates that stand out.

    Returns
    -------
    LifeDrivers

    Raises
    ------
    InvalidSample
        If a column is missing or ages are wrong.
    CovariateRefused
        If no covariate is left.
    TooFewFailures
        If there are not at least two failures more than columns.
    DidNotConverge
        If the regression did not settle.

    Notes
    -----
    ln(scale) is linear in the covariates, the shape is common. Intervals are
    robust to repeated positions. Each covariate is tested for changing the
    shape by a likelihood ratio.

    References
    ----------
    .. [1] Lawless, J. F., Statistical Models and Methods for Lifetime Data,
       2nd edition, 2003, section 6.3; from memory.
    """
    confidence = checked_confidence(confidence)
    design = life_design(table, age, failed, entry, group, unit)
    failures, width = design.lives.failures, len(design.columns)
    if failures < width + 2:
        raise TooFewFailures(
            f"{width} columns need at least {width + 2} failures; "
            f"this sample has {failures}."
        )
    fitted = fit_regression(design, None)
    shapes = [shape_test(design, fitted, i) for i in range(width)]
    return LifeDrivers(
        drivers=_drivers(design, fitted, shapes, confidence, level),
        shape=float(np.exp(fitted.coefficients[-1])),
        refused=design.refused,
        failures=failures,
        suspensions=design.lives.suspensions,
        left_out=design.left_out,
        clusters=design.lives.clusters,
        warnings=_warnings(design, shapes),
    )


def _drivers(
    design: Design,
    fitted: FittedRegression,
    shapes: list[float | None],
    confidence: float,
    level: float,
) -> tuple[LifeDriver, ...]:
    """Turn coefficients into ratios of life with their limits."""
    width = len(design.columns)
    effects = fitted.coefficients[:width]
    errors = np.sqrt(np.diag(robust_covariance(design, fitted))[:width])
    p_values = 2.0 * special.ndtr(-np.abs(effects / errors))
    found = benjamini_hochberg(p_values, level)
    reach = float(special.ndtri(0.5 + 0.5 * confidence)) * errors
    low, high = np.exp(effects - reach), np.exp(effects + reach)
    method = "Wald, log"
    if design.lives.clusters < design.lives.n:
        method += ", clustered by position"
    return tuple(
        LifeDriver(
            name=column.name,
            level=column.level,
            against=column.against,
            step=column.step,
            ratio=float(np.exp(effects[i])),
            interval=Interval(float(low[i]), float(high[i]), confidence, method),
            p_value=float(p_values[i]),
            adjusted_p_value=float(found.adjusted[i]),
            stands_out=bool(found.rejected[i]),
            proportional_p_value=shapes[i],
        )
        for i, column in enumerate(design.columns)
    )


def _warnings(design: Design, shapes: list[float | None]) -> tuple[str, ...]:
    sentences = list(design.lives.warnings)
    width = len(design.columns)
    if design.lives.failures < FAILURES_PER_COLUMN * width:
        sentences.append(
            f"{design.lives.failures} failures are few for {width} columns: "
            "small effects cannot be seen."
        )
    for column, p_value in zip(design.columns, shapes, strict=True):
        if p_value is not None and p_value < NOT_PROPORTIONAL:
            sentences.append(
                f"{column.label} seems to change the shape of life, not only its "
                "length: read its ratio with care."
            )
    return tuple(sentences)
