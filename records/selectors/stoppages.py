"""Stoppages of positions as plain rows, and what was entered as lost in them.

A stoppage is the stop and hand-back of a repair that is not void; shop work names
its stoppage and is none.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pandas as pd
from django.db.models import F, Q
from django.db.models.functions import Coalesce

from plant.models import Position
from plant.models.position import PositionQuerySet
from records.choices import CostKind
from records.models import CostLine, Repair
from records.models.repair import RepairQuerySet
from records.selectors.moments import SECOND, Microseconds

MEMBER_FIELDS = {
    "pk": "position",
    "tag": "tag",
    "site": "site",
    "site__name": "site_name",
    "site__time_zone": "zone",
    "site__currency": "currency",
    "sparing": "sparing",
    "spare_group": "group",
    "spare_group__name": "group_name",
    "spare_group__needed_running": "needed",
    "stopped_cost_per_hour": "cost",
    "output_share_lost": "share",
    "buffer_hours": "buffer_hours",
    "in_service_on": "in_service_on",
    "out_of_service_on": "out_of_service_on",
}
STOP_COLUMNS = (
    *("repair", "number", "position", "site", "category", "is_imported"),
    *("reported", "stopped", "returned"),
)


@dataclass(frozen=True, slots=True)
class Days:
    """The days looked at, both included; no first day is from the beginning on."""

    start: date | None
    end: date


def members_of(positions: PositionQuerySet) -> PositionQuerySet:
    """The positions, and all others of their spare groups."""
    groups = positions.filter(spare_group__isnull=False).order_by()
    return Position.objects.filter(
        Q(pk__in=positions.order_by().values("pk"))
        | Q(spare_group__in=groups.values("spare_group"))
    )


def member_rows(members: PositionQuerySet) -> pd.DataFrame:
    """One row a position, by site and tag, with what a stop costs there."""
    rows = members.order_by("site__name", "tag", "pk").values_list(*MEMBER_FIELDS)
    return pd.DataFrame(list(rows), columns=list(MEMBER_FIELDS.values()), dtype=object)


def stoppages_in(members: PositionQuerySet, days: Days) -> RepairQuerySet:
    """Stoppages that reach into the days.

    The days are widened by one at both ends, for the zones of sites.
    """
    rows = Repair.objects.not_void().filter(
        shop_work_of=None,
        stopped_at__isnull=False,
        position__in=members.order_by().values("pk"),
        stopped_at__lt=_midnight(days.end) + timedelta(days=2),
    )
    if days.start is None:
        return rows
    return rows.filter(Q(returned_at=None) | Q(returned_at__gt=_since(days.start)))


def stoppages_before(
    members: pd.DataFrame, rows: pd.DataFrame, days: Days
) -> pd.DataFrame:
    """Stoppages that those open when the days began may continue an outage of.

    Few as a rule: only of the positions and spare groups concerned, and only as far
    back as one stoppage followed another without a gap.
    """
    if days.start is None:
        return rows.iloc[:0]
    since = round(_since(days.start).timestamp() * SECOND)
    team = members["group"].where(members["group"].notna(), -members["position"])
    team.index = pd.Index(members["position"])
    open_then = rows[rows["stopped"] <= since]
    reach = open_then["stopped"].groupby(open_then["position"].map(team)).min()
    concerned = team.index[team.isin(reach.index)].to_list()
    if not concerned:
        return rows.iloc[:0]
    earlier = stoppage_rows(
        Repair.objects.not_void().filter(
            shop_work_of=None,
            stopped_at__isnull=False,
            position__in=concerned,
            returned_at__lte=_since(days.start),
        )
    )
    return _without_a_gap(earlier, earlier["position"].map(team), reach)


def _without_a_gap(
    earlier: pd.DataFrame, team: "pd.Series[Any]", reach: "pd.Series[Any]"
) -> pd.DataFrame:
    """Those that lead to the moments of `reach` (by team) without a gap."""
    taken = earlier.iloc[:0]
    while True:
        found = earlier[earlier["returned"] >= team.map(reach)]
        if len(found) == len(taken):
            return found
        taken = found
        first = found["stopped"].groupby(team).min()
        reach = pd.concat([reach, first]).groupby(level=0).min()


def stoppage_rows(stops: RepairQuerySet) -> pd.DataFrame:
    """One row a stoppage; moments in microseconds, `returned` blank while open."""
    rows = stops.order_by("pk").values_list(
        *("pk", "number", "position", "site", "category", "is_imported"),
        *(Microseconds(name) for name in ("reported_at", "stopped_at", "returned_at")),
    )
    return pd.DataFrame(list(rows), columns=list(STOP_COLUMNS), dtype=object)


def lost_production_lines(
    stops: RepairQuerySet, before: Iterable[int] = ()
) -> list[dict[str, Any]]:
    """What the ledger holds as lost production: `stoppage`, currency, status, amount.

    Of the stoppages, and of those whose keys `before` names. Lines of shop work
    belong to the stoppage that it names.
    """
    own = stops.order_by().values("pk")
    shop_work = Repair.objects.not_void().order_by()
    places = [Q(repair__in=own)]
    places.append(Q(repair__in=shop_work.filter(shop_work_of__in=own).values("pk")))
    if keys := list(before):
        of_these = shop_work.filter(Q(pk__in=keys) | Q(shop_work_of__in=keys))
        places.append(Q(repair__in=of_these.values("pk")))
    stoppage = Coalesce(F("repair__shop_work_of"), F("repair"))
    names = ("currency", "status", "amount")
    lines = CostLine.objects.standing().filter(kind=CostKind.LOST_PRODUCTION).order_by()
    return [
        dict(row)
        for place in places
        for row in lines.filter(place).values(*names, stoppage=stoppage)
    ]


def _since(day: date) -> datetime:
    return _midnight(day) - timedelta(days=1)


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)
