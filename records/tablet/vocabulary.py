"""Code lists that the tablet form offers, as pairs of value and label."""

from typing import Any

from plant.choices import (
    Arrangement,
    Component,
    ConditionFitted,
    ConditionFound,
    FlexibleElement,
    Location,
    SealKind,
    WhyRemoved,
)
from records.cautions import CAUTIONS, FIRST_LINE
from records.check_catalogue import CATALOGUE
from records.choices import (
    ITEMS_BY_SUBUNIT,
    Activity,
    Category,
    Cause,
    CostKind,
    CostStatus,
    Detection,
    FailureMode,
    Impact,
    Mechanism,
    OperatingState,
    Release,
)
from records.teardown_patterns import PATTERNS

LISTS: dict[str, Any] = {
    "category": Category,
    "failure_mode": FailureMode,
    "impact": Impact,
    "detection": Detection,
    "operating_state": OperatingState,
    "release": Release,
    "mechanism": Mechanism,
    "cause": Cause,
    "activity": Activity,
    "condition_found": ConditionFound,
    "why_removed": WhyRemoved,
    "condition_fitted": ConditionFitted,
    "arrangement": Arrangement,
    "kind": SealKind,
    "flexible_element": FlexibleElement,
    "component": Component,
    "location": Location,
    "cost_kind": CostKind,
    "cost_status": CostStatus,
}


def vocabulary() -> dict[str, list[Any]]:
    lists = {
        name: [[str(value), str(label)] for value, label in choices.choices]
        for name, choices in LISTS.items()
    }
    return {**lists, "item": _items()}


def _items() -> list[dict[str, str]]:
    return [
        {"value": str(item), "label": str(item.label), "group": str(subunit.label)}
        for subunit, items in ITEMS_BY_SUBUNIT.items()
        for item in items
    ]


def patterns() -> list[dict[str, Any]]:
    return [
        {
            "code": pattern.code,
            "items": [str(item) for item in pattern.items],
            "title": pattern.title,
            "description": pattern.description,
            "mechanisms": [str(code) for code in pattern.mechanisms],
            "causes": [str(code) for code in pattern.causes],
        }
        for pattern in PATTERNS
    ]


def checks() -> list[dict[str, Any]]:
    return [
        {
            "kind": str(kind),
            "label": described.label,
            "how": described.how,
            "unit": described.unit,
            "units": [
                {"unit": unit, "factor": factor}
                for unit, factor in described.units.items()
            ],
        }
        for kind, described in CATALOGUE.items()
    ]


def cautions() -> list[str]:
    """The first line, then each caution under its heading."""
    return [FIRST_LINE, *(f"{heading}: {text}" for heading, text, _source in CAUTIONS)]
