"""The sentences at the head of an upgrade case."""

from analytics.money.upgrade import UpgradeResult
from analytics.reports.upgrades.assumptions import Assumptions, RatioFrom
from plant.display import percent

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
    months = assumptions.payback_months
    chance = result.simulation.payback_probability(months)
    said = [f"Pays back within {months} months with {percent(chance)} probability."]
    gain = result.simulation.gain_probability
    years = assumptions.horizon_years
    if chance < HARDLY and gain < HARDLY:
        said.append(
            f"It hardly ever pays: over {years} years it brings more than it costs "
            f"with {percent(gain)} probability."
        )
    elif chance < HARDLY:
        said.append(
            f"Over {years} years it brings more than it costs with {percent(gain)} "
            "probability."
        )
    if assumptions.ratio_from == RatioFrom.TYPED:
        said.append(ON_NO_RECORD)
    return " ".join(said)


def sure(chance: float) -> str:
    """A probability that is never shown as certainty."""
    if chance > NEARLY:
        return f"more than {percent(0.99)}"
    return f"less than {percent(0.01)}" if chance < 1.0 - NEARLY else percent(chance)
