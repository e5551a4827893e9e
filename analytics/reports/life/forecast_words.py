"""The forecast in one sentence, for every page that speaks of it."""

from analytics.life.results import Interval
from analytics.reports.life.forecast import LifeForecast
from plant.display import NO_BREAK_SPACE, fixed, interval, number, percent


def forecast_sentence(forecast: LifeForecast) -> str:
    """The year ahead in one sentence, or nothing where it cannot be told."""
    if not forecast.by_horizon:
        return ""
    horizon, year = forecast.by_horizon[-1]
    limits = year.interval
    return (
        f"With {number(len(forecast.in_service.rows))} in service now, and new ones in "
        f"place of those that fail, expect about {fixed(year.expected, 1)} failures in "
        f"the next {horizon.label} ({percent(limits.confidence)} interval "
        f"{failures_text(limits)}); a stock of {number(year.stock(0.95))} is enough "
        f"with 95{NO_BREAK_SPACE}% chance if none is delivered meanwhile."
    )


def failures_text(limits: Interval) -> str:
    """Limits of a number of failures, which come whole."""
    return interval(limits.low, limits.high, lambda value: fixed(value, 0))
