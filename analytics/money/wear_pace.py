"""How fast a figure falls with time, from readings scattered about a straight line."""

from collections.abc import Sequence

import numpy as np
from scipy import special

from analytics.life.results import Estimate, Interval
from analytics.money.errors import TooLittleData
from analytics.money.figures import checked_share

FEWEST = 3


def change_per_year(
    years: Sequence[float], values: Sequence[float], confidence: float = 0.90
) -> Estimate:
    """Slope of the least-squares line through readings over time.

    Parameters
    ----------
    years : sequence of float
        When each value was read, in years from any day.
    values : sequence of float
        In any unit, as many as `years`.
    confidence : float, default 0.90
        Of the interval.

    Returns
    -------
    Estimate
        In the unit of the values per year; negative where they fall.

    Raises
    ------
    InvalidFigure
        If the confidence is out of range.
    TooLittleData
        If there are fewer than three values, or all of one moment.

    Notes
    -----
    Student limits with two degrees of freedom less than values, for independent
    errors of one size.

    References
    ----------
    .. [1] Draper and Smith, Applied Regression Analysis, 3rd edition, 1998,
       section 1.4, from memory.
    """
    confidence = checked_share(confidence)
    when, read = np.asarray(years, dtype=float), np.asarray(values, dtype=float)
    if when.size < FEWEST:
        raise TooLittleData(
            f"{when.size} values do not tell how fast they change; {FEWEST} are needed."
        )
    apart = when - when.mean()
    width = float(apart @ apart)
    if width <= 0.0:
        raise TooLittleData("All values are of one moment.")
    slope = float(apart @ read) / width
    rest = read - read.mean() - slope * apart
    error = np.sqrt(float(rest @ rest) / (when.size - 2) / width)
    reach = float(special.stdtrit(when.size - 2, 0.5 * (1.0 + confidence))) * error
    limits = Interval(slope - reach, slope + reach, confidence, "least squares")
    return Estimate(slope, limits)
