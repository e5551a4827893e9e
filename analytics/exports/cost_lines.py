"""The flat list of cost lines behind a cost report: one row a line, one fact a cell."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, tzinfo
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from analytics.money.treatment import MoneyTreatment
from analytics.reports.costs.groupings import CODED, NO_ITEM, NO_PUMP
from analytics.reports.costs.table import PARTS
from records.choices import REPAIR_COST_KINDS, Category, CostKind, CostStatus, Item
from records.models import CostLine, Repair
from records.selectors.part_named import part_named

HEADER = [
    *("Reported on", "Booked on", "Repair", "Site", "Area", "Position", "Pump"),
    *("Category", "Failure mode", "Item", "Mechanism", "Cause", "Part"),
    *("Kind of cost", "Added up as", "Status", "Amount", "Currency"),
    *("Amount counted", "Counted in", "Note"),
]
# Read once a repair and once a line.
FIELDS = (
    *("pk", "reported_at", "number", "site__name", "position__area__name"),
    *("position__tag", "pump__serial_number", "category", "failure_mode", "item"),
    *("mechanism", "cause", "part"),
)
LINE_FIELDS = (
    *("pk", "repair_id", "booked_on", "kind", "status", "amount"),
    *("currency", "note"),
)
ADDED_UP_AS = {
    **dict.fromkeys(REPAIR_COST_KINDS, PARTS["repair"]),
    CostKind.LOST_PRODUCTION: PARTS["production"],
    CostKind.ENVIRONMENT_SAFETY: PARTS["environment"],
}
CHUNK = 2000


def cost_line_rows(
    lines: QuerySet[CostLine], treatment: MoneyTreatment
) -> Iterator[list[Any]]:
    """Rows for `HEADER`, oldest event first; the amount counted is not rounded.

    Read by key in portions: a cursor held open for the whole list would keep an old
    state of the database alive, and on SQLite no progress could be stored beside it.
    """
    ordered = lines.order_by("repair__reported_at", "repair__number", "pk")
    keys: Sequence[int] = list(ordered.values_list("pk", flat=True))
    told = _Words(treatment, timezone.get_current_timezone())
    for start in range(0, len(keys), CHUNK):
        portion = keys[start : start + CHUNK]
        # What was replaced in the meantime is still a line of this list.
        found = CostLine.objects.filter(pk__in=portion).order_by()
        by_key = {line[0]: line[1:] for line in found.values_list(*LINE_FIELDS)}
        repairs = told.repairs({line[0] for line in by_key.values()})
        for key in portion:
            repair_key, booked_on, *of_line = by_key[key]
            reported_on, *of_repair = repairs[repair_key]
            yield [reported_on, booked_on, *of_repair, *told.line(booked_on, *of_line)]


class _Words:
    """Codes as the tables of the page name them; each is looked up once."""

    def __init__(self, treatment: MoneyTreatment, zone: tzinfo) -> None:
        self.zone = zone
        self.treatment = treatment
        self.factors: dict[tuple[str, int], tuple[str, Decimal]] = {}
        self.modes, self.mechanisms, self.causes = (
            {code: f"{code} {label.lower()}" for code, label in words.choices}
            | {"": blank}
            for words, blank in (
                CODED[name] for name in ("failure_mode", "mechanism", "cause")
            )
        )
        self.items = dict(Item.choices) | {"": NO_ITEM}
        self.categories = dict(Category.choices)
        self.kinds = dict(CostKind.choices)
        self.statuses = dict(CostStatus.choices)

    def repairs(self, keys: Iterable[int]) -> dict[int, list[Any]]:
        """The day of the report, then `HEADER` from the repair's number to its part."""
        rows = Repair.objects.filter(pk__in=keys).order_by()
        rows = rows.annotate(part=part_named())
        return {row[0]: self._repair(*row[1:]) for row in rows.values_list(*FIELDS)}

    def _repair(self, reported_at: datetime, *facts: Any) -> list[Any]:
        number, site, area, tag, pump, category, mode, item, *more = facts
        mechanism, cause, part = more
        return [
            reported_at.astimezone(self.zone).date(),
            *(number, site, area, tag),
            NO_PUMP if pump is None else pump,
            self.categories.get(category, category),
            self.modes.get(mode, mode),
            self.items.get(item, item),
            self.mechanisms.get(mechanism, mechanism),
            self.causes.get(cause, cause),
            part,
        ]

    def line(self, booked_on: date, *facts: Any) -> list[Any]:
        """The columns of `HEADER` from the kind of cost on."""
        kind, status, amount, currency, note = facts
        unit, factor = self._factor(currency, booked_on)
        return [
            self.kinds[kind],
            ADDED_UP_AS[kind],
            self.statuses[status],
            amount,
            currency,
            amount if factor == 1 else amount * factor,
            unit,
            note,
        ]

    def _factor(self, currency: str, booked_on: date) -> tuple[str, Decimal]:
        key = (currency, booked_on.year)
        if key not in self.factors:
            unit, factor = self.treatment.factor(*key)
            self.factors[key] = (str(unit), factor)
        return self.factors[key]
