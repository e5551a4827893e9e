"""Repairs that count, as plain rows for rates; the counting rule decides which."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd
from django.db.models import BooleanField, Case, Q, QuerySet, Value, When
from django.db.models.functions import Coalesce

from plant.models import Position
from records.choices import RepairState
from records.counting import Rule, counted_failures, counted_repairs
from records.models import Repair
from records.selectors.moments import (
    SECOND,
    Microseconds,
    microseconds_counted,
    moments_counted,
)

Ints = npt.NDArray[np.int64]
# Day number of the day from which numpy counts.
DAY_ZERO = date(1970, 1, 1).toordinal()
COLUMNS = (
    *("repair", "position", "pump", "zone", "operating_state", "reported", "back"),
    *("is_failure", "is_open"),
)
IS_OPEN = Q(state=RepairState.DRAFT) | Q(
    stopped_at__isnull=False, returned_at__isnull=True
)


def _flag(condition: Q) -> Case:
    return Case(
        When(condition, then=Value(True)),
        default=Value(False),
        output_field=BooleanField(),
    )


def counted_events(
    positions: QuerySet[Position], rules: dict[int, Rule], *, since: date, until: date
) -> pd.DataFrame:
    """Counted repairs reported on the days from `since` to `until`, both included.

    `day` and `back_day` are day numbers at the site: of the report, and of the
    hand-back (or the report, while it is open). `reported_s` is the report in seconds
    since 1970; `operating_state` is blank where it is not on record.
    """
    # Days are those of each site's zone; a day more on both ends misses none.
    first = datetime.combine(since, datetime.min.time(), UTC) - timedelta(days=1)
    last = datetime.combine(until, datetime.min.time(), UTC) + timedelta(days=2)
    rows = (
        Repair.objects.filter(
            counted_repairs(rules),
            position__in=positions.order_by().values("pk"),
            reported_at__gte=first,
            reported_at__lt=last,
        )
        .annotate(is_failure=_flag(counted_failures(rules)), is_open=_flag(IS_OPEN))
        .order_by("reported_at", "pk")
        .values_list(
            *("pk", "position", "pump", "site__time_zone", "operating_state"),
            Microseconds("reported_at"),
            Microseconds(Coalesce("returned_at", "reported_at")),
            *("is_failure", "is_open"),
        )
    )
    table = pd.DataFrame(list(rows), columns=list(COLUMNS))
    table = table.assign(
        reported_s=microseconds_counted(table["reported"]) / SECOND,
        day=_site_days(table["reported"], table["zone"]),
        back_day=_site_days(table["back"], table["zone"]),
    )
    table = table.astype({"is_failure": bool, "is_open": bool})
    inside = table["day"].between(since.toordinal(), until.toordinal())
    return table.loc[inside].drop(columns=["zone", "reported", "back"])


def _site_days(moments: "pd.Series[Any]", zones: "pd.Series[Any]") -> Ints:
    """The day number of each moment, in microseconds, where it happened."""
    days = np.zeros(len(moments), dtype=np.int64)
    counted = moments_counted(moments)
    for zone in zones.unique():
        chosen = (zones == zone).to_numpy()
        local = counted[chosen].dt.tz_convert(zone).dt.tz_localize(None)
        whole = local.to_numpy().astype("datetime64[D]").astype(np.int64)
        days[chosen] = whole + DAY_ZERO
    return days
