"""How long until an investment has come back."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.discounting import Timing, flow_weights, invested
from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, yearly_rate, zero_or_more

Convention = Literal["interpolated", "continuous", "whole_years"]
CONVENTIONS = ("interpolated", "continuous", "whole_years")
MONTHS_PER_YEAR = 12
# Sums closer to zero than this share of all money moved are zero.
ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class Payback:
    """Time until an investment has come back, for good.

    Parameters
    ----------
    years : float or None
        From today; None if it never comes back within the years given.
    reason : str or None
        Sentence that says why never.
    """

    years: float | None
    reason: str | None = None

    @property
    def months(self) -> float | None:
        """The same in months."""
        return None if self.years is None else self.years * MONTHS_PER_YEAR


def simple_payback(
    cash_flows: Sequence[Amount] | FloatArray, lead_years: Amount = 0.0
) -> Payback:
    """Time until the money spent has come back, without interest.

    Parameters
    ----------
    cash_flows : sequence of float or Decimal
        Today's money first, then that of year 1, 2, ...; money spent is
        negative.
    lead_years : float, default 0
        Years until the change works; what a year brings is spread evenly
        over the part of the year after that.

    Returns
    -------
    Payback
        The last time the sum rises to zero: if later costs take the money
        away again, it has not come back.

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range, or no year follows.
    """
    flows = invested(cash_flows)
    lead = zero_or_more(lead_years, "lead time")
    years = payback_each(flows[None, :], lead_years=np.array([lead]))
    return _payback(float(years[0]), flows, "")


def discounted_payback(
    cash_flows: Sequence[Amount] | FloatArray,
    rate: Amount,
    timing: Timing = "end_of_year",
    convention: Convention = "interpolated",
    lead_years: Amount = 0.0,
) -> Payback:
    """Time until the money spent has come back with interest.

    Parameters
    ----------
    cash_flows, lead_years
        As in `simple_payback`.
    rate : float
        Discount rate per year as a share.
    timing : {"end_of_year", "mid_year"}
        When in its year the later money moves.
    convention : {"interpolated", "continuous", "whole_years"}
        Time within the year of payback: the discounted amount of the year
        spread evenly; the amount itself spread so that level amounts give
        -ln(1 - I r / A) / ln(1 + r); or the end of that year.

    Returns
    -------
    Payback

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range, no year follows, or no
        convention has that name.
    """
    flows = invested(cash_flows)
    lead = zero_or_more(lead_years, "lead time")
    years = payback_each(flows[None, :], rate, timing, convention, np.array([lead]))
    weighed = flows * flow_weights(rate, flows.size - 1, timing)
    return _payback(float(years[0]), weighed, ", discounted,")


def payback_each(
    flows: FloatArray,
    rate: Amount = 0.0,
    timing: Timing = "end_of_year",
    convention: Convention = "interpolated",
    lead_years: FloatArray | None = None,
) -> FloatArray:
    """Payback of many series of cash flows at once.

    Parameters
    ----------
    flows : ndarray, shape (n, years + 1)
        One series a row, today's money first.
    rate, timing, convention
        As in `discounted_payback`; a rate of zero gives the simple payback.
    lead_years : ndarray, shape (n,), optional
        Years until the change works, of each series.

    Returns
    -------
    ndarray, shape (n,)
        Years from today; infinite where the money never comes back.

    Raises
    ------
    InvalidFigure
        If a number is out of range or no convention has that name.
    """
    if convention not in CONVENTIONS:
        raise InvalidFigure(f"No convention of payback is called {convention!r}.")
    count = flows.shape[1] - 1
    gains = flows * flow_weights(rate, count, timing)
    sums = gains.cumsum(axis=1)
    below = sums < -ROUNDING * np.abs(gains).sum(axis=1, keepdims=True)
    # The last year-end with money missing; the year after it pays back.
    last = count - np.argmax(below[:, ::-1], axis=1)
    years = np.where(below.any(axis=1), np.inf, 0.0)
    rows = np.flatnonzero(below.any(axis=1) & ~below[:, -1])
    year = last[rows]
    share = np.clip(-sums[rows, year] / gains[rows, year + 1], 0.0, 1.0)
    lead = np.zeros(rows.size) if lead_years is None else lead_years[rows]
    begin = np.clip(lead, year, year + 1.0)
    width = year + 1.0 - begin
    years[rows] = begin + _part(share, width, yearly_rate(rate, "rate"), convention)
    return years


def _part(
    share: FloatArray, width: FloatArray, rate: float, convention: Convention
) -> FloatArray:
    """Return the time within the year after which a share of it has come."""
    if convention == "whole_years":
        return width
    if convention == "interpolated" or rate == 0.0:
        return share * width
    log_growth = np.log1p(rate)
    return np.asarray(
        -np.log1p(share * np.expm1(-width * log_growth)) / log_growth, dtype=np.float64
    )


def _payback(years: float, flows: FloatArray, kind: str) -> Payback:
    if np.isfinite(years):
        return Payback(years)
    spent, back = -flows[0], float(flows[1:].sum())
    count = flows.size - 1
    over = f"Over {count} {'year' if count == 1 else 'years'}"
    if spent <= 0.0:
        reason = "Later costs are higher than all that comes in."
    elif back <= 0.0:
        reason = f"{over} nothing{kind} comes back; costs rise."
    elif (flows.cumsum()[1:] >= 0.0).any():
        reason = "It comes back for a time, but later costs take it away again."
    else:
        reason = (
            f"{over} only {100 * back / spent:.0f}\u00a0%{kind} of what is spent "
            "comes back."
        )
    return Payback(None, reason)
