"""Prices that rise: from money of today to money of a later year and back."""

from collections.abc import Sequence

from analytics.life.arrays import FloatArray
from analytics.money.discounting import discount_factors
from analytics.money.figures import Amount, payments, yearly_rate


def real_rate(nominal: Amount, inflation: Amount) -> float:
    """Rate in money of constant worth from one that holds inflation.

    Parameters
    ----------
    nominal, inflation : float
        Per year as shares.

    Returns
    -------
    float
        (1 + nominal) / (1 + inflation) - 1.

    Raises
    ------
    InvalidFigure
        If a rate is out of range.
    """
    growth = 1.0 + yearly_rate(inflation, "inflation")
    return (1.0 + yearly_rate(nominal, "nominal rate")) / growth - 1.0


def nominal_rate(real: Amount, inflation: Amount) -> float:
    """Rate that holds inflation from one in money of constant worth.

    Raises
    ------
    InvalidFigure
        If a rate is out of range.
    """
    growth = 1.0 + yearly_rate(inflation, "inflation")
    return (1.0 + yearly_rate(real, "real rate")) * growth - 1.0


def in_money_of_the_year(
    amounts: Sequence[Amount] | FloatArray, inflation: Amount
) -> FloatArray:
    """Amounts of year 1, 2, ... in prices of today, as they will be paid.

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range.
    """
    series = payments(amounts, "yearly amounts")
    return series / discount_factors(inflation, series.size)


def in_money_of_today(
    amounts: Sequence[Amount] | FloatArray, inflation: Amount
) -> FloatArray:
    """Amounts as paid in year 1, 2, ..., in prices of today.

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range.
    """
    series = payments(amounts, "yearly amounts")
    return series * discount_factors(inflation, series.size)
