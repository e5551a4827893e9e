"""Mean time between repairs above a review, and the two years it compares."""

from dataclasses import replace
from typing import Any

from analytics.exposure import Window, months_back, window_of_months
from analytics.life.compare import rate_ratio
from analytics.rates import MeanTime, mean_time
from analytics.reports.fleet.report import FleetTrend
from analytics.wording import interval_sentence, sample_text, value_text
from plant.display import fixed, months

YEAR = 12


def headline(fleet: FleetTrend) -> list[dict[str, Any]]:
    """The window, and where it is longer than a year its last 12 months too."""
    last, before = two_years(fleet)
    rows = [("MTBR of the window", fleet.mtbr)]
    if fleet.scope.window != _year_to(fleet, 0):
        rows.append(("MTBR, last 12 months", last))
    rows.append(("MTBR, the year before", before))
    return [
        {
            "label": label,
            "text": value_text(rate, months, none="no repairs"),
            "interval": interval_sentence(rate, fixed, "months"),
            "sample": sample_text(rate, event="repair", exposure="position-months"),
            "value": rate.value,
        }
        for label, rate in rows
    ]


def years_apart(fleet: FleetTrend) -> FleetTrend:
    """The report with the last 12 months against the 12 before.

    A window of 24 or 36 months shares most of its days with the same window a year
    earlier: the two cannot be compared as if they were independent.
    """
    now, before = two_years(fleet)
    change = None
    if now.exposure > 0 and before.exposure > 0:
        change = rate_ratio(
            now.events, now.exposure, before.events, before.exposure, now.confidence
        )
    return replace(fleet, mtbr=now, year_before=before, change=change)


def two_years(fleet: FleetTrend) -> tuple[MeanTime, MeanTime]:
    """The last 12 months and the 12 before, out of the points of the rolling line."""
    found = {point.window: point.rate for point in fleet.rolling}
    nothing = mean_time(0.0, 0, fleet.mtbr.confidence)
    return (
        found.get(_year_to(fleet, 0), nothing),
        found.get(_year_to(fleet, YEAR), nothing),
    )


def _year_to(fleet: FleetTrend, back: int) -> Window:
    return window_of_months(months_back(fleet.scope.window.end, back), YEAR)
