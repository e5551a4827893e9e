"""The log's side of the register: last repairs, days since, what is still open.

By pump, as on the record of a repair; by position only where no pump stands.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import F, QuerySet, Window
from django.db.models.functions import RowNumber
from django.urls import reverse

from plant import display
from plant.models import Placement, Position, Pump
from records.choices import Category, FailureMode, Item
from records.models import Repair
from records.selectors.repairs import earlier_ones

LAST = 3
# The open repair of the position is passed over: the one behind it is enough.
SINCE = 2
REPAIR_FIELDS = ("pk", "number", "reported_at", "category", "item", "failure_mode")
ITEM_LABELS = {str(code): str(label) for code, label in Item.choices}
MODE_LABELS = {str(code): str(label) for code, label in FailureMode.choices}
CATEGORY_LABELS = {str(code): str(label) for code, label in Category.choices}
Row = dict[str, Any]
Rows = dict[tuple[str, int], list[Row]]


@dataclass(frozen=True, slots=True)
class RegisterLog:
    last: Rows
    over: Rows
    still_open: dict[int, Row]
    urls: str
    now: datetime

    def of(self, place: Position, pump: Pump | None) -> Row:
        key = ("pump", pump.pk) if pump else ("position", place.pk)
        still_open = self.still_open.get(place.pk)
        open_pk = still_open["pk"] if still_open else None
        over = [row for row in self.over.get(key, []) if row["pk"] != open_pk]
        since = (self.now - over[0]["over_at"]).days if over else None
        return {
            "last_repairs": [_repair(row, self.urls) for row in self.last.get(key, [])],
            "days_since_last": max(0, since) if since is not None else None,
            "open_repair": (
                {
                    "number": still_open["number"],
                    "url": f"{self.urls}{still_open['pk']}/",
                }
                if still_open
                else None
            ),
        }


def register_log(sites: Iterable[Any], now: datetime) -> RegisterLog:
    """What the log holds of every position of the sites; always five queries."""
    rows = Repair.objects.not_void().filter(site__in=sites)
    counted = earlier_ones().filter(site__in=sites)
    return RegisterLog(
        last=_newest(rows, LAST, *REPAIR_FIELDS),
        over=_newest(counted, SINCE, "pk", "over_at"),
        still_open=_open_repairs(sites),
        # What stands before the key in the address of every repair.
        urls=reverse("records:repair_detail", args=[0]).removesuffix("0/"),
        now=now,
    )


def _newest(rows: "QuerySet[Any]", limit: int, *fields: str) -> Rows:
    """The newest of each pump, and of each empty position, picked in the database."""
    standing = Placement.objects.filter(removed_at__isnull=True)
    of_each = {
        "pump": rows.filter(pump__in=standing.values("pump")),
        "position": rows.exclude(position__in=standing.values("position")),
    }
    found: Rows = defaultdict(list)
    for name, part in of_each.items():
        line = Window(
            RowNumber(),
            partition_by=F(name),
            order_by=[F("reported_at").desc(), F("pk").desc()],
        )
        picked = part.annotate(place_in_line=line).filter(place_in_line__lte=limit)
        for row in picked.order_by("place_in_line").values(name, *fields):
            found[name, row[name]].append(row)
    return found


def _open_repairs(sites: Iterable[Any]) -> dict[int, Row]:
    """The newest repair of each position that is a draft or not handed back."""
    rows = Repair.objects.open().filter(site__in=sites).order_by("reported_at", "pk")
    named = rows.values("pk", "position", "number")
    return {row["position"]: {**row} for row in named}


def _repair(repair: Row, urls: str) -> Row:
    words = [ITEM_LABELS.get(repair["item"]), MODE_LABELS.get(repair["failure_mode"])]
    text = ", ".join(word for word in words if word)
    return {
        "number": repair["number"],
        "on": display.date(repair["reported_at"]),
        "text": text or CATEGORY_LABELS[repair["category"]],
        "url": f"{urls}{repair['pk']}/",
    }
