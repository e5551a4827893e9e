"""Words of the answer whether taking the wear away pays."""

from analytics.forms.energy import MotorForm, RenewalForm
from analytics.money.errors import MoneyError
from analytics.money.wear_renewal import WearRenewal
from analytics.reports.energy.position import PositionEnergy
from analytics.reports.energy.renewal import (
    RenewalAnswer,
    RenewalQuestion,
    renewal_answer,
)
from analytics.reports.energy.table import in_currency, limits
from analytics.tables import Cell
from analytics.wording import confidence_label, whole
from plant.display import fixed, percent

NO_DROP = (
    "No drop is clear of the spread between the readings, so there is nothing that "
    "renewing could be weighed against."
)
HEADLINES = {
    "pays": "It pays: the energy saved is above the cost at both limits.",
    "does not pay": "It does not pay: the energy saved is below the cost at both "
    "limits.",
    "not clear": "Not clear: the energy saved is above the cost at one limit and below "
    "it at the other.",
}


def renewal_context(
    about: PositionEnergy, motor: MotorForm, asked: RenewalForm
) -> Cell:
    """Tiles of the cost and the verdict; a sentence where there is none."""
    drop = about.line.efficiency.measured
    if drop is None:
        return {"no_cost": NO_DROP}
    if not (motor.is_answerable() and asked.is_answerable()):
        return {"no_cost": "Look at the fields marked below."}
    question = asked.question(motor.motor_efficiency())
    try:
        answer = renewal_answer(drop, question)
    except MoneyError as refusal:
        return {"no_cost": str(refusal)}
    found: Cell = {"cost_tiles": _cost_tiles(about, answer, question)}
    if answer.renewal is not None:
        found |= {
            "headline": HEADLINES[answer.renewal.verdict],
            "renewal_tiles": _renewal_tiles(about, answer.renewal, question),
            "renewal_words": _renewal_words(question, asked),
        }
    else:
        found["no_verdict"] = (
            "Type what the work would cost to see whether it pays."
            if answer.cost is not None
            else "Without an energy price there is no cost to weigh the work against."
        )
    return found


def _cost_tiles(
    about: PositionEnergy, answer: RenewalAnswer, asked: RenewalQuestion
) -> list[Cell]:
    label = confidence_label(answer.kwh.interval.confidence)
    tiles = _power_tiles(about)
    tiles.append(
        {
            "label": "Energy that the drop wastes",
            "value": whole(answer.kwh.value),
            "unit": "kWh a year",
            "interval": f"{label}: {limits(answer.kwh, whole)} kWh",
            "note": _hours_words(about, asked),
        }
    )
    if answer.cost is not None:
        currency = about.line.position.site.currency
        tiles.append(
            {
                "label": "Cost of the drop",
                "value": in_currency(about.line)(answer.cost.value),
                "unit": "a year",
                "interval": f"{label}: {limits(answer.cost, whole)}",
                "note": f"at {asked.price_per_kwh} {currency} per kWh",
            }
        )
    return tiles


def _power_tiles(about: PositionEnergy) -> list[Cell]:
    drop = about.line.efficiency.measured
    if drop is None:
        return []
    power = drop.excess_power_kw
    label = confidence_label(power.interval.confidence)
    return [
        {
            "label": "Power at the shaft beyond as new",
            "value": fixed(power.value, 2),
            "unit": "kW",
            "interval": f"{label}: {limits(power, lambda kw: fixed(kw, 2))} kW",
        }
    ]


def _hours_words(about: PositionEnergy, asked: RenewalQuestion) -> str:
    """Whether the hours are those on record, and if so how sure they are."""
    running = about.running
    hours = f"{whole(asked.hours_per_year)} h a year"
    if running is None or asked.hours_per_year != running.hours:
        return f"{hours}, as typed"
    return f"{hours}, estimated" if running.is_estimated else hours


def _renewal_tiles(
    about: PositionEnergy, renewal: WearRenewal, asked: RenewalQuestion
) -> list[Cell]:
    show = in_currency(about.line)
    label = confidence_label(renewal.payback_interval.confidence)
    saving = renewal.saving
    return [
        {
            "label": "Saved in all",
            "value": show(saving.value),
            "interval": f"{label}: {limits(saving, whole)}",
            "note": f"against {show(asked.cost_of_work)} for the work",
        },
        {
            "label": "Payback, without interest",
            "value": _years(renewal.payback_years, "not paid back"),
            "interval": f"{label}: {_payback_limits(renewal)}",
        },
    ]


def _years(years: float | None, otherwise: str) -> str:
    return otherwise if years is None else f"{fixed(years)} years"


def _payback_limits(renewal: WearRenewal) -> str:
    low, high = renewal.payback_interval.low, renewal.payback_interval.high
    if low == float("inf"):
        return "not paid back at either limit"
    if high == float("inf"):
        return f"{fixed(low)} years to never"
    return f"{fixed(low)} to {fixed(high)} years"


def _renewal_words(asked: RenewalQuestion, form: RenewalForm) -> str:
    typed = form.is_bound and form.cleaned_data.get("share")
    origin = "as typed" if typed else "common practice"
    return (
        f"{asked.work.label}: takes away {percent(asked.share_recovered)} of the drop "
        f"({origin}), which comes back evenly over {fixed(asked.wear_years)} years; "
        f"counted for {fixed(asked.horizon_years)} years, without interest. The "
        "interval is that of the drop alone: price, hours, share and pace are taken as "
        "they are."
    )
