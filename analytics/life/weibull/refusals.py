"""Why a population has no Weibull fit, in words."""

from analytics.life.data import LifeData
from analytics.life.errors import (
    DidNotConverge,
    LifeError,
    NoMaximum,
    NoSpread,
    TooFewFailures,
)
from analytics.life.weibull.solver import MINIMUM_FAILURES, Status


def refusal(status: Status, data: LifeData) -> LifeError:
    """Return the error that says in words why there is no fit."""
    if status is Status.TOO_FEW_FAILURES:
        return TooFewFailures(
            f"A shape needs at least {MINIMUM_FAILURES} failures; "
            f"this sample has {data.failures}."
        )
    if status is Status.NO_SPREAD:
        return NoSpread(
            f"All {data.failures} failures have the same age, "
            "so the shape cannot be estimated."
        )
    if status is Status.NO_MAXIMUM:
        return NoMaximum(
            "The lives were watched too late and too shortly: "
            "no positive shape fits them best."
        )
    return DidNotConverge("The search for the Weibull shape did not settle.")
