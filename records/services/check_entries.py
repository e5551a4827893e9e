"""One check as typed, read into a number in the unit of its kind, or refused."""

import math
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError

from plant.forms.numbers import plain_number
from records.check_catalogue import CATALOGUE
from records.check_choices import CheckKind, CheckStage

# Beyond these it is a slip of unit or keyboard, not a setting.
LARGEST = {"mm": 50.0, "mm/100 mm": 50.0, "g mm": 1e7}
LONGEST = {
    "entered_value": 30,
    "not_measured_reason": 200,
    "out_of_limit_reason": 200,
    "instrument": 60,
}
VALUE_OR_REASON = "Give the value, or say why it was not measured."
ONE_OF_BOTH = "It was measured, or it was not: leave one of the two blank."
NO_SIGN = "Give its size, without a sign."
REASON_NEEDED = "Out of limit as left: say why it stays so."


@dataclass(frozen=True, slots=True)
class CheckEntry:
    """A check as typed; numbers are text, with decimal point or comma.

    `rotor_mass_kg` gives residual unbalance its limit; `measured_at` is now unless
    given.
    """

    kind: str
    stage: str
    entered_value: str = ""
    entered_unit: str = ""
    not_measured_reason: str = ""
    out_of_limit_reason: str = ""
    instrument: str = ""
    rotor_mass_kg: str = ""
    measured_at: datetime | None = None


class CheckRefused(ValidationError):
    """Refusal of one check: `index` is its place in the list, `field` what to mend."""

    def __init__(self, message: str, index: int, field: str) -> None:
        super().__init__(message, code="check")
        self.index = index
        self.field = field


def read_value(entry: CheckEntry, index: int) -> float | None:
    """The value in the unit of its kind; None where it was not measured."""
    if entry.kind not in CheckKind.values:
        raise CheckRefused("Choose a kind of check.", index, "kind")
    if entry.stage not in CheckStage.values:
        raise CheckRefused("Say whether as found or as left.", index, "stage")
    for name, most in LONGEST.items():
        if len(getattr(entry, name)) > most:
            raise CheckRefused(f"Keep it within {most} characters.", index, name)
    typed, reason = entry.entered_value.strip(), entry.not_measured_reason.strip()
    if not typed and not reason:
        raise CheckRefused(VALUE_OR_REASON, index, "entered_value")
    if typed and reason:
        raise CheckRefused(ONE_OF_BOTH, index, "not_measured_reason")
    return _in_own_unit(entry, index) if typed else None


def unit_of(entry: CheckEntry) -> str:
    """The unit typed, else that of its kind; none for what was not measured."""
    if not entry.entered_value.strip():
        return ""
    return entry.entered_unit.strip() or CATALOGUE[CheckKind(entry.kind)].unit


def read_mass(entry: CheckEntry, index: int) -> float | None:
    """The mass of the rotor in kilograms, if one was typed."""
    typed = entry.rotor_mass_kg.strip()
    if not typed:
        return None
    mass = _number(typed, index, "rotor_mass_kg")
    if not 0 < mass <= 1e5:
        raise CheckRefused("A rotor weighs more than nothing.", index, "rotor_mass_kg")
    return mass


def _in_own_unit(entry: CheckEntry, index: int) -> float:
    described = CATALOGUE[CheckKind(entry.kind)]
    factor = described.units.get(unit_of(entry))
    if factor is None:
        units = ", ".join(described.units)
        raise CheckRefused(f"Choose one of: {units}.", index, "entered_unit")
    number = _number(entry.entered_value, index, "entered_value")
    if number < 0:
        raise CheckRefused(NO_SIGN, index, "entered_value")
    # Twelve digits keep 2 mil at 0.0508 mm, not a hair above it.
    value = float(f"{number * factor:.12g}")
    if value > LARGEST[described.unit]:
        raise CheckRefused(
            f"More than {LARGEST[described.unit]:,.0f} {described.unit}: check number "
            "and unit.",
            index,
            "entered_value",
        )
    return value


def _number(typed: str, index: int, field: str) -> float:
    try:
        number = float(plain_number(typed))
    except ValidationError as error:
        raise CheckRefused(error.messages[0], index, field) from error
    except ValueError as error:
        raise CheckRefused("Write a number, such as 0.05.", index, field) from error
    if not math.isfinite(number):
        raise CheckRefused("Write a number, such as 0.05.", index, field)
    return number
