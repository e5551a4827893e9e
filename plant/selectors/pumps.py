"""Pumps by serial number, with where each is now."""

from typing import TYPE_CHECKING, TypedDict, cast

from django.db.models import OuterRef, Q, QuerySet, Subquery

from plant.models import Placement, Pump, Site, User
from plant.models.pump import PumpQuerySet

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    class WhereItIs(TypedDict):
        """What the list adds to each pump."""

        position_pk: int | None
        position_tag: str | None

    ListedPump = WithAnnotations[Pump, WhereItIs]


def pumps_list(
    *,
    user: User,
    text: str = "",
    site: Site | None = None,
    assembly: str = "",
    where: str = "",
) -> "QuerySet[ListedPump]":
    """Pumps of the user's sites; `where` is "position", "store", "retired" or empty.

    `text` is looked for in serial number, maker, design, size and the tag of the
    position where the pump stands.
    """
    rows = with_position(Pump.objects.visible_to(user))
    if site is not None:
        rows = rows.filter(site=site)
    if assembly:
        rows = rows.filter(assembly=assembly)
    if where == "position":
        rows = rows.filter(position_pk__isnull=False)
    elif where == "store":
        rows = rows.filter(position_pk__isnull=True, retired_on__isnull=True)
    elif where == "retired":
        rows = rows.filter(retired_on__isnull=False)
    if text:
        rows = rows.filter(
            Q(serial_number__icontains=text)
            | Q(maker__icontains=text)
            | Q(design__icontains=text)
            | Q(size__icontains=text)
            | Q(position_tag__icontains=text)
        )
    return rows.select_related("site").order_by("site__name", "serial_number")


def with_position(rows: PumpQuerySet) -> "QuerySet[ListedPump]":
    placement = Placement.objects.filter(pump=OuterRef("pk"), removed_at__isnull=True)
    listed = rows.annotate(
        position_pk=Subquery(placement.values("position_id")[:1]),
        position_tag=Subquery(placement.values("position__tag")[:1]),
    )
    return cast("QuerySet[ListedPump]", listed)


def placement_now(pump: Pump) -> Placement | None:
    """Where the pump stands now; None in the store."""
    return (
        Placement.objects.filter(pump=pump, removed_at__isnull=True)
        .select_related("position__site")
        .first()
    )


def pump_now_at(position_pk: int) -> Pump | None:
    """The pump that stands at a position now."""
    placement = (
        Placement.objects.filter(position=position_pk, removed_at__isnull=True)
        .select_related("pump__site")
        .first()
    )
    return placement.pump if placement else None


def pumps_in_store(site: Site) -> QuerySet[Pump]:
    """Pumps of a site that can be placed: neither retired nor standing anywhere."""
    return with_position(
        Pump.objects.filter(site=site, retired_on__isnull=True)
    ).filter(position_pk__isnull=True)
