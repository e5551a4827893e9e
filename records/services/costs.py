"""Cost lines: amounts are added and replaced, never rewritten."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.models import User
from records.choices import RepairState
from records.models import CostLine, Repair


@dataclass(frozen=True, slots=True)
class CostEntry:
    """One amount as typed; without a currency that of the site, without a day today."""

    kind: str
    amount: Decimal
    status: str
    currency: str = ""
    booked_on: date | None = None
    note: str = ""


@transaction.atomic
def cost_line_add(*, by: User, repair: Repair, entry: CostEntry) -> CostLine:
    """Add an amount, on a draft as on a signed repair."""
    _require(by, repair)
    _refuse_void(repair)
    return _store(by, CostLine(repair=repair, kind=entry.kind), entry)


@transaction.atomic
def cost_line_replace(*, by: User, line: CostLine, entry: CostEntry) -> CostLine:
    """Let a better figure take the place of a line; both stay in the ledger.

    Raises
    ------
    ValidationError
        When another line has replaced this one already.
    """
    line = (
        CostLine.objects.select_for_update(of=("self",), no_key=True)
        .select_related("repair__site")
        .get(pk=line.pk)
    )
    _require(by, line.repair)
    _refuse_void(line.repair)
    later = CostLine.objects.filter(replaces=line).first()
    if later is not None:
        raise ValidationError(
            f"This line was already replaced by {later.amount} {later.currency}; "
            "replace that one.",
            code="replaced_twice",
        )
    new = CostLine(repair=line.repair, kind=entry.kind, replaces=line)
    return _store(by, new, entry)


def _require(by: User, repair: Repair) -> None:
    """Costs are the planner's part: whoever may not see them enters none."""
    require(by, "records.log_repair", site=repair.site)
    require(by, "records.see_costs", site=repair.site)


def _refuse_void(repair: Repair) -> None:
    if repair.state == RepairState.VOID:
        raise ValidationError(f"{repair} is void; it takes no more costs.")


def _store(by: User, line: CostLine, entry: CostEntry) -> CostLine:
    if entry.amount < 0:
        raise ValidationError(
            {"amount": "An amount is zero or more; to strike a line, replace it by 0."}
        )
    site = line.repair.site
    line.amount = entry.amount
    line.currency = (entry.currency or site.currency).upper()
    line.status = entry.status
    line.note = entry.note
    line.booked_on = (
        entry.booked_on or timezone.now().astimezone(ZoneInfo(site.time_zone)).date()
    )
    line.entered_by = by
    line.full_clean()
    line.save()
    return line
