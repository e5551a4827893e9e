"""Worth today of money that comes or goes in later years."""

from collections.abc import Sequence
from typing import Literal

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.errors import InvalidFigure
from analytics.money.figures import (
    Amount,
    above_zero,
    known,
    payments,
    whole_years,
    yearly_rate,
)

Timing = Literal["end_of_year", "mid_year"]
# What is taken off the year's number before discounting.
EARLIER = {"end_of_year": 0.0, "mid_year": 0.5}


def discount_factor(rate: Amount, years: Amount) -> float:
    """Worth today of one unit of money paid after some years.

    Parameters
    ----------
    rate : float
        Discount rate per year as a share; 0.08 is 8 %.
    years : float
        Time ahead, years; part years allowed.

    Returns
    -------
    float
        Share of the later amount.

    Raises
    ------
    InvalidFigure
        If a number is out of range.

    Notes
    -----
    (1 + rate) ** -years.

    References
    ----------
    .. [1] NIST Handbook 135, single present value factor (SPV).
    """
    return float((1.0 + yearly_rate(rate, "discount rate")) ** -known(years, "years"))


def discount_factors(
    rate: Amount, years: int, timing: Timing = "end_of_year"
) -> FloatArray:
    """Worth today of one unit of money in each of the coming years.

    Parameters
    ----------
    rate : float
        Discount rate per year as a share.
    years : int
        Number of years, 1 to 100.
    timing : {"end_of_year", "mid_year"}
        When in its year the money moves: all at the end, or in the middle,
        as money spread over the year does.

    Returns
    -------
    ndarray, shape (years,)
        Factor of year 1, 2, ...

    Raises
    ------
    InvalidFigure
        If a number is out of range or no convention has that name.
    """
    growth = 1.0 + yearly_rate(rate, "discount rate")
    when = np.arange(1.0, whole_years(years) + 1.0) - _earlier(timing)
    return np.asarray(growth**-when, dtype=np.float64)


def present_value(
    amounts: Sequence[Amount] | FloatArray,
    rate: Amount,
    timing: Timing = "end_of_year",
) -> float:
    """Worth today of a yearly series.

    Parameters
    ----------
    amounts : sequence of float or Decimal
        Money of year 1, 2, ...; what falls today is not in it.
    rate : float
        Discount rate per year as a share.
    timing : {"end_of_year", "mid_year"}
        When in its year the money moves.

    Returns
    -------
    float
        In the currency of the amounts.

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range.
    """
    series = payments(amounts, "yearly amounts")
    return float(series @ discount_factors(rate, series.size, timing))


def annuity_factor(rate: Amount, years: int, timing: Timing = "end_of_year") -> float:
    """Worth today of one unit of money in each of the coming years together.

    Parameters
    ----------
    rate : float
        Discount rate per year as a share; zero allowed.
    years : int
        Number of years, 1 to 100.
    timing : {"end_of_year", "mid_year"}
        When in its year the money moves.

    Returns
    -------
    float
        Years' worth of the amount.

    Raises
    ------
    InvalidFigure
        If a number is out of range.

    Notes
    -----
    (1 - (1 + rate) ** -years) / rate, and `years` at a rate of zero; paid in
    mid-year, times the root of 1 + rate.

    References
    ----------
    .. [1] NIST Handbook 135, uniform present value factor (UPV).
    """
    return float(discount_factors(rate, years, timing).sum())


def annuity_payment(
    worth_today: Amount, rate: Amount, years: int, timing: Timing = "end_of_year"
) -> float:
    """Level yearly amount that is worth a sum today.

    Parameters
    ----------
    worth_today : float or Decimal
        Sum to spread over the years.
    rate, years, timing
        As in `annuity_factor`.

    Returns
    -------
    float
        Money per year.

    Raises
    ------
    InvalidFigure
        If a number is out of range.
    """
    return known(worth_today, "worth today") / annuity_factor(rate, years, timing)


def flow_weights(rate: Amount, years: int, timing: Timing) -> FloatArray:
    """Return the factor of today, which is one, and of each coming year."""
    return np.concatenate([[1.0], discount_factors(rate, years, timing)])


def net_present_value(
    cash_flows: Sequence[Amount] | FloatArray,
    rate: Amount,
    timing: Timing = "end_of_year",
) -> float:
    """Worth today of an investment and all that follows from it.

    Parameters
    ----------
    cash_flows : sequence of float or Decimal
        Today's money first, then that of year 1, 2, ...; money spent is
        negative.
    rate : float
        Discount rate per year as a share.
    timing : {"end_of_year", "mid_year"}
        When in its year the later money moves.

    Returns
    -------
    float
        Above zero if the investment earns more than the rate.

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range, or no year follows.
    """
    flows = invested(cash_flows)
    return float(flows @ flow_weights(rate, flows.size - 1, timing))


def savings_to_investment(
    cash_flows: Sequence[Amount] | FloatArray,
    rate: Amount,
    timing: Timing = "end_of_year",
) -> float:
    """Worth today of what follows, for each unit of money spent today.

    Parameters
    ----------
    cash_flows, rate, timing
        As in `net_present_value`; today's money must be spent.

    Returns
    -------
    float
        Above one if the investment earns more than the rate.

    Raises
    ------
    InvalidFigure
        If nothing is spent today, or a number is missing or out of range.

    References
    ----------
    .. [1] NIST Handbook 135, savings-to-investment ratio (SIR).
    """
    flows = invested(cash_flows)
    spent = above_zero(-flows[0], "money spent today")
    return present_value(flows[1:], rate, timing) / spent


def invested(cash_flows: Sequence[Amount] | FloatArray) -> FloatArray:
    """Return checked payments of today and of at least one year.

    Raises
    ------
    InvalidFigure
        If no year follows or a number is missing.
    """
    flows = payments(cash_flows, "cash flows")
    if flows.size < 2:
        raise InvalidFigure("Cash flows need today's money and at least one year.")
    return flows


def _earlier(timing: Timing) -> float:
    if timing not in EARLIER:
        raise InvalidFigure(f"No convention of payment is called {timing!r}.")
    return EARLIER[timing]
