"""Figures of data quality, one query a table, and the rows behind each."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, Q, QuerySet
from django.utils import timezone

from plant.access import sites_visible
from plant.models import Area, FittedLife, Position, Site, User
from records.choices import RepairState
from records.models import Repair, SettingCheck
from records.quality.measures import MEASURES, Measure, Table

MONTHS = 12
DAYS_PER_MONTH = 30.4375


@dataclass(frozen=True, slots=True)
class QualityScope:
    """Whose eyes, which site and area, and how far back repairs are looked at."""

    user: User
    site: Site | None = None
    area: Area | None = None
    months: int = MONTHS


@dataclass(frozen=True, slots=True)
class QualityFigure:
    """How many rows are doubtful, out of how many."""

    measure: Measure
    doubtful: int
    total: int

    @property
    def share(self) -> float | None:
        """0 to 1; None where there is nothing to take a share of."""
        return self.doubtful / self.total if self.total else None


def quality_figures(scope: QualityScope) -> list[QualityFigure]:
    """All measures; a query a table, and one more for work open at any age."""
    now = timezone.now()
    counts: dict[str, int] = {}
    for table in Table:
        # Apart, as open work alone needs every repair ever logged to be read.
        for is_open_work in (False, True):
            own = [
                measure
                for measure in MEASURES
                if measure.table is table and measure.is_open_work is is_open_work
            ]
            if own:
                counts |= _counted(own, scope, now)
    return [
        QualityFigure(m, counts[f"{m.key}_doubtful"], counts[f"{m.key}_total"])
        for m in MEASURES
    ]


def _counted(
    measures: list[Measure], scope: QualityScope, now: datetime
) -> dict[str, int]:
    """Counts of measures of one table, in one query."""
    wanted: dict[str, Count] = {}
    for measure in measures:
        wanted |= _counts(measure, scope, now)
    rows = rows_of(measures[0].table, scope, now)
    return rows.filter(_looked_at(measures[0], scope, now)).aggregate(**wanted)


def _counts(measure: Measure, scope: QualityScope, now: datetime) -> dict[str, Count]:
    # No condition joins a table with several rows for one: none is counted twice.
    out_of = _out_of(measure, scope, now)
    doubtful = out_of & measure.doubtful(now)
    return {
        f"{measure.key}_total": Count("pk", filter=out_of),
        f"{measure.key}_doubtful": Count("pk", filter=doubtful),
    }


def _out_of(measure: Measure, scope: QualityScope, now: datetime) -> Q:
    """What a measure is taken of: repairs of the period, open work at any age."""
    return (measure.out_of or Q(pk__isnull=False)) & _looked_at(measure, scope, now)


def _looked_at(measure: Measure, scope: QualityScope, now: datetime) -> Q:
    if measure.table is not Table.REPAIRS or measure.is_open_work:
        return Q()
    return Q(reported_at__gte=_since(scope, now))


def _since(scope: QualityScope, now: datetime) -> datetime:
    return now - timedelta(days=scope.months * DAYS_PER_MONTH)


def doubtful_rows(measure: Measure, scope: QualityScope) -> QuerySet[Any]:
    """The rows behind a figure, oldest first."""
    now = timezone.now()
    rows = rows_of(measure.table, scope, now).filter(
        _out_of(measure, scope, now), measure.doubtful(now)
    )
    return rows.order_by(*_ORDER[measure.table]).distinct()


_ORDER: dict[Table, tuple[str, ...]] = {
    Table.REPAIRS: ("reported_at", "pk"),
    Table.CHECKS: ("repair__reported_at", "pk"),
    Table.LIVES: ("fitted_at", "pk"),
    Table.POSITIONS: ("tag", "pk"),
}


def rows_of(table: Table, scope: QualityScope, now: datetime) -> QuerySet[Any]:
    if table is Table.REPAIRS:
        return (
            Repair.objects.not_void()
            .filter(_place(scope, "position"))
            .select_related("position", "pump")
        )
    if table is Table.CHECKS:
        return SettingCheck.objects.filter(
            _place(scope, "repair__position"),
            ~Q(repair__state=RepairState.VOID),
            repair__reported_at__gte=_since(scope, now),
        ).select_related("repair__position")
    if table is Table.LIVES:
        # A life belongs to the place where its pump stood or to its site's store.
        return FittedLife.objects.filter(_life_place(scope)).select_related(
            "pump", "position"
        )
    return Position.objects.filter(_place(scope, ""), out_of_service_on=None)


def _place(scope: QualityScope, path: str) -> Q:
    prefix = f"{path}__" if path else ""
    condition = Q(**{f"{prefix}site__in": sites_visible(scope.user)})
    if scope.site is not None:
        condition &= Q(**{f"{prefix}site": scope.site})
    if scope.area is not None:
        condition &= Q(**{f"{prefix}area": scope.area})
    return condition


def _life_place(scope: QualityScope) -> Q:
    condition = Q(pump__site__in=sites_visible(scope.user))
    if scope.site is not None:
        condition &= Q(pump__site=scope.site)
    if scope.area is not None:
        condition &= Q(position__area=scope.area)
    return condition
