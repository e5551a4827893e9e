"""All that a pump costs from purchase to disposal, year by year and by element."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.discounting import (
    Timing,
    annuity_payment,
    discount_factor,
    flow_weights,
)
from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, known, payments, whole_years, yearly_rate


class Element(StrEnum):
    """Elements of pump life-cycle cost, as HI and Europump list them."""

    PURCHASE = "purchase"
    INSTALLATION = "installation"
    ENERGY = "energy"
    OPERATION = "operation"
    MAINTENANCE = "maintenance"
    DOWNTIME = "downtime"
    ENVIRONMENT = "environment"
    DISPOSAL = "disposal"


ELEMENTS = tuple(Element)


@dataclass(frozen=True, slots=True)
class ElementCost:
    """One element's money, in prices of today.

    Parameters
    ----------
    element : Element
        What it is spent on.
    today : float or Decimal
        Spent at the start.
    yearly : float, Decimal or sequence of them
        Spent each year; a sequence gives year 1, 2, ... to the last.
    at_end : float or Decimal
        Spent at the end of the last year; a negative one is scrap value.
    price_growth : float, default 0
        Rise of this element's price per year as a share.
    """

    element: Element
    today: Amount = 0.0
    yearly: Amount | Sequence[Amount] | FloatArray = 0.0
    at_end: Amount = 0.0
    price_growth: Amount = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class LifeCycleCost:
    """Life-cycle cost with its table of year by element.

    Parameters
    ----------
    years : int
        Number of years.
    rate : float
        Discount rate per year.
    timing : {"end_of_year", "mid_year"}
        When in its year the money moves.
    amounts : ndarray, shape (years + 1, 8)
        Money as it will be spent, today first; columns as `ELEMENTS`.
    present : ndarray, shape (years + 1, 8)
        The same, discounted.
    """

    years: int
    rate: float
    timing: Timing
    amounts: FloatArray
    present: FloatArray

    @property
    def total(self) -> float:
        """Worth today of all costs."""
        return float(self.present.sum())

    @property
    def total_spent(self) -> float:
        """All money as it will be spent, without discounting."""
        return float(self.amounts.sum())

    @property
    def by_element(self) -> dict[Element, float]:
        """Worth today of each element."""
        return dict(zip(ELEMENTS, self.present.sum(axis=0).tolist(), strict=True))

    @property
    def shares(self) -> dict[Element, float]:
        """Share of each element in the total; zero if nothing is spent."""
        total = self.total
        return {
            element: worth / total if total else 0.0
            for element, worth in self.by_element.items()
        }

    @property
    def by_year(self) -> FloatArray:
        """Money as spent today and in each year."""
        return np.asarray(self.amounts.sum(axis=1), dtype=np.float64)

    @property
    def yearly_equivalent(self) -> float:
        """Level amount a year that is worth as much as all costs."""
        return annuity_payment(self.total, self.rate, self.years, self.timing)


def life_cycle_cost(
    costs: Sequence[ElementCost],
    years: int,
    rate: Amount,
    timing: Timing = "end_of_year",
) -> LifeCycleCost:
    """Add up what a pump costs over its years.

    Parameters
    ----------
    costs : sequence of ElementCost
        In prices of today; an element may come more than once.
    years : int
        1 to 100.
    rate : float
        Discount rate per year as a share: nominal if the growth of prices
        holds inflation, real if it is growth beyond inflation.
    timing : {"end_of_year", "mid_year"}
        When in its year the yearly money moves.

    Returns
    -------
    LifeCycleCost

    Raises
    ------
    InvalidFigure
        If a number is missing or out of range, or a sequence does not give
        every year.

    Notes
    -----
    An amount of year k is its price of today times (1 + growth) ** k.

    References
    ----------
    .. [1] Hydraulic Institute and Europump, Pump Life Cycle Costs, LCC =
       Cic + Cin + Ce + Co + Cm + Cs + Cenv + Cd.
    """
    count = whole_years(years)
    weights = flow_weights(rate, count, timing)
    amounts = np.zeros((count + 1, len(ELEMENTS)))
    at_end = np.zeros(len(ELEMENTS))
    for cost in costs:
        column = ELEMENTS.index(cost.element)
        growth = 1.0 + yearly_rate(cost.price_growth, "growth of prices")
        prices = growth ** np.arange(1.0, count + 1.0)
        amounts[0, column] += known(cost.today, f"{cost.element} cost of today")
        amounts[1:, column] += prices * _yearly(cost, count)
        at_end[column] += prices[-1] * known(cost.at_end, f"{cost.element} cost at end")
    present = weights[:, None] * amounts
    # What the end brings is paid then, also where the rest moves in mid-year.
    present[-1] += discount_factor(rate, count) * at_end
    amounts[-1] += at_end
    return LifeCycleCost(count, float(rate), timing, amounts, present)


def _yearly(cost: ElementCost, years: int) -> FloatArray:
    name = f"yearly {cost.element} cost"
    if isinstance(cost.yearly, Sequence | np.ndarray):
        given = payments(cost.yearly, name)
        if given.size != years:
            raise InvalidFigure(
                f"The {name} is given for {given.size} of {years} years."
            )
        return given
    return np.full(years, known(cost.yearly, name))
