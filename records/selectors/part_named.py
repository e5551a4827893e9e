"""The one part that stands for a repair where costs are told by part."""

from typing import Any

from django.db.models import (
    Case,
    CharField,
    F,
    IntegerField,
    Max,
    Min,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import Coalesce, NullIf

from plant.choices import Component
from records.choices import ChangeKind, Item
from records.models import ComponentChange, Repair

NO_PART = "no part named"
SEVERAL_PARTS = "several parts"
PART_RULE = (
    "A repair is told under one part, by its part number or designation: what it took "
    "out of its own item, else what it fitted there, else what it took out or fitted "
    f"elsewhere. Where that is more than one, under “{SEVERAL_PARTS}”; where nothing "
    f"has a number or designation, under “{NO_PART}”."
)
COMPONENTS = {
    Item.SEAL: Component.SEAL,
    Item.RADIAL_BEARING: Component.RADIAL,
    Item.THRUST_BEARING: Component.THRUST,
}


def part_named(prefix: str = "") -> Coalesce:
    """The part of a repair as text; `prefix` leads to the repair, as `repair__`.

    One rule, so that a repair which names several parts is never counted twice.
    """
    of_repair = _changes().filter(repair=OuterRef(f"{prefix}pk"))
    of_rank = _of_rank(of_repair.values("rank")).order_by("rank")
    return Coalesce(
        Subquery(of_rank.values("part")[:1]), Value(NO_PART), output_field=CharField()
    )


def parts_named(repairs: QuerySet[Repair]) -> dict[int, str]:
    """The same for many repairs in one query, by key; NO_PART ones are left out."""
    changes = _changes().filter(repair__in=repairs.order_by().values("pk"))
    rows = _of_rank(changes.values("repair_id", "rank")).order_by("-rank")
    # The nearest rank comes last, and stays.
    return dict(rows.values_list("repair_id", "part"))


def _changes() -> Any:
    """Components changed that have a name, each with how near it is."""
    return (
        ComponentChange.objects.order_by()
        .annotate(
            name=Coalesce(NullIf("life__part_number", Value("")), "life__designation"),
            rank=_rank(),
        )
        .exclude(name="")
    )


def _of_rank(changes: Any) -> Any:
    """Grouped as the changes are asked for: the one name, or that there are several."""
    return changes.annotate(first=Min("name"), last=Max("name")).annotate(
        part=Case(
            When(first=F("last"), then="first"),
            default=Value(SEVERAL_PARTS),
            output_field=CharField(),
        )
    )


def _rank() -> Case:
    """The nearer a part is to what failed, the lower; taken out before fitted."""
    of_item = Q(pk__in=[])
    for item, component in COMPONENTS.items():
        of_item |= Q(repair__item=item, life__component=component)
    out = Q(change=ChangeKind.OUT)
    return Case(
        When(of_item & out, then=Value(0)),
        When(of_item, then=Value(1)),
        When(out, then=Value(2)),
        default=Value(3),
        output_field=IntegerField(),
    )
