"""What a row of a cost table stands for, how it is named and how it is listed."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.db import models
from django.urls import reverse

from records.choices import Cause, FailureMode, Item, Mechanism
from records.selectors.repair_filter import NOT_RECORDED

NO_MODE = "no failure mode"
NO_ITEM = "no item"
NO_MECHANISM = "no mechanism"
NO_CAUSE = "no cause"
NO_PUMP = "no pump on record"


class CostGrouping(models.TextChoices):
    POSITION_MODE = "position_mode", "Position and failure mode"
    SITE = "site", "Site"
    AREA = "area", "Area"
    POSITION = "position", "Position"
    PUMP = "pump", "Pump"
    ITEM = "item", "Item"
    MODE = "mode", "Failure mode"
    MECHANISM = "mechanism", "Mechanism"
    CAUSE = "cause", "Cause"
    PART = "part", "Part"


# Fields of a repair; `part` is worked out, see records/selectors/part_named.py.
FIELDS: dict[CostGrouping, tuple[str, ...]] = {
    CostGrouping.POSITION_MODE: ("position", "failure_mode"),
    CostGrouping.SITE: ("site",),
    CostGrouping.AREA: ("position__area",),
    CostGrouping.POSITION: ("position",),
    CostGrouping.PUMP: ("pump",),
    CostGrouping.ITEM: ("item",),
    CostGrouping.MODE: ("failure_mode",),
    CostGrouping.MECHANISM: ("mechanism",),
    CostGrouping.CAUSE: ("cause",),
    CostGrouping.PART: ("part",),
}
# Fields that name a row; those of a site follow where there are several.
NAMES: dict[str, tuple[str, ...]] = {
    "position": ("position__tag", "site__name"),
    "site": ("site__name",),
    "position__area": ("position__area__name", "site__name"),
    "pump": ("pump__serial_number", "pump__maker"),
}
NAME_COLUMNS: dict[CostGrouping, tuple[str, ...]] = {
    CostGrouping.POSITION_MODE: ("Position", "Failure mode"),
    **{
        grouping: (str(grouping.label),)
        for grouping in CostGrouping
        if grouping is not CostGrouping.POSITION_MODE
    },
}


CODED: dict[str, tuple[type[models.TextChoices], str]] = {
    "failure_mode": (FailureMode, NO_MODE),
    "mechanism": (Mechanism, NO_MECHANISM),
    "cause": (Cause, NO_CAUSE),
}
# What a stored code is called in a table.
WORDS: dict[str, dict[str, str]] = {
    "item": {code: str(label) for code, label in Item.choices} | {"": NO_ITEM},
    **{
        name: {code: f"{code} {label.lower()}" for code, label in words.choices}
        | {"": blank}
        for name, (words, blank) in CODED.items()
    },
}
# Name of each field in the filter of the repairs page.
ASKED_AS = {"position__area": "area"}
# Pages of the thing that a row is about.
PAGES = {"position": "plant:position_detail", "pump": "plant:pump_detail"}


def fields_with_names(grouping: CostGrouping) -> list[str]:
    return [name for part in FIELDS[grouping] for name in (part, *NAMES.get(part, ()))]


def names_of(
    grouping: CostGrouping, row: Mapping[str, Any], *, several_sites: bool
) -> tuple[str, ...]:
    return tuple(_name(part, row, several_sites) for part in FIELDS[grouping])


def _name(part: str, row: Mapping[str, Any], several_sites: bool) -> str:
    value = row[part]
    if part in WORDS:
        return WORDS[part][value]
    if part == "part":
        return str(value)
    if value is None:
        return NO_PUMP
    name, *more = (str(row[name]) for name in NAMES[part])
    if part == "pump" or several_sites:
        return ", ".join([name, *filter(None, more)])
    return name


def short_names(names: Iterable[str], grouping: CostGrouping) -> str:
    """One label for a bar: codes without their words."""
    first, *rest = names
    if grouping in (CostGrouping.MODE, CostGrouping.MECHANISM, CostGrouping.CAUSE):
        return first
    return " ".join([first, *(_code(name) for name in rest)])


def _code(name: str) -> str:
    return name if name == NO_MODE else name.split(" ", 1)[0]


def asked_for(grouping: CostGrouping, key: tuple[Any, ...]) -> dict[str, Any]:
    """What the filter of the repairs page must be asked to list one row."""
    asked: dict[str, Any] = {}
    for part, value in zip(FIELDS[grouping], key, strict=True):
        if part == "pump" and value is None:
            asked["no_pump"] = "on"
        else:
            asked[ASKED_AS.get(part, part)] = NOT_RECORDED if value == "" else value
    return asked


def page_of_row(grouping: CostGrouping, key: tuple[Any, ...]) -> str:
    """The page of the position or pump of a row; blank for other rows."""
    page = PAGES.get(FIELDS[grouping][0])
    return reverse(page, args=[key[0]]) if page and key[0] is not None else ""
