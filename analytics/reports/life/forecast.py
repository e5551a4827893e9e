"""How many of the lives now in service will fail, which ones, and the spares."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.ages import Clock
from analytics.life.errors import LifeError
from analytics.life.forecast import FailureForecast, expected_failures
from analytics.life.results import Interval
from analytics.life.weibull import FixedShapeFit, WeibullFit
from analytics.reports.life.in_service import YEAR_DAYS, InService, lives_in_service
from analytics.reports.life.reading import LifeReading
from analytics.reports.life.words import nothing_to_fit

LEVELS = (0.90, 0.95, 0.99)


@dataclass(frozen=True, slots=True)
class Horizon:
    """A time ahead, in calendar days."""

    label: str
    days: float


QUARTER = Horizon("90 days", 90.0)
YEAR = Horizon("12 months", YEAR_DAYS)
HORIZONS = (QUARTER, YEAR)


@dataclass(frozen=True, slots=True)
class PartAtRisk:
    """One life in service with its chance of failing within each horizon."""

    life: pd.Series
    chances: tuple[float, ...]
    limits: tuple[Interval | None, ...]


@dataclass(frozen=True, slots=True, eq=False)
class LifeForecast:
    """What to expect of a population; `refusal` where nothing can be said."""

    reading: LifeReading
    in_service: InService
    by_horizon: tuple[tuple[Horizon, FailureForecast], ...] = ()
    refusal: str = ""

    @property
    def order(self) -> list[int]:
        """Rows of the lives in service, most likely to fail within a year first."""
        if not self.by_horizon:
            return []
        _year, last = self.by_horizon[-1]
        return [int(row) for row in np.argsort(-last.probability, kind="stable")]

    def part(self, row: int) -> PartAtRisk:
        """One life with its chances; an assumed shape gives them no interval."""
        fit, age = self.reading.basis, float(self.in_service.ages[row])
        limits: list[Interval | None] = [None] * len(self.by_horizon)
        if isinstance(fit, WeibullFit):
            ahead = [
                float(self.in_service.ahead(horizon.days)[row])
                for horizon, _ in self.by_horizon
            ]
            limits = [
                fit.conditional_failure_estimate(age, time).interval for time in ahead
            ]
        return PartAtRisk(
            life=self.in_service.rows.iloc[row],
            chances=tuple(
                float(forecast.probability[row]) for _, forecast in self.by_horizon
            ),
            limits=tuple(limits),
        )


def life_forecast(
    reading: LifeReading, horizons: Sequence[Horizon] = HORIZONS
) -> LifeForecast:
    """Forecast the failures of what is in service, each at its own running share."""
    found = lives_in_service(reading.sample, reading.tables)
    refusal = _refusal(reading, found)
    if refusal:
        return LifeForecast(reading, found, refusal=refusal)
    basis = reading.basis
    assert basis is not None
    try:
        forecasts = _forecasts(found, basis, reading.question.confidence, horizons)
    except LifeError as error:
        return LifeForecast(reading, found, refusal=str(error))
    return LifeForecast(reading, found, forecasts)


def _forecasts(
    found: InService,
    basis: WeibullFit | FixedShapeFit,
    confidence: float,
    horizons: Sequence[Horizon],
) -> tuple[tuple[Horizon, FailureForecast], ...]:
    return tuple(
        (
            horizon,
            expected_failures(found.ages, basis, found.ahead(horizon.days), confidence),
        )
        for horizon in horizons
    )


def _refusal(reading: LifeReading, found: InService) -> str:
    """Why no forecast is possible and what to do, or nothing."""
    if reading.sample.rule.clock is Clock.STARTS:
        return (
            "The log does not know how many starts lie ahead. Count age in running "
            "hours or in calendar days for a forecast."
        )
    if reading.sample.used.empty:
        return nothing_to_fit(reading.sample)
    if reading.basis is None:
        return (
            "No life of this choice has failed yet, so the life has no estimate, "
            "only a lower bound. A forecast would be a guess."
        )
    if found.rows.empty:
        return (
            "No life of this choice is in service at a position, so nothing of it "
            "can fail. Widen the choice, or record what is fitted."
        )
    return ""
