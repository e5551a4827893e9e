"""How far an upgrade case may turn out differently: simulation and tornado."""

from dataclasses import dataclass, field

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.results import Interval
from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, above_zero, checked_share
from analytics.money.internal_rate import internal_rate_each
from analytics.money.payback import MONTHS_PER_YEAR
from analytics.money.quantities import Quantity, draws
from analytics.money.upgrade_inputs import QUANTITIES, UpgradeInputs
from analytics.money.upgrade_reckoning import mean_values, reckon

RUNS = 20_000
FEWEST_RUNS = 100
SEED = 20210415
TORNADO_LIMITS = (0.05, 0.95)


@dataclass(frozen=True, slots=True, eq=False)
class UpgradeSimulation:
    """Outcomes of the case under draws of all its uncertain inputs.

    Parameters
    ----------
    saving_interval : Interval
        Money per year, once the change works.
    net_present_value_interval : Interval
    internal_rate_interval : Interval
        Per year; -1 (all is lost) where nothing comes back.
    payback_interval, discounted_payback_interval : Interval
        Months from today; `high` is infinite if that share never pays back.
    horizon_months : int
        Payback is watched to here.
    saving, net_present_value : ndarray, shape (runs,)
        As drawn.
    internal_rate : ndarray, shape (runs,)
        As drawn; -1 where nothing comes back.
    payback_months, discounted_payback_months : ndarray, shape (runs,)
        As drawn; infinite if not within the horizon.

    Notes
    -----
    What is drawn is how large the inputs truly are. The chance by which a
    sound or a bad pump has one failure more in one year is not in it.
    """

    saving_interval: Interval
    net_present_value_interval: Interval
    internal_rate_interval: Interval
    payback_interval: Interval
    discounted_payback_interval: Interval
    horizon_months: int
    saving: FloatArray = field(repr=False)
    net_present_value: FloatArray = field(repr=False)
    internal_rate: FloatArray = field(repr=False)
    payback_months: FloatArray = field(repr=False)
    discounted_payback_months: FloatArray = field(repr=False)

    @property
    def gain_probability(self) -> float:
        """Chance that the net present value is above zero."""
        return float((self.net_present_value > 0.0).mean())

    def payback_probability(self, months: Amount, discounted: bool = False) -> float:
        """Chance that the change has paid back within some months from today.

        Parameters
        ----------
        months : float
            Above zero, not beyond the horizon.
        discounted : bool, default False
            Whether with interest.

        Raises
        ------
        InvalidFigure
            If the months lie outside their range.
        """
        limit = above_zero(months, "number of months")
        if limit > self.horizon_months:
            raise InvalidFigure(
                f"The case ends after {self.horizon_months} months, so it cannot tell "
                f"what is paid back after {limit:g}."
            )
        months_drawn = (
            self.discounted_payback_months if discounted else self.payback_months
        )
        # A payback on the very day must not be lost to rounding.
        return float((months_drawn <= limit + 1e-9).mean())


@dataclass(frozen=True, slots=True)
class TornadoBar:
    """What one uncertain input alone does to the net present value.

    Parameters
    ----------
    name : str
        Of the input, a field of `UpgradeInputs`.
    low, high : float
        Its 5 % and 95 % limits, in its own unit.
    at_low, at_high : float
        Net present value with the input there and all others at their mean.
    """

    name: str
    low: float
    high: float
    at_low: float
    at_high: float

    @property
    def swing(self) -> float:
        """Distance between the two net present values."""
        return abs(self.at_high - self.at_low)


def simulate(
    inputs: UpgradeInputs, confidence: float = 0.90, runs: int = RUNS
) -> UpgradeSimulation:
    """Draw all uncertain inputs, independently, and reckon each draw.

    Parameters
    ----------
    inputs : UpgradeInputs
        The case.
    confidence : float, default 0.90
        Of the intervals, equal-tailed.
    runs : int, default 20,000
        At least 100. The seed is fixed: the same case gives the same answer.

    Returns
    -------
    UpgradeSimulation

    Raises
    ------
    InvalidFigure
        If a setting is out of range.
    """
    checked_share(confidence)
    if runs != int(runs) or runs < FEWEST_RUNS:
        raise InvalidFigure(f"A simulation needs at least {FEWEST_RUNS} runs.")
    generator = np.random.default_rng(SEED)
    values = {
        name: draws(getattr(inputs, name), runs, generator) for name in QUANTITIES
    }
    drawn = reckon(values, inputs)
    rates = internal_rate_each(drawn.cash_flows, inputs.timing)
    simple = drawn.simple_payback * MONTHS_PER_YEAR
    discounted = drawn.discounted_payback * MONTHS_PER_YEAR
    return UpgradeSimulation(
        saving_interval=drawn_interval(drawn.saving, confidence),
        net_present_value_interval=drawn_interval(drawn.net_present_value, confidence),
        internal_rate_interval=drawn_interval(rates, confidence),
        payback_interval=drawn_interval(simple, confidence),
        discounted_payback_interval=drawn_interval(discounted, confidence),
        horizon_months=inputs.horizon_years * MONTHS_PER_YEAR,
        saving=drawn.saving,
        net_present_value=drawn.net_present_value,
        internal_rate=rates,
        payback_months=simple,
        discounted_payback_months=discounted,
    )


def tornado(inputs: UpgradeInputs) -> tuple[TornadoBar, ...]:
    """Move each uncertain input alone to its 5 % and 95 % limits.

    Parameters
    ----------
    inputs : UpgradeInputs
        The case.

    Returns
    -------
    tuple of TornadoBar
        Largest swing first; empty if all inputs are certain.
    """
    names = inputs.uncertain
    limits = [_limits(getattr(inputs, name)) for name in names]
    values = mean_values(inputs, 2 * len(names))
    for row, (name, ends) in enumerate(zip(names, limits, strict=True)):
        values[name][2 * row : 2 * row + 2] = ends
    worth = reckon(values, inputs).net_present_value.reshape(-1, 2).tolist()
    bars = [
        TornadoBar(name, *ends, at_low, at_high)
        for name, ends, (at_low, at_high) in zip(names, limits, worth, strict=True)
    ]
    return tuple(sorted(bars, key=lambda bar: -bar.swing))


def drawn_interval(drawn: FloatArray, confidence: float) -> Interval:
    """Return the equal-tailed limits of drawn numbers, some perhaps infinite."""
    half = 0.5 * (1.0 - confidence)
    # No interpolation: between a number and infinity there is nothing.
    low, high = np.quantile(drawn, [half, 1.0 - half], method="inverted_cdf")
    return Interval(float(low), float(high), confidence, "simulated")


def _limits(quantity: Quantity) -> tuple[float, float]:
    low, high = quantity.quantile(TORNADO_LIMITS)
    return float(low), float(high)
