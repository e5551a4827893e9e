"""What histories of positions are chosen by, and when their meters were read."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Exists, Max, Min, OuterRef, Q, QuerySet, Subquery

from plant.choices import Component
from plant.models import DutyPeriod, FittedLife, Position, User
from plant.models.position import PositionQuerySet
from records.models import HourReading


@dataclass(frozen=True, slots=True)
class PositionChoices:
    """What positions of a user can be chosen by, as found in the records."""

    liquids: tuple[str, ...]
    plans: tuple[str, ...]


def position_choices(user: User) -> PositionChoices:
    """Liquids and seal plans on record, each once."""
    positions = Position.objects.visible_to(user).order_by()
    liquids = positions.exclude(liquid="").values_list("liquid", flat=True).distinct()
    fitted = FittedLife.objects.visible_to(user).exclude(piping_plan="")
    dated = DutyPeriod.objects.filter(position__in=positions).exclude(piping_plan="")
    plans = {
        *fitted.order_by().values_list("piping_plan", flat=True).distinct(),
        *dated.order_by().values_list("piping_plan", flat=True).distinct(),
    }
    return PositionChoices(tuple(sorted(liquids)), tuple(sorted(plans)))


def with_seal_plan(positions: PositionQuerySet, plan: str) -> PositionQuerySet:
    """Positions whose seal has that plan now.

    The seal that stands in the pump there says it; where no seal on record names
    a plan, the dated facts of the position do.
    """
    seal_in = FittedLife.objects.filter(
        component=Component.SEAL,
        removed_at__isnull=True,
        pump__placements__position=OuterRef("pk"),
        pump__placements__removed_at__isnull=True,
    ).exclude(piping_plan="")
    dated = DutyPeriod.objects.filter(position=OuterRef("pk")).order_by("-starts_on")
    return positions.annotate(
        dated_plan=Subquery(dated.values("piping_plan")[:1])
    ).filter(
        Q(Exists(seal_in.filter(piping_plan=plan)))
        | Q(~Exists(seal_in), dated_plan=plan)
    )


def running_shares(positions: QuerySet[Position], on: date) -> dict[int, float]:
    """The running share of each position that holds on a day."""
    periods = DutyPeriod.objects.filter(
        position__in=positions.order_by().values("pk"), starts_on__lte=on
    ).order_by("starts_on")
    return dict(periods.values_list("position", "running_share"))


def reading_spans(
    positions: QuerySet[Position], *, until: datetime
) -> dict[int, tuple[datetime, datetime]]:
    """First and last reading of the running-hour meter of each position."""
    rows = (
        HourReading.objects.filter(
            position__in=positions.order_by().values("pk"), read_at__lt=until
        )
        .order_by()
        .values_list("position")
        .annotate(first=Min("read_at"), last=Max("read_at"))
    )
    return {position: (first, last) for position, first, last in rows}
