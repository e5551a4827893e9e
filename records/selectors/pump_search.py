"""Finding the position or pump that a repair is about."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, TypedDict, cast

from django.db.models import (
    Case,
    IntegerField,
    Max,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import Coalesce
from django.utils import timezone

from plant.models import Placement, Position, Pump, User
from plant.selectors.positions import with_standing_pump
from plant.selectors.pumps import with_position
from records.choices import RepairState
from records.models import Repair

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    from plant.selectors.positions import ListedPosition, StandsThere

    class Sought(StandsThere):
        """What the search adds to each position."""

        last_reported: datetime
        open_drafts: list[Repair]

    class Stood(TypedDict):
        """What the search adds to each pump of the store."""

        last_tag: str | None

    FoundPosition = WithAnnotations[Position, Sought]
    StoredPump = WithAnnotations[Pump, Stood]

LIMIT = 25
# So many positions that a person worked on are known to be theirs.
OWN_LIMIT = 50
# Sorts positions without a repair behind those with one, on both engines.
LONG_AGO = datetime(1900, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Found:
    """At most LIMIT of each; `own` are keys of positions the user worked on last."""

    positions: "list[FoundPosition]"
    pumps: "list[StoredPump]"
    own: list[int]
    is_cut: bool = False


def pumps_found(*, user: User, text: str) -> Found:
    """Positions by tag, service or standing pump; pumps of the store by serial.

    What is named exactly comes first, then what the user logged last, then the
    newest repairs of all.
    """
    positions = with_standing_pump(
        Position.objects.visible_to(user), timezone.localdate()
    )
    if text:
        positions = positions.filter(
            Q(tag__icontains=text)
            | Q(service__icontains=text)
            | Q(pump_serial__icontains=text)
        )
    own = _worked_on_by(user)
    ranked = _ranked(positions, own, text)
    drafts = Repair.objects.filter(state=RepairState.DRAFT).order_by("-reported_at")
    rows: Any = ranked.select_related("site", "area").prefetch_related(
        Prefetch("repairs", queryset=drafts, to_attr="open_drafts")
    )
    found: list[FoundPosition] = list(rows[: LIMIT + 1])
    pumps = list(_stored(user, text)[: LIMIT + 1]) if text else []
    is_cut = len(found) > LIMIT or len(pumps) > LIMIT
    return Found(found[:LIMIT], pumps[:LIMIT], own, is_cut)


def _ranked(
    positions: "QuerySet[ListedPosition]", own: list[int], text: str
) -> "QuerySet[ListedPosition]":
    exact = Q(tag__iexact=text) | Q(pump_serial__iexact=text)
    ranks = [When(pk=pk, then=Value(rank)) for rank, pk in enumerate(own)]
    repairs = Repair.objects.not_void().filter(position=OuterRef("pk"))
    newest = repairs.order_by("-reported_at")
    ranked = positions.annotate(
        exact_rank=_rank([When(exact, then=Value(0))]),
        own_rank=_rank(ranks),
        last_reported=Coalesce(
            Subquery(newest.values("reported_at")[:1]), Value(LONG_AGO)
        ),
    )
    return ranked.order_by("exact_rank", "own_rank", "-last_reported", "tag", "pk")


def _rank(ranks: list[When]) -> Case:
    """The place in a list; what is not in it comes after all that is."""
    return Case(*ranks, default=Value(OWN_LIMIT), output_field=IntegerField())


def _worked_on_by(user: User) -> list[int]:
    """Positions whose repairs the user typed, the last one first."""
    rows = (
        Repair.history.filter(history_user=user)
        .values("position_id")
        .annotate(last=Max("history_date"))
        .order_by("-last")
        .values_list("position_id", flat=True)
    )
    return list(rows[:OWN_LIMIT])


def _stored(user: User, text: str) -> "QuerySet[StoredPump]":
    """Pumps of the store, with the tag where each stood last."""
    stood = Placement.objects.filter(pump=OuterRef("pk")).order_by("-placed_at")
    pumps = with_position(Pump.objects.visible_to(user)).filter(
        position_pk__isnull=True,
        retired_on__isnull=True,
        serial_number__icontains=text,
    )
    rows = pumps.annotate(last_tag=Subquery(stood.values("position__tag")[:1]))
    return cast(
        "QuerySet[StoredPump]", rows.select_related("site").order_by("serial_number")
    )
