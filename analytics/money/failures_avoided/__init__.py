"""Failures after a change over failures before: what the log itself can tell.

Two ways: from the lives of the old and the new component, and from positions of
the fleet where the change has already been made.
"""

from analytics.money.failures_avoided.from_fleet import (
    FleetCounts,
    FleetRatio,
    ratio_from_fleet,
)
from analytics.money.failures_avoided.from_lives import ratio_from_lives
from analytics.money.failures_avoided.ratio import FailureRatio

__all__ = [
    "FailureRatio",
    "FleetCounts",
    "FleetRatio",
    "ratio_from_fleet",
    "ratio_from_lives",
]
