"""Fields and choices that the forms of the repair log share."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.db import models

from plant.forms.numbers import TypedFloatField
from plant.forms.years import BoundedMomentField
from records.choices import ITEMS_BY_SUBUNIT, Cause, Impact, Mechanism

Choices = list[tuple[str, Any]]
NO_CHOICE: tuple[str, str] = ("", "Choose")
MOMENT_HINT = "Year-month-day, 24 h clock of the site."


def moment_field(label: str, help_text: str = "", required: bool = False) -> Any:
    """A day and time in the zone of the site."""
    hint = f"{help_text} {MOMENT_HINT}".lstrip()
    return BoundedMomentField(
        label=label, help_text=hint, required=required, widget=moment_widget()
    )


def moment_widget() -> forms.DateTimeInput:
    return forms.DateTimeInput(
        attrs={"type": "datetime-local", "step": "60"}, format="%Y-%m-%dT%H:%M"
    )


def day_widget() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def hours_field(label: str, help_text: str = "") -> Any:
    field = TypedFloatField(label=label, help_text=help_text, required=False)
    field.unit = "h"  # type: ignore[attr-defined]
    return field


def choice_field(
    label: str, choices: Iterable[Any], help_text: str = "", required: bool = False
) -> forms.ChoiceField:
    """A choice that starts with none, so that nothing is said by default."""
    return forms.ChoiceField(
        label=label,
        choices=[NO_CHOICE, *choices],
        help_text=help_text,
        required=required,
    )


def with_codes(vocabulary: type[models.TextChoices]) -> Choices:
    """Choices written with their code: `ELP, Process liquid leaks out`."""
    return [(str(code), f"{code}, {label}") for code, label in vocabulary.choices]


IMPACT_MEANS: dict[str, str] = {
    Impact.CRITICAL: "function lost at once",
    Impact.DEGRADED: "works below limit",
    Impact.INCIPIENT: "will fail if nothing is done",
}


def impact_choices() -> Choices:
    """Impacts with what they mean: `Critical: function lost at once`."""
    return [(code, f"{label}: {IMPACT_MEANS[code]}") for code, label in Impact.choices]


def in_families(vocabulary: type[Mechanism] | type[Cause]) -> Choices:
    """Choices of a two-part code under the general word of their family."""
    families: dict[str, Choices] = {}
    for code, label in vocabulary.choices:
        head = str(vocabulary(f"{code[0]}.0").label).removesuffix(", general")
        families.setdefault(head, []).append((str(code), f"{code}, {label}"))
    return list(families.items())


def items_by_subunit() -> Choices:
    return [
        (str(subunit.label), [(str(item), str(item.label)) for item in items])
        for subunit, items in ITEMS_BY_SUBUNIT.items()
    ]
