"""Limits and values of checks in words; units as the catalogue has them."""

from dataclasses import dataclass

from plant import display
from plant.choices import Mounting
from plant.models import Pump
from plant.ratings import (
    STIFFNESS_LIMIT_PER_INCH,
    STIFFNESS_LIMIT_PER_MM,
    RatingError,
    shaft_stiffness_ratio,
    shaft_stiffness_ratio_per_inch,
)
from plant.ratings.shaft import MM_PER_INCH
from records.check_catalogue import CATALOGUE
from records.check_choices import CheckKind
from records.models import SettingCheck


def limit_in_words(low: float | None, high: float | None, unit: str) -> str:
    if low is not None and high is not None:
        return f"{low:g} to {high:g} {unit}"
    if high is not None:
        return f"at most {high:g} {unit}"
    if low is not None:
        return f"at least {low:g} {unit}"
    return "no limit"


def value_in_words(check: SettingCheck) -> str:
    """The value in the unit of its kind."""
    if check.value is None:
        return "not measured"
    return f"{check.value:.4g} {unit_of_kind(check.kind)}"


def unit_of_kind(kind: str) -> str:
    return CATALOGUE[CheckKind(kind)].unit


@dataclass(frozen=True, slots=True)
class Stiffness:
    """The stiffness ratio of a pump's shaft beside the limits of the trade."""

    text: str
    limit_text: str
    source: str
    is_above_limit: bool


def stiffness_of(pump: Pump | None) -> Stiffness | None:
    """None for a shaft that does not overhang or is not known; lower is stiffer."""
    if pump is None or pump.mounting not in ("", Mounting.OVERHUNG):
        return None
    if not (pump.shaft_overhang_mm and pump.shaft_diameter_mm):
        return None
    shaft = (pump.shaft_overhang_mm, pump.shaft_diameter_mm)
    try:
        per_mm = shaft_stiffness_ratio(*shaft)
        per_inch = shaft_stiffness_ratio_per_inch(*shaft)
    except RatingError:
        return None
    return Stiffness(
        text=f"{display.number(per_mm)} per mm ({display.number(per_inch)} per inch)",
        limit_text=(
            f"below {STIFFNESS_LIMIT_PER_MM.value:g} per mm, or below "
            f"{STIFFNESS_LIMIT_PER_INCH.value:g} per inch, which is "
            f"{STIFFNESS_LIMIT_PER_INCH / MM_PER_INCH:.2f} per mm; lower is stiffer"
        ),
        source=per_mm.source,
        is_above_limit=per_mm >= STIFFNESS_LIMIT_PER_MM,
    )
