"""A hash of every row a review rests on, so that a later change shows itself."""

import hashlib
import json
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from analytics.exposure import Window, months_back
from analytics.reports.mtbr.report import ROLLING_MONTHS, ROLLING_POINTS
from plant.models import DutyPeriod, Placement, Position, Site
from records.models import CostLine, CountingRule, Repair

REPAIR_FIELDS = (
    *("number", "position__tag", "pump__serial_number", "shop_work_of__number"),
    *("reported_at", "stopped_at", "returned_at", "category", "activity", "item"),
    *("failure_mode", "mechanism", "cause", "operating_state", "release", "state"),
)
POSITION_FIELDS = (
    *("tag", "area__name", "hazards", "in_service_on", "out_of_service_on"),
    *("records_from", "spare_group__name"),
)
RULE_FIELDS = (
    *("repair_categories", "failure_categories", "excluded_activities"),
    "excluded_items",
)


def rows_since(site: Site, window: Window) -> date:
    """The first day whose repairs can move a figure of a review of this window.

    The year before, the months of the rolling line, and rework that leads into them.
    """
    year_before = window.start - timedelta(days=366)
    rolling = months_back(window.end, ROLLING_POINTS + ROLLING_MONTHS)
    return min(year_before, rolling) - timedelta(days=2 * site.rework_window_days)


def data_sha256(site: Site, window: Window, since: date | None = None) -> str:
    """SHA-256 over the rows, in a fixed order, one JSON line each.

    `since` is what was frozen with the hash; None for reviews closed before it was,
    whose hash reaches back one year and as far as rework may.
    """
    digest = hashlib.sha256()
    for line in _lines(site, window, since):
        digest.update(json.dumps(line, default=str).encode())
        digest.update(b"\n")
    return digest.hexdigest()


def _lines(site: Site, window: Window, since: date | None) -> Iterable[Any]:
    yield [site.name, site.rework_window_days, site.time_zone, str(site.records_from)]
    yield from _rows(CountingRule.objects.filter(site=site), RULE_FIELDS)
    yield from _rows(Position.objects.filter(site=site), POSITION_FIELDS)
    at_site = Q(position__site=site)
    yield from _rows(
        Placement.objects.filter(at_site),
        ("position__tag", "pump__serial_number", "placed_at", "removed_at"),
    )
    yield from _rows(
        DutyPeriod.objects.filter(at_site),
        ("position__tag", "starts_on", "running_share", "piping_plan"),
    )
    repairs = _repairs(site, window, since)
    yield from _rows(repairs, REPAIR_FIELDS)
    lines = CostLine.objects.standing().filter(repair__in=repairs.order_by())
    yield from _rows(
        lines, ("repair__number", "kind", "amount", "currency", "status", "booked_on")
    )


def _repairs(site: Site, window: Window, since: date | None) -> QuerySet[Repair]:
    zone = ZoneInfo(site.time_zone)
    reach = timedelta(days=366 + 2 * site.rework_window_days)
    first = since or window.start - reach
    start = datetime.combine(first, time(), tzinfo=zone)
    end = datetime.combine(window.end + timedelta(days=1), time(), tzinfo=zone)
    return Repair.objects.filter(site=site, reported_at__gte=start, reported_at__lt=end)


def _rows(rows: QuerySet[Any], fields: tuple[str, ...]) -> Iterable[list[Any]]:
    ordered = rows.order_by("pk").values_list(*fields)
    for row in ordered.iterator(chunk_size=5_000):
        yield list(row)
