"""Events of repairable units: mean curve, power law and trend tests."""

from analytics.life.recurrence.histories import History
from analytics.life.recurrence.mean_cumulative import (
    MeanCumulativeFunction,
    mean_cumulative_function,
)
from analytics.life.recurrence.power_law import PowerLawFit, power_law_fit
from analytics.life.recurrence.trend import (
    TrendTest,
    laplace_test,
    military_handbook_test,
)

__all__ = [
    "History",
    "MeanCumulativeFunction",
    "PowerLawFit",
    "TrendTest",
    "laplace_test",
    "mean_cumulative_function",
    "military_handbook_test",
    "power_law_fit",
]
