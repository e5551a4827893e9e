"""Rows of repairs and cost lines from their plans; used while storing only."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from plant.models import User
from records.choices import CostStatus, RepairState
from records.importing.bulk import history_copy, rows_insert
from records.importing.known import Known
from records.importing.plan import RepairPlan
from records.models import CostLine, Repair

FINDINGS = ("mechanism", "cause")
# SQLite takes fewer than a thousand parameters in one statement.
NUMBERS_ASKED = 500


def repairs_store(
    rows: Sequence[RepairPlan], known: Known, *, by: User, at: datetime
) -> set[int]:
    """Insert repairs, their first history and their cost lines; the new keys."""
    blank = Repair()
    defaults = {
        field.attname: getattr(blank, field.attname)
        for field in Repair._meta.concrete_fields
        if not field.primary_key
    }
    values = [defaults | repair_values(row, known, by=by, at=at) for row in rows]
    rows_insert(Repair, values)
    keys = _keys_of(values)
    history_copy(Repair, list(keys.values()), "+", by=by, at=at)
    lines: list[dict[str, Any]] = []
    for row, value in zip(rows, values, strict=True):
        repair_pk = keys[value["site_id"], row.number]
        lines += cost_values(row, repair_pk, known, by=by, at=at)
    rows_insert(CostLine, lines)
    return set(keys.values())


def repair_values(
    row: RepairPlan, known: Known, *, by: User, at: datetime
) -> dict[str, Any]:
    """Values of a repair, signed by whoever imports it.

    The findings are signed too when the row has any; else they are not yet known.
    """
    has_findings = any(row.given.get(name) for name in FINDINGS)
    return {
        "site_id": known.sites[row.position[0]].pk,
        "position_id": known.positions[row.position].pk,
        "pump_id": known.pumps[row.pump].pk if row.pump else None,
        "number": row.number,
        "reported_at": row.reported_at,
        "stopped_at": row.stopped_at,
        "returned_at": row.returned_at,
        "state": RepairState.SIGNED,
        "signed_by_id": by.pk,
        "signed_at": at,
        "findings_signed_by_id": by.pk if has_findings else None,
        "findings_signed_at": at if has_findings else None,
        "is_imported": True,
        **row.given,
    }


def _keys_of(values: Sequence[dict[str, Any]]) -> dict[tuple[int, str], int]:
    """Primary keys of rows just inserted, by site and number."""
    by_site: dict[int, list[str]] = {}
    for value in values:
        by_site.setdefault(value["site_id"], []).append(value["number"])
    keys: dict[tuple[int, str], int] = {}
    for site, numbers in by_site.items():
        for start in range(0, len(numbers), NUMBERS_ASKED):
            found = Repair.objects.filter(
                site_id=site, number__in=numbers[start : start + NUMBERS_ASKED]
            )
            for number, pk in found.order_by().values_list("number", "pk"):
                keys[site, number] = pk
    return keys


def cost_values(
    row: RepairPlan, repair_pk: int, known: Known, *, by: User, at: datetime
) -> list[dict[str, Any]]:
    """A line for each amount of the row, zero included."""
    if not row.costs:
        return []
    site = known.sites[row.position[0]]
    booked_on = row.ledger.get("booked_on")
    if booked_on is None:
        last = row.returned_at or row.reported_at
        booked_on = last.astimezone(known.zone_of(site)).date()
    return [
        {
            "repair_id": repair_pk,
            "kind": kind,
            "amount": amount,
            "currency": row.ledger.get("currency", site.currency),
            "status": row.ledger.get("status", CostStatus.BOOKED),
            "booked_on": booked_on,
            "note": "",
            "entered_by_id": by.pk,
            "entered_at": at,
        }
        for kind, amount in row.costs
    ]
