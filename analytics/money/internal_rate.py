"""Internal rate of return: the discount rate at which a change earns nothing."""

from collections.abc import Sequence

import numpy as np
from scipy import optimize

from analytics.life.arrays import FloatArray
from analytics.money.discounting import EARLIER, Timing, flow_weights, invested
from analytics.money.errors import NoInternalRate, SeveralInternalRates
from analytics.money.figures import Amount

# Logs of 1 + rate that are searched: from next to -100 % to beyond 10 million
# times a year, wider than anything that money does.
LOWEST, HIGHEST = -18.0, 18.0
# The range is halved so often that less than 1e-9 of it is left.
HALVINGS = 40
# Beyond this power of e a weight only has to be large, not right.
LARGEST_POWER = 600.0


def internal_rate(
    cash_flows: Sequence[Amount] | FloatArray, timing: Timing = "end_of_year"
) -> float:
    """Discount rate at which the net present value is zero.

    Parameters
    ----------
    cash_flows : sequence of float or Decimal
        Today's money first, then that of year 1, 2, ...; money spent is
        negative and comes first.
    timing : {"end_of_year", "mid_year"}
        When in its year the later money moves.

    Returns
    -------
    float
        Per year as a share; negative if less comes back than was spent.

    Raises
    ------
    InvalidFigure
        If a number is missing or no year follows.
    NoInternalRate
        If money only comes or only goes, if it comes before it goes, or if
        the rate is beyond any sense.
    SeveralInternalRates
        If the flows change sign more than once.

    Notes
    -----
    With one change of sign there is exactly one rate above -100 %, by the
    rule of signs of Descartes. It is sought in the log of 1 + rate between
    fixed ends, so no first guess is needed.
    """
    flows = invested(cash_flows)
    # The weights of no rate at all check the name of the convention.
    flow_weights(0.0, flows.size - 1, timing)
    _one_change_of_sign(flows)
    when = np.arange(float(flows.size))
    when[1:] -= EARLIER[timing]

    def worth(log_growth: float) -> float:
        powers = -log_growth * when
        # Scaled so that the largest weight is one: same sign, no overflow.
        return float(flows @ np.exp(powers - powers.max()))

    if worth(LOWEST) <= 0.0 or worth(HIGHEST) >= 0.0:
        raise NoInternalRate("The internal rate of return is beyond any sense.")
    root = optimize.brentq(worth, LOWEST, HIGHEST, xtol=1e-14, rtol=1e-14)
    return float(np.expm1(root))


def internal_rate_each(flows: FloatArray, timing: Timing = "end_of_year") -> FloatArray:
    """Solve the internal rates of many investments at once.

    Parameters
    ----------
    flows : ndarray, shape (n, years + 1)
        One investment a row: today's money first and not above zero, that of
        all later years of one sign.
    timing : {"end_of_year", "mid_year"}
        When in its year the later money moves.

    Returns
    -------
    ndarray, shape (n,)
        Per year as shares; -1 where nothing comes back and infinite where
        nothing is spent for it.

    Raises
    ------
    InvalidFigure
        If no convention has that name.
    """
    flow_weights(0.0, flows.shape[1] - 1, timing)
    when = np.arange(1.0, flows.shape[1]) - EARLIER[timing]
    spent, gains = -flows[:, 0], flows[:, 1:]
    low, high = np.full(spent.size, LOWEST), np.full(spent.size, HIGHEST)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        powers = np.minimum(-middle[:, None] * when, LARGEST_POWER)
        earns = (gains * np.exp(powers)).sum(axis=1) > spent
        low, high = np.where(earns, middle, low), np.where(earns, high, middle)
    rates = np.expm1(0.5 * (low + high))
    back = gains.sum(axis=1) > 0.0
    return np.where(back, np.where(spent > 0.0, rates, np.inf), -1.0)


def _one_change_of_sign(flows: FloatArray) -> None:
    signs = np.sign(flows[flows != 0.0])
    changes = int((np.diff(signs) != 0.0).sum())
    if changes > 1:
        raise SeveralInternalRates(
            f"The cash flows change sign {changes} times, so more than one internal "
            "rate of return may fit; use the net present value."
        )
    if changes == 0:
        raise NoInternalRate(
            "Money only comes or only goes, so there is no internal rate of return."
        )
    if signs[0] > 0.0:
        raise NoInternalRate(
            "Money comes first and goes later: a loan, not an investment, and it "
            "has no internal rate of return."
        )
