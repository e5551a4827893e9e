"""Taking a repair out of the count: voids, and drafts that their author drops."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.models import User
from records.choices import RepairState
from records.models import Repair
from records.selectors.repairs import repair_is_own_draft
from records.services.components import components_set
from records.services.correction_door import correction_door
from records.services.repair_checks import refuse_no_reason, refuse_unless_draft
from records.services.repairs import repair_lock, repair_store


@transaction.atomic
def repair_void(*, by: User, repair: Repair, reason: str) -> Repair:
    """Strike a repair that never was; components go back to where they stood.

    Raises
    ------
    ValidationError
        When a later repair built on it, or shop work belongs to it: that comes first.
    """
    repair = repair_lock(repair)
    require(by, "records.void_repair", site=repair.site)
    return _make_void(by, repair, reason)


@transaction.atomic
def repair_drop(*, by: User, repair: Repair, reason: str) -> Repair:
    """Strike a draft: the author may, and whoever may void repairs.

    Raises
    ------
    PermissionDenied
        When somebody else logged the draft and `by` may not void repairs.
    ValidationError
        When it is signed or void, or a later repair built on it.
    """
    repair = repair_lock(repair)
    require(by, "records.log_repair", site=repair.site)
    refuse_unless_draft(repair)
    if not repair_is_own_draft(repair, by):
        require(by, "records.void_repair")
    return _make_void(by, repair, reason)


def _make_void(by: User, repair: Repair, reason: str) -> Repair:
    refuse_no_reason(reason)
    if repair.state == RepairState.VOID:
        raise ValidationError(f"{repair} is void already: {repair.void_reason}")
    _refuse_with_shop_work(repair)
    with correction_door():
        components_set(by=by, repair=repair, components_out=(), components_in=())
        repair.state = RepairState.VOID
        repair.void_reason = reason
        # A void is a signature too: drafts get their time and name from it.
        repair.signed_by = repair.signed_by or by
        repair.signed_at = repair.signed_at or timezone.now()
        repair_store(repair, by, reason)
    return repair


def _refuse_with_shop_work(repair: Repair) -> None:
    """Shop work without its stoppage would be counted by nobody."""
    work = Repair.objects.not_void().filter(shop_work_of=repair).order_by("number")
    if work:
        named = ", ".join(str(one) for one in work)
        raise ValidationError(f"Shop work belongs to {repair}: void {named} first.")
