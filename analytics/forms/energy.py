"""Questions of the pages on energy: place and motor, and whether renewing pays."""

from decimal import Decimal
from typing import Any

from django import forms

from analytics.forms.period import PlaceForm
from analytics.money.energy import HOURS_PER_YEAR
from analytics.reports.energy.judging import USUAL_MOTOR_EFFICIENCY
from analytics.reports.energy.position import PositionEnergy
from analytics.reports.energy.renewal import (
    USUAL_SHARE,
    USUAL_WEAR_YEARS,
    RenewalQuestion,
    Work,
    usual_work,
)
from plant.forms.numbers import TypedDecimalField, TypedFloatField
from plant.models import User

PERCENT = 100
LONGEST_YEARS = 50
MOTOR_HELP = (
    "Of the motor at this load, drive included. 93 % is common practice for motors of "
    "some ten kilowatts; the plate or data sheet says better."
)


def _motor_field(help_text: str = MOTOR_HELP) -> TypedFloatField:
    field = TypedFloatField(
        required=False,
        min_value=10,
        max_value=PERCENT,
        label="Motor efficiency",
        help_text=help_text,
    )
    field.unit = "%"  # type: ignore[attr-defined]
    return field


class EnergyForm(PlaceForm):
    """Place and the motors' efficiency, one for all of the list."""

    motor = _motor_field("One for all; 93 % is common practice.")
    sort = forms.CharField(required=False, widget=forms.HiddenInput)

    field_order = ["site", "area", "motor", "confidence"]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {"motor": PERCENT * USUAL_MOTOR_EFFICIENCY}

    def motor_efficiency(self) -> float:
        asked = self.value_of("motor")
        return float(asked) / PERCENT if asked else USUAL_MOTOR_EFFICIENCY


class MotorForm(PlaceForm):
    """What the judgement itself needs to know; the rest of the page follows from it."""

    motor = _motor_field()

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data, user=user)
        del self.fields["site"], self.fields["area"]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {"motor": PERCENT * USUAL_MOTOR_EFFICIENCY}

    def motor_efficiency(self) -> float:
        asked = self.value_of("motor") if self.is_answerable() else None
        return float(asked) / PERCENT if asked else USUAL_MOTOR_EFFICIENCY

    def chosen_confidence(self) -> float:
        return float(self.value_of("confidence")) if self.is_answerable() else 0.90


class RenewalForm(forms.Form):
    """Price, hours and work; starts from what is on record or usual."""

    price = TypedDecimalField(
        required=False,
        min_value=0,
        max_digits=8,
        decimal_places=4,
        label="Energy price per kWh",
    )
    hours = TypedFloatField(
        min_value=0, max_value=HOURS_PER_YEAR, label="Running hours a year"
    )
    work = forms.ChoiceField(choices=Work, label="What would be done")
    cost = TypedDecimalField(
        required=False,
        min_value=Decimal("0.01"),
        max_digits=12,
        decimal_places=2,
        label="Cost of that work",
        help_text="Labour, parts and the production lost for it; empty: the cost of "
        "the drop alone is shown.",
    )
    share = TypedFloatField(
        required=False,
        min_value=1,
        max_value=PERCENT,
        label="Share of the drop taken away",
        help_text="Empty: 60 % for resetting a clearance, 90 % for renewing the wear "
        "surface, both common practice.",
    )
    wear_years = TypedFloatField(
        min_value=0.05, max_value=LONGEST_YEARS, label="Years until it is worn again"
    )
    horizon_years = TypedFloatField(
        required=False,
        min_value=0.05,
        max_value=LONGEST_YEARS,
        label="Years until an overhaul anyway",
        help_text="Empty: as long as it takes to wear again.",
    )

    def __init__(self, data: Any, *, about: PositionEnergy) -> None:
        asked = {name: value for name, value in (data or {}).items() if value}
        usual = _usual(about)
        names = set(self.base_fields)
        super().__init__(usual | asked if names & set(asked) else None, initial=usual)
        self.about = about
        self.fields["price"].help_text = _price_help(about)
        self.fields["hours"].help_text = _hours_help(about)
        self.fields["wear_years"].help_text = _wear_help(about)
        self.fields["share"].unit = "%"  # type: ignore[attr-defined]
        currency = about.line.position.site.currency
        for name in ("price", "cost"):
            self.fields[name].unit = currency  # type: ignore[attr-defined]

    def is_answerable(self) -> bool:
        return not self.is_bound or self.is_valid()

    def _value(self, name: str) -> Any:
        return self.cleaned_data[name] if self.is_bound else self.initial.get(name)

    def question(self, motor_efficiency: float) -> RenewalQuestion:
        """The question asked; only of a form that has no errors."""
        work = Work(self._value("work"))
        share, wear = self._value("share"), float(self._value("wear_years"))
        return RenewalQuestion(
            price_per_kwh=self._value("price"),
            hours_per_year=self._hours(),
            motor_efficiency=motor_efficiency,
            work=work,
            cost_of_work=self._value("cost"),
            share_recovered=float(share) / PERCENT if share else USUAL_SHARE[work],
            wear_years=wear,
            horizon_years=float(self._value("horizon_years") or wear),
        )

    def _hours(self) -> float:
        """As typed; hours left as the form wrote them are those on record, unrounded.

        So the page agrees with the list to the last digit.
        """
        typed, running = float(self._value("hours") or 0), self.about.running
        if running is not None and typed == round(running.hours):
            return running.hours
        return typed


def _usual(about: PositionEnergy) -> dict[str, Any]:
    kind = about.pump.impeller_kind if about.pump else ""
    years = about.wear_years
    return {
        "price": about.line.position.site.energy_price_per_kwh,
        "hours": round(about.running.hours) if about.running else 0,
        "work": usual_work(kind).value,
        "wear_years": USUAL_WEAR_YEARS if years is None else float(f"{years:.2g}"),
    }


def _price_help(about: PositionEnergy) -> str:
    site = about.line.position.site
    if site.energy_price_per_kwh is None:
        return f"{site} has no price on record: an administrator keeps it."
    return f"{site} has this price on record."


def _hours_help(about: PositionEnergy) -> str:
    running = about.running
    if running is None:
        return "No hours are on record."
    if running.is_estimated:
        return "Of the last 12 months, estimated from the running share."
    return "Of the last 12 months, from the hour meter."


def _wear_help(about: PositionEnergy) -> str:
    if about.wear_years is None:
        return "The readings do not tell the pace: 4 years is common practice."
    return "In the time in which it came, by the pace of the readings."
