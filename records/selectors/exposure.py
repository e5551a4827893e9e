"""Calendar time in service of positions; time of a pump in the store never counts."""

import json
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
import pandas as pd
from django.db.models import QuerySet, TextField
from django.db.models.functions import Cast

from plant.days import day_counted
from plant.models import Position

FIRST_DAY = date.min.toordinal()
LAST_DAY = date.max.toordinal()

COLUMNS = {
    "pk": "position",
    "tag": "tag",
    "hazards": "hazards",
    "site": "site",
    "site__name": "site_name",
    "site__time_zone": "zone",
    "area": "area",
    "area__name": "area_name",
    "in_service_on": "in_service_on",
    "out_of_service_on": "out_of_service_on",
    "records_from": "records_from",
    "site__records_from": "site_records_from",
}
# As text: a large fleet has few lists that differ, and each is read once.
HAZARDS = Cast("hazards", TextField())


def service_spans(positions: QuerySet[Position]) -> pd.DataFrame:
    """One row a position, with the days its time in service begins and ends.

    `start_day` and `end_day` are day numbers (`date.toordinal`), the end not
    included. A position without any known beginning has `known_start` False and
    a start in the far past: a window cuts it.
    """
    columns = [HAZARDS if name == "hazards" else name for name in COLUMNS]
    rows = positions.order_by("site__name", "tag", "pk").values_list(*columns)
    table = pd.DataFrame(list(rows), columns=list(COLUMNS.values()))
    lists = {text: json.loads(text) for text in table["hazards"].unique()}
    table["hazards"] = [lists[text] for text in table["hazards"]]
    records_from = table["records_from"].where(
        table["records_from"].notna(), table["site_records_from"]
    )
    starts = np.maximum(
        day_numbers(table["in_service_on"], FIRST_DAY),
        day_numbers(records_from, FIRST_DAY),
    )
    return table.assign(
        start_day=starts,
        end_day=day_numbers(table["out_of_service_on"], LAST_DAY),
        known_start=starts > FIRST_DAY,
    )[
        [
            *("position", "tag", "hazards", "site", "site_name", "zone", "area"),
            *("area_name", "start_day", "end_day", "known_start"),
        ]
    ]


def day_numbers(days: pd.Series, if_blank: int) -> npt.NDArray[np.int64]:
    """Dates as day numbers; a blank becomes `if_blank`."""
    numbers = [
        if_blank if day is None or day != day else day.toordinal() for day in days
    ]
    return np.array(numbers, dtype=np.int64)


def day_starts(
    days: npt.NDArray[np.int64], zones: npt.NDArray[np.object_]
) -> npt.NDArray[np.float64]:
    """Midnight at which each day number begins in its zone, in seconds since 1970."""
    pairs = list(zip(days.tolist(), zones.tolist(), strict=True))
    moments = {
        (day, zone): datetime.combine(
            day_counted(date.fromordinal(day)), datetime.min.time(), ZoneInfo(zone)
        ).timestamp()
        for day, zone in set(pairs)
    }
    return np.array([moments[pair] for pair in pairs], dtype=np.float64)
