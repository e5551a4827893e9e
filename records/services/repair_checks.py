"""What a repair may not say, in sentences beside the fields."""

from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.utils import timezone

from plant.display import date_time
from plant.models import Pump
from plant.services.lives import position_of_pump
from records.choices import RepairState
from records.limits import (
    MOST_HOURS,
    STOPPED_LONG_BEFORE,
    TOO_EARLY,
    TOO_MANY_HOURS,
    is_long_before,
    is_too_early,
)
from records.models import Repair
from records.selectors.repairs import repair_like, repair_version
from records.services.half_done import FAILURES
from records.services.life_changes import REASON_LENGTH

# Clocks of tablets are rarely right to the minute.
CLOCK_SLACK = timedelta(minutes=5)


def refuse_impossible(repair: Repair) -> None:
    """Refuse times, places and pumps that cannot be."""
    errors = impossible_facts(repair)
    if errors:
        raise ValidationError(dict(errors))
    refuse_wrong_place(repair)


def impossible_facts(repair: Repair) -> dict[str, str]:
    """Times and hours that cannot be, by field; times not known yet are left out."""
    errors: dict[str, str] = {}
    latest = timezone.now() + CLOCK_SLACK
    for name in ("reported_at", "stopped_at", "returned_at"):
        moment: datetime | None = getattr(repair, name)
        if moment is not None and moment > latest:
            errors[name] = "This time is still to come."
        elif moment is not None and is_too_early(moment):
            errors[name] = TOO_EARLY
    stopped, reported = repair.stopped_at, repair.reported_at
    if stopped and reported and is_long_before(stopped, reported):
        errors.setdefault("stopped_at", STOPPED_LONG_BEFORE)
    if repair.returned_at is not None:
        if repair.stopped_at is None:
            errors["stopped_at"] = "Handed back, so say when it was stopped."
        elif repair.returned_at < repair.stopped_at:
            errors["returned_at"] = (
                f"It was stopped only on {date_time(repair.stopped_at)}."
            )
        elif repair.reported_at and repair.returned_at < repair.reported_at:
            errors["returned_at"] = (
                f"It was reported only on {date_time(repair.reported_at)}."
            )
    for name in ("active_hours", "delay_hours", "man_hours"):
        hours: float | None = getattr(repair, name)
        if hours is not None and hours < 0:
            errors[name] = "Hours are zero or more; leave blank what is not known."
        elif hours is not None and hours > MOST_HOURS:
            errors[name] = TOO_MANY_HOURS
    return errors


def refuse_wrong_place(repair: Repair) -> None:
    stoppage = repair.shop_work_of
    if stoppage is not None:
        if stoppage.pk == repair.pk or stoppage.position_id != repair.position_id:
            raise ValidationError(
                {"shop_work_of": f"Choose a repair of {repair.position}."}
            )
        return
    if repair.pump is None:
        return
    if repair.pump.site_id != repair.site_id:
        raise ValidationError(f"Pump {repair.pump} belongs to another site.")
    moments = [repair.reported_at, repair.stopped_at, repair.returned_at]
    if not any(_stood_there(repair, repair.pump, at) for at in moments if at):
        raise ValidationError(
            {
                "reported_at": f"Pump {repair.pump} did not stand at "
                f"{repair.position} on {date_time(repair.reported_at)}. For work on a "
                "pump from the store, name the repair it belongs to."
            }
        )


def _stood_there(repair: Repair, pump: Pump, at: datetime) -> bool:
    place = position_of_pump(pump=pump, at=at)
    return place is not None and place.pk == repair.position_id


def refuse_duplicate(repair: Repair) -> None:
    """Ask back when the same event seems to stand in the log already."""
    other = repair_like(repair)
    if other is not None:
        raise ValidationError(
            f"This looks like {other}: same position and item, reported on "
            f"{date_time(other.reported_at)}. If it is another event, tick "
            "“Save anyway”.",
            code="duplicate",
        )


def refuse_stale(repair: Repair, version: int | None) -> None:
    """Refuse to overwrite what somebody stored after the form was opened."""
    if version is None or version == repair_version(repair):
        return
    newest = (
        repair.history.select_related("history_user").order_by("-history_id").first()
    )
    who = newest.history_user or "Somebody" if newest else "Somebody"
    when = f" on {date_time(newest.history_date)}" if newest else ""
    raise ValidationError(
        f"{who} changed {repair}{when}, after you opened this form. Nothing was "
        "overwritten. Compare with what is stored now; saving again stores what "
        "stands below.",
        code="stale",
    )


def refuse_no_reason(reason: str) -> None:
    if not reason.strip():
        raise ValidationError({"reason": "Give the reason; it stays in the history."})
    if len(reason) > REASON_LENGTH:
        raise ValidationError(
            {"reason": f"Keep the reason within {REASON_LENGTH} characters."}
        )


def refuse_unless_draft(repair: Repair) -> None:
    if repair.state == RepairState.SIGNED:
        raise ValidationError(
            f"{repair} was already signed by {repair.signed_by} on "
            f"{date_time(repair.signed_at)}. Signed repairs are corrected, with a "
            "reason.",
            code="signed",
        )
    if repair.state == RepairState.VOID:
        raise ValidationError(f"{repair} is void: {repair.void_reason}", code="void")


def refuse_unless_signed(repair: Repair) -> None:
    if not repair.is_signed:
        raise ValidationError(f"{repair} is not signed; only that is corrected.")


def missing_to_sign(repair: Repair) -> dict[str, str]:
    """What a signed repair needs and this one lacks, by field."""
    missing: dict[str, str] = {}
    if not repair.activity:
        missing["activity"] = "Say what was done."
    if repair.category in FAILURES:
        if not repair.failure_mode:
            missing["failure_mode"] = "Choose one; “Not known” is an answer."
        if not repair.item:
            missing["item"] = "Choose one; “Not known” is an answer."
    if repair.stopped_at is not None and repair.returned_at is None:
        missing["returned_at"] = (
            "It is signed when it is handed back; until then keep it as a draft."
        )
    return missing


def refuse_unfinished(repair: Repair) -> None:
    missing = missing_to_sign(repair)
    if missing:
        raise ValidationError(dict(missing), code="unfinished")
