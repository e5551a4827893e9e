"""The only tables of analytics: results frozen on the day they counted."""

from analytics.models.frozen_expectation import FrozenExpectation
from analytics.models.frozen_verdict import FrozenVerdict
from analytics.models.review import Review, ReviewDecision, ReviewState

__all__ = [
    "FrozenExpectation",
    "FrozenVerdict",
    "Review",
    "ReviewDecision",
    "ReviewState",
]
