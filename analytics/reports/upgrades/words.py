"""The sentences at the head of an upgrade case."""

from collections.abc import Iterable
from datetime import date as Day

from analytics.money.upgrade import UpgradeResult
from analytics.reports.upgrades.assumptions import Assumptions, RatioFrom
from analytics.reports.upgrades.figures import NO_COST, spends
from plant.display import count, date, percent
from plant.models import Position

HARDLY = 0.10
NEARLY = 0.995
ON_NO_RECORD = (
    "The failures avoided are typed by hand and rest on no record: this is a wish with "
    "a calculation behind it."
)


def headline(
    result: UpgradeResult | None, assumptions: Assumptions, refusals: list[str]
) -> str:
    """What the case comes to, in one or two sentences."""
    if result is None:
        return " ".join(["The case cannot be reckoned yet.", *refusals])
    said = [_payback(result, assumptions.payback_months)]
    chance = result.simulation.payback_probability(assumptions.payback_months)
    gain = result.simulation.gain_probability
    years = count(assumptions.horizon_years, "year")
    if chance < HARDLY and gain < HARDLY:
        said.append(
            f"It hardly ever pays: over {years} it brings more than it costs with "
            f"{percent(gain)} probability."
        )
    elif chance < HARDLY or not spends(result):
        said.append(
            f"Over {years} it brings more than it costs with {percent(gain)} "
            "probability."
        )
    if assumptions.ratio_from == RatioFrom.TYPED:
        said.append(ON_NO_RECORD)
    return " ".join(said)


def out_of_service(positions: Iterable[Position], on: Day) -> str:
    """Why positions that are given up cannot save anything; empty if none is."""
    gone = [
        f"{one.tag} (since {date(one.out_of_service_on)})"
        for one in positions
        if one.out_of_service_on is not None and one.out_of_service_on <= on
    ]
    if not gone:
        return ""
    return (
        f"Out of service on {date(on)}, so a change there saves nothing: "
        f"{', '.join(gone)}. Take out what is given up."
    )


def _payback(result: UpgradeResult, months: int) -> str:
    if not spends(result):
        return NO_COST
    chance = result.simulation.payback_probability(months)
    return f"Pays back within {months} months with {percent(chance)} probability."


def sure(chance: float) -> str:
    """A probability that is never shown as certainty."""
    if chance > NEARLY:
        return f"more than {percent(0.99)}"
    return f"less than {percent(0.01)}" if chance < 1.0 - NEARLY else percent(chance)
