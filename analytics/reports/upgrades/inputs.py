"""Every input of an upgrade case with its interval and where it comes from."""

from collections.abc import Iterator
from dataclasses import dataclass

from analytics.money.failures_avoided.ratio import FailureRatio
from analytics.money.mean_cost import LEAST_AMOUNTS
from analytics.money.quantities import Fixed, Quantity, quantity_interval
from analytics.money.upgrade import RunningCosts, UpgradeInputs
from analytics.reports.upgrades.assumptions import Assumptions, Range
from analytics.reports.upgrades.evidence import MoneyEvidence, RateEvidence
from analytics.reports.upgrades.words import sure
from plant.display import count, fixed, number

CONFIDENCE = 0.90
TYPED = "typed"
ON_ITS_OWN = "Typed by hand; it rests on no record."
MONEY_NAMES = {
    "repair_cost": "Repair cost of a failure",
    "lost_production": "Lost production of a failure",
    "environment": "Environment and safety of a failure",
}
TYPED_NAMES = {
    "purchase": "Purchase",
    "installation": "Installation",
    "energy_change": "Energy added a year",
    "water_change": "Water added a year",
    "barrier_fluid_change": "Barrier fluid added a year",
}
SPENT = ("purchase", "installation")
SETTINGS = {
    "running_energy": "Energy a year, unchanged",
    "running_operation": "Operation a year, unchanged",
    "running_planned": "Planned maintenance a year, unchanged",
    "disposal": "Disposal at the end",
}


@dataclass(frozen=True, slots=True)
class InputLine:
    """One input as shown.

    Parameters
    ----------
    key, label : str
    value, low, high : float or None
        Mean and 90 % limits; no limits where it is taken as certain.
    unit : {"money", "ratio", "per year", "months", "years", "share", "count"}
    source : str
        "records, n = 33", "typed", "default" or the like.
    note : str
        A sentence on how it was found, may be empty.
    """

    key: str
    label: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    source: str
    note: str = ""


def line_of(
    key: str, label: str, quantity: Quantity, unit: str, source: str, note: str = ""
) -> InputLine:
    """A line with the limits of the quantity, if it is uncertain."""
    if not quantity.uncertain:
        return InputLine(key, label, quantity.mean, None, None, unit, source, note)
    limits = quantity_interval(quantity, CONFIDENCE)
    ends = (limits.low, limits.high)
    return InputLine(key, label, quantity.mean, *ends, unit, source, note)


def typed_note(typed: Range) -> str:
    """What was typed, where the line shows the mean of it."""
    if not typed.quantity.uncertain:
        return ""
    least, likely, most = (
        number(figure) for figure in (typed.least, typed.likely, typed.most)
    )
    return f"Typed: least {least}, likely {likely}, most {most}."


def rate_line(rate: RateEvidence) -> InputLine:
    note = (
        f"{count(rate.events, 'failure')} in {fixed(rate.years)} years in service, "
        f"{fixed(rate.raw, 2)} a year as counted; drawn towards {rate.peer_units} "
        f"like positions ({rate.peers}) with {count(rate.peer_events, 'failure')} as "
        "far as the counts tell that rates differ. Chance of being one of the few "
        f"truly worse ones, whose record is believed: {sure(rate.worse)}."
    )
    source = f"records, n = {rate.events}"
    return line_of(
        *("failures_per_year", "Failures a year of one position now", rate.quantity),
        *("per year", source, note),
    )


def money_quantity(
    part: str, assumptions: Assumptions, money: MoneyEvidence
) -> Quantity | None:
    """Typed, measured, or nothing; None where a repair cost cannot be told."""
    typed = getattr(assumptions, part)
    if typed is not None:
        found: Quantity = typed.quantity
        return found
    measured = money.quantity(part)
    if measured is None and part == "repair_cost" and money.priced < LEAST_AMOUNTS:
        return None
    return measured or Fixed(0.0)


def too_few_priced(money: MoneyEvidence, currency: str) -> str:
    """Why the repair cost of a failure must be typed."""
    priced = money.priced
    have = f"Only {count(priced, 'failure')}" if priced else "No failure"
    verb = "have" if priced > 1 else "has"
    return (
        f"{have} of these and like positions {verb} amounts in {currency}: type the "
        "repair cost of a failure."
    )


