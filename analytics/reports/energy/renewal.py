"""Whether taking the wear away pays: the question asked, and its answer."""

from dataclasses import dataclass
from decimal import Decimal

from django.db import models

from analytics.life.results import Estimate, Interval
from analytics.money.energy import EfficiencyDrop, yearly_cost_of_drop
from analytics.money.wear_renewal import WearRenewal, wear_renewal
from plant.choices import ImpellerKind

# Until the drop is back where the readings do not tell: common practice.
USUAL_WEAR_YEARS = 4.0


class Work(models.TextChoices):
    """What is done about the wear."""

    RESET = "reset", "Reset the impeller clearance"
    RENEW = "renew", "Renew the wear surface"


# Share of the drop that the work takes away: common practice. A clearance that is set
# again leaves worn vanes and faces as they are.
USUAL_SHARE = {Work.RESET: 0.6, Work.RENEW: 0.9}


@dataclass(frozen=True, slots=True)
class RenewalQuestion:
    """What a person asks; `cost_of_work` empty: only the cost of the drop."""

    price_per_kwh: Decimal | None
    hours_per_year: float
    motor_efficiency: float
    work: Work
    cost_of_work: Decimal | None
    share_recovered: float
    wear_years: float
    horizon_years: float


@dataclass(frozen=True, slots=True)
class RenewalAnswer:
    """Energy and money of the drop a year, and the verdict where all is known."""

    kwh: Estimate
    cost: Estimate | None
    renewal: WearRenewal | None


def usual_work(impeller_kind: str) -> Work:
    """A closed impeller runs in wear rings: there is no clearance to set."""
    return Work.RENEW if impeller_kind == ImpellerKind.CLOSED else Work.RESET


def renewal_answer(drop: EfficiencyDrop, asked: RenewalQuestion) -> RenewalAnswer:
    """What the drop costs, and whether taking it away pays.

    Raises
    ------
    InvalidFigure
        If a number is out of range.
    """
    kwh = yearly_cost_of_drop(drop, asked.hours_per_year, 1.0, asked.motor_efficiency)
    if asked.price_per_kwh is None:
        return RenewalAnswer(kwh, None, None)
    cost = at_price(kwh, asked.price_per_kwh)
    if asked.cost_of_work is None:
        return RenewalAnswer(kwh, cost, None)
    renewal = wear_renewal(
        cost,
        asked.cost_of_work,
        asked.horizon_years,
        asked.share_recovered,
        asked.wear_years,
    )
    return RenewalAnswer(kwh, cost, renewal)


def at_price(kwh: Estimate, price: Decimal) -> Estimate:
    """Energy a year in money a year."""
    limits, each = kwh.interval, float(price)
    return Estimate(
        kwh.value * each,
        Interval(
            limits.low * each, limits.high * each, limits.confidence, limits.method
        ),
    )
