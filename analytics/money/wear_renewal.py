"""Whether resetting a clearance or renewing a wear surface pays in energy."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from analytics.life.results import Estimate, Interval
from analytics.money.figures import Amount, above_zero, share_of_one

Verdict = Literal["pays", "does not pay", "not clear"]


@dataclass(frozen=True, slots=True)
class WearRenewal:
    """Energy saved by a renewal against its cost.

    Parameters
    ----------
    saving : Estimate
        Money saved in all until the wear is back or the horizon ends.
    payback_years : float or None
        Without interest; None if the cost does not come back.
    payback_interval : Interval
        Years; `high` is infinite where the lower limit of the saving never
        pays back.
    verdict : {"pays", "does not pay", "not clear"}
        Whether the saving is above the cost at both limits, at neither, or
        at one.
    """

    saving: Estimate
    payback_years: float | None
    payback_interval: Interval
    verdict: Verdict


def wear_renewal(
    yearly_cost: Estimate,
    cost_of_renewal: Amount,
    horizon_years: Amount,
    recovered: Amount = 1.0,
    wear_years: Amount | None = None,
) -> WearRenewal:
    """Set the energy that a renewal saves against its cost.

    Parameters
    ----------
    yearly_cost : Estimate
        Of the drop, from `yearly_cost_of_drop`.
    cost_of_renewal : float or Decimal
        Labour, parts and lost production, above zero.
    horizon_years : float
        Until the pump would be overhauled anyway, above zero.
    recovered : float, default 1
        Share of the drop that the renewal takes away: resetting a clearance
        recovers less than a new wear surface.
    wear_years : float, optional
        Time in which the drop comes back evenly; without it the gain lasts
        for the whole horizon.

    Returns
    -------
    WearRenewal

    Raises
    ------
    InvalidFigure
        If a number is out of range.

    Notes
    -----
    With yearly gain S that fades over W years the saving to t is
    S t (1 - t / (2 W)), at most S W / 2.
    """
    cost = above_zero(cost_of_renewal, "cost of the renewal")
    horizon = above_zero(horizon_years, "horizon")
    fade = None if wear_years is None else above_zero(wear_years, "time to wear back")
    share = share_of_one(recovered, "share recovered")
    limits = yearly_cost.interval
    gains = [share * gain for gain in (yearly_cost.value, limits.low, limits.high)]
    saved = [_saved(gain, horizon, fade) for gain in gains]
    years = [_payback(gain, cost, horizon, fade) for gain in gains]
    pays = [amount > cost for amount in saved]
    verdict: Verdict = "not clear"
    if pays[1] == pays[2]:
        verdict = "pays" if pays[1] else "does not pay"
    return WearRenewal(
        saving=Estimate(
            saved[0], Interval(saved[1], saved[2], limits.confidence, limits.method)
        ),
        payback_years=years[0] if np.isfinite(years[0]) else None,
        payback_interval=Interval(years[2], years[1], limits.confidence, limits.method),
        verdict=verdict,
    )


def _saved(gain: float, years: float, fade: float | None) -> float:
    if fade is None:
        return gain * years
    lasting = min(years, fade)
    return gain * lasting * (1.0 - 0.5 * lasting / fade)


def _payback(gain: float, cost: float, horizon: float, fade: float | None) -> float:
    """Return years until the cost is saved, infinite if not in the horizon."""
    if gain <= 0.0 or _saved(gain, horizon, fade) < cost:
        return float(np.inf)
    if fade is None:
        return cost / gain
    # The first of the two times at which the parabola of savings meets the cost.
    return fade * (1.0 - float(np.sqrt(max(0.0, 1.0 - 2.0 * cost / (gain * fade)))))
