"""The flat list of cost lines behind a cost report, one row a line."""

from collections.abc import Iterator
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from records.choices import CostKind, CostStatus, FailureMode, Item
from records.models import CostLine

HEADER = [
    *("Reported on", "Booked on", "Repair", "Site", "Area", "Position", "Pump"),
    *("Failure mode", "Item", "Kind of cost", "Status", "Amount", "Currency", "Note"),
]
FIELDS = (
    "repair__reported_at",
    "booked_on",
    "repair__number",
    "repair__site__name",
    "repair__position__area__name",
    "repair__position__tag",
    "repair__pump__serial_number",
    "repair__failure_mode",
    "repair__item",
    "kind",
    "status",
    "amount",
    "currency",
    "note",
)
LABELS = {
    "repair__failure_mode": dict(FailureMode.choices),
    "repair__item": dict(Item.choices),
    "kind": dict(CostKind.choices),
    "status": dict(CostStatus.choices),
}
CHUNK = 2000


def cost_line_rows(lines: QuerySet[CostLine]) -> Iterator[list[Any]]:
    """Rows for `HEADER`, oldest event first; read in chunks, so any length fits."""
    ordered = lines.order_by("repair__reported_at", "repair__number", "pk")
    for values in ordered.values_list(*FIELDS).iterator(chunk_size=CHUNK):
        row = [
            LABELS[name].get(value, value) if name in LABELS else value
            for name, value in zip(FIELDS, values, strict=True)
        ]
        row[0] = timezone.localtime(row[0]).date()
        yield row
