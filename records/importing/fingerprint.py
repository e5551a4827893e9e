"""Whether anybody changed what an import was checked against."""

from typing import Any

from django.db.models import Count, Max, Model

from plant.access import sites_visible
from plant.models import (
    Area,
    DutyPeriod,
    FittedLife,
    Placement,
    Position,
    Pump,
    Site,
    SpareGroup,
    User,
)
from records.models import ComponentChange, CostLine, Repair

# Every change of these leaves a row in their history.
WITH_HISTORY: tuple[Any, ...] = (
    *(Site, Position, DutyPeriod, Pump, Placement, FittedLife, Repair),
)
# Rows of these are added or deleted, never changed.
GROWING: tuple[Any, ...] = (CostLine, ComponentChange)
SMALL: tuple[Any, ...] = (Area, SpareGroup)
Fingerprint = tuple[Any, ...]


def fingerprint_of(by: User) -> Fingerprint:
    """Equal before and after when the check would find the same; a few counts.

    Two of them, taken before a check and under the lock of the write, tell whether the
    check still holds.
    """
    return (
        *(_extent(model.history.model, "history_id") for model in WITH_HISTORY),
        *(_extent(model, "pk") for model in (*WITH_HISTORY, *GROWING)),
        *(tuple(model.objects.order_by("pk").values_list()) for model in SMALL),
        tuple(sites_visible(by).order_by("pk").values_list("pk", flat=True)),
    )


def _extent(model: type[Model], key: str) -> tuple[int, int | None]:
    rows: Any = model._default_manager
    found = rows.aggregate(count=Count(key), newest=Max(key))
    return found["count"], found["newest"]
