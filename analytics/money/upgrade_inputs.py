"""What an upgrade case is reckoned from: quantities, horizon and rate."""

from dataclasses import dataclass, fields

from analytics.money.discounting import Timing, discount_factors
from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, known, whole_years, zero_or_more
from analytics.money.quantities import Fixed, Quantity

NOTHING = Fixed(0.0)
# Quantities that cannot be below zero; changes of running cost may be.
NEVER_NEGATIVE = (
    "failures_per_year",
    "failure_ratio",
    "repair_cost",
    "lost_production",
    "environment_cost",
    "purchase",
    "installation",
    "lead_months",
)
CHANGES = ("energy_change", "water_change", "barrier_fluid_change")
# Every uncertain input by its name, in the order of the draws.
QUANTITIES = (*NEVER_NEGATIVE, *CHANGES)


@dataclass(frozen=True, slots=True)
class RunningCosts:
    """Yearly costs of all positions that the change leaves as they are.

    They weigh nothing in the saving; the life-cycle cost needs them to be whole.

    Parameters
    ----------
    energy, operation, planned_maintenance : float or Decimal
        Per year, all positions together.
    disposal : float or Decimal
        At the end of the horizon; negative where scrap brings money.
    """

    energy: Amount = 0.0
    operation: Amount = 0.0
    planned_maintenance: Amount = 0.0
    disposal: Amount = 0.0

    def __post_init__(self) -> None:
        """Refuse negative costs; scrap alone may bring money."""
        for cost in fields(self):
            check = known if cost.name == "disposal" else zero_or_more
            check(getattr(self, cost.name), cost.name.replace("_", " "))


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeInputs:
    """Inputs of an upgrade case, in prices of today and one currency.

    Parameters
    ----------
    positions : int
        Positions that are changed, one or more.
    failures_per_year : Quantity
        Of one position as it is now.
    failure_ratio : Quantity
        Failures after the change over failures before; 0.5 halves them.
    repair_cost, lost_production, environment_cost : Quantity
        Money per failure.
    purchase, installation : Quantity
        Spent today, all positions together; their sum is the investment.
    lead_months : Quantity
        From today until the change works.
    energy_change, water_change, barrier_fluid_change : Quantity
        Money per year that the change adds, all positions together;
        negative if it saves.
    horizon_years : int
        1 to 100.
    discount_rate : float
        Real rate per year as a share, as prices are those of today.
    timing : {"end_of_year", "mid_year"}
        When in its year the saving is taken to come.
    running : RunningCosts
        What stays the same.

    Raises
    ------
    InvalidFigure
        If a number is out of range or a quantity that cannot be negative may
        become so.
    """

    positions: int
    failures_per_year: Quantity
    failure_ratio: Quantity
    repair_cost: Quantity
    purchase: Quantity
    horizon_years: int
    discount_rate: Amount
    lost_production: Quantity = NOTHING
    environment_cost: Quantity = NOTHING
    installation: Quantity = NOTHING
    lead_months: Quantity = NOTHING
    energy_change: Quantity = NOTHING
    water_change: Quantity = NOTHING
    barrier_fluid_change: Quantity = NOTHING
    timing: Timing = "end_of_year"
    running: RunningCosts = RunningCosts()

    def __post_init__(self) -> None:
        """Refuse what no case can be reckoned from."""
        count = known(self.positions, "number of positions")
        if count != int(count) or count < 1.0:
            raise InvalidFigure("The number of positions must be whole, one or more.")
        whole_years(self.horizon_years, "horizon")
        # Checks rate and convention before anything is drawn.
        discount_factors(self.discount_rate, self.horizon_years, self.timing)
        for name in NEVER_NEGATIVE:
            quantity: Quantity = getattr(self, name)
            if min(quantity.best, float(quantity.quantile(1e-9))) < 0.0:
                words = name.replace("_", " ")
                raise InvalidFigure(f"The {words} cannot be below zero.")
        if self.lead_months.best > 12.0 * self.horizon_years:
            raise InvalidFigure("The change would come after the end of the horizon.")

    @property
    def uncertain(self) -> tuple[str, ...]:
        """Names of the inputs that are not certain."""
        return tuple(name for name in QUANTITIES if getattr(self, name).uncertain)