def money_line(
    part: str, assumptions: Assumptions, money: MoneyEvidence
) -> InputLine | None:
    quantity = money_quantity(part, assumptions, money)
    if quantity is None:
        return None
    label = MONEY_NAMES[part]
    if getattr(assumptions, part) is not None:
        said = (typed_note(getattr(assumptions, part)), _measured(part, money))
        return line_of(part, label, quantity, "money", TYPED, " ".join(said).strip())
    source = f"records, n = {money.priced}"
    return line_of(part, label, quantity, "money", source, _money_note(part, money))


def _measured(part: str, money: MoneyEvidence) -> str:
    """What the ledger says beside a typed amount."""
    mean = money.costs[part].mean
    if mean is None:
        return "The ledger has too few amounts, or none, to compare with."
    return f"The ledger's mean is {fixed(mean, 0)}, n = {money.priced}."


def _money_note(part: str, money: MoneyEvidence) -> str:
    whose = "of these and like positions" if money.of_peers else "of these positions"
    if money.quantity(part) is None:
        few = money.priced < LEAST_AMOUNTS
        why = "too few amounts on record" if few else "no amount on record"
        return f"Taken as nothing: {why}, {money.priced} failures {whose} priced."
    mean = money.costs[part].mean
    booked = "" if mean is None else f" is {fixed(mean, 0)}"
    return (
        f"The ledger's mean{booked}, of {money.priced} failures {whose} with amounts, "
        f"of {money.events}; rework and shop work are within them, estimates too. "
        "Counted with the mean of its limits, which are wider upwards."
    )


def ratio_line(ratio: FailureRatio, source: str) -> InputLine:
    return line_of(
        *("failure_ratio", "Failures after, as share of before", ratio.quantity),
        *("ratio", source, " ".join(ratio.notes)),
    )


def typed_ratio_line(assumptions: Assumptions, key: str = "failure_ratio") -> InputLine:
    typed = assumptions.typed_ratio
    assert typed is not None
    return line_of(
        *(key, "Failures after, as share of before", typed.quantity),
        *("ratio", TYPED, f"{ON_ITS_OWN} {typed_note(typed)}".strip()),
    )


def typed_lines(assumptions: Assumptions) -> Iterator[InputLine]:
    """What was typed; a change of running cost that is nothing needs no line."""
    for key, label in TYPED_NAMES.items():
        typed = getattr(assumptions, key)
        if key in SPENT or not typed.is_zero:
            note = typed_note(typed)
            yield line_of(key, label, typed.quantity, "money", TYPED, note)
    lead = assumptions.lead_months
    note = typed_note(lead)
    yield line_of("lead_months", "Lead time", lead.quantity, "months", TYPED, note)


def setting_lines(
    assumptions: Assumptions, rate: float, rate_source: str
) -> Iterator[InputLine]:
    def certain(
        key: str, label: str, value: float, unit: str, source: str
    ) -> InputLine:
        return InputLine(key, label, value, None, None, unit, source)

    yield certain(
        "horizon_years", "Years looked at", assumptions.horizon_years, "years", TYPED
    )
    yield certain(
        *("discount_rate", "Discount rate a year, beyond inflation", rate, "share"),
        rate_source,
    )
    for key, label in SETTINGS.items():
        amount = float(getattr(assumptions, key))
        if amount:
            yield certain(key, label, amount, "money", TYPED)


def upgrade_inputs(
    assumptions: Assumptions,
    *,
    positions: int,
    rate: Quantity,
    ratio: Quantity,
    money: dict[str, Quantity],
    discount_rate: float,
) -> UpgradeInputs:
    """All together, as the sums take them.

    Raises
    ------
    InvalidFigure
        If the numbers cannot be together.
    """
    return UpgradeInputs(
        positions=positions,
        failures_per_year=rate,
        failure_ratio=ratio,
        repair_cost=money["repair_cost"],
        lost_production=money["lost_production"],
        environment_cost=money["environment"],
        purchase=assumptions.purchase.quantity,
        installation=assumptions.installation.quantity,
        lead_months=assumptions.lead_months.quantity,
        energy_change=assumptions.energy_change.quantity,
        water_change=assumptions.water_change.quantity,
        barrier_fluid_change=assumptions.barrier_fluid_change.quantity,
        horizon_years=assumptions.horizon_years,
        discount_rate=discount_rate,
        timing=assumptions.timing,
        running=RunningCosts(
            energy=assumptions.running_energy,
            operation=assumptions.running_operation,
            planned_maintenance=assumptions.running_planned,
            disposal=assumptions.disposal,
        ),
    )
