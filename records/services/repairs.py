"""The repair log's changes: logging, drafts, signing and corrections."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.models import Position, Pump, Site, User
from records.choices import RepairState
from records.models import Repair
from records.selectors.repairs import pump_at
from records.services.component_rows import ComponentIn, ComponentOut, components_now
from records.services.components import components_set
from records.services.correction_door import correction_door
from records.services.costs import CostEntry, cost_line_add
from records.services.half_done import questions_of, refuse_half_done
from records.services.hours import hours_record
from records.services.life_changes import REASON_LENGTH
from records.services.numbering import number_of
from records.services.repair_checks import (
    refuse_duplicate,
    refuse_impossible,
    refuse_no_reason,
    refuse_stale,
    refuse_unfinished,
    refuse_unless_draft,
    refuse_unless_signed,
)

FIELDS = (
    "shop_work_of",
    "reported_at",
    "stopped_at",
    "returned_at",
    "category",
    "activity",
    "operating_state",
    "release",
    "failure_mode",
    "impact",
    "detection",
    "item",
    "mechanism",
    "cause",
    "also_renewed",
    "active_hours",
    "delay_hours",
    "man_hours",
    "text",
    "permit_reference",
    "isolation_reference",
    "decontamination_reference",
    "plate_check",
)


@transaction.atomic
def repair_log(
    *,
    by: User,
    position: Position,
    reported_at: datetime,
    category: str,
    pump: Pump | None = None,
    number: str = "",
    components_out: Sequence[ComponentOut] = (),
    components_in: Sequence[ComponentIn] = (),
    costs: Sequence[CostEntry] = (),
    meter_hours: float | None = None,
    is_new_meter: bool = False,
    sign: bool = False,
    save_anyway: bool = False,
    as_is: Collection[str] = (),
    **fields: Any,
) -> Repair:
    """Log a repair with what left, what came and what it cost, all or nothing.

    Without a pump, the one that stood at the position when it was reported. Without
    a number, the next one of the site. `fields` are the further names in FIELDS;
    `save_anyway` answers the question whether it stands in the log already, `as_is`
    those that signing asks (see half_done).

    Raises
    ------
    ValidationError
        With a sentence for whatever cannot be; codes `duplicate` and `as_is` ask.
    """
    require(by, "records.log_repair", site=position.site)
    # Numbers and the search for the same event need one writer per site at a time.
    site = Site.objects.select_for_update(no_key=True).get(pk=position.site_id)
    repair = Repair(site=site, position=position)
    repair.pump = pump or pump_at(position=position, at=reported_at)
    _set_fields(repair, {"reported_at": reported_at, "category": category, **fields})
    refuse_impossible(repair)
    if not save_anyway:
        refuse_duplicate(repair)
    repair.number = number_of(site=site, typed=number, reported_at=reported_at)
    repair_store(repair, by, "Logged")
    components_set(
        by=by,
        repair=repair,
        components_out=components_out,
        components_in=components_in,
    )
    if meter_hours is not None:
        _meter_note(by, repair, meter_hours, is_new_meter)
    return _finish(by, repair, costs, sign, as_is)


@transaction.atomic
def repair_update_draft(
    *,
    by: User,
    repair: Repair,
    version: int | None = None,
    components_out: Sequence[ComponentOut] | None = None,
    components_in: Sequence[ComponentIn] | None = None,
    costs: Sequence[CostEntry] = (),
    sign: bool = False,
    as_is: Collection[str] = (),
    **changes: Any,
) -> Repair:
    """Change a draft; rows left out as None stay, with times that follow anew.

    `version` is what `repair_version` said when the form was opened.
    """
    repair = repair_lock(repair)
    require(by, "records.log_repair", site=repair.site)
    refuse_unless_draft(repair)
    refuse_stale(repair, version)
    _change(by, repair, components_out, components_in, changes, "Draft changed")
    return _finish(by, repair, costs, sign, as_is)


@transaction.atomic
def repair_sign(
    *,
    by: User,
    repair: Repair,
    version: int | None = None,
    as_is: Collection[str] = (),
) -> Repair:
    """Freeze a draft under a name; `as_is` says which swaps are meant as they look.

    Raises
    ------
    ValidationError
        When it was signed before, or lacks what a signed repair needs; code `as_is`
        asks back whether a swap that looks half done is meant so.
    """
    repair = repair_lock(repair)
    require(by, "records.log_repair", site=repair.site)
    refuse_unless_draft(repair)
    refuse_stale(repair, version)
    refuse_unfinished(repair)
    refuse_half_done(questions_of(repair, *components_now(repair)), as_is)
    repair.state = RepairState.SIGNED
    repair.signed_by = by
    repair.signed_at = timezone.now()
    repair_store(repair, by, "Signed")
    return repair


@transaction.atomic
def repair_correct(
    *,
    by: User,
    repair: Repair,
    reason: str,
    version: int | None = None,
    components_out: Sequence[ComponentOut] | None = None,
    components_in: Sequence[ComponentIn] | None = None,
    as_is: Collection[str] = (),
    **changes: Any,
) -> Repair:
    """Correct a signed repair; history keeps who, why, before and after.

    A swap that looked half done before the correction is not asked about again.
    """
    repair = repair_lock(repair)
    require(by, "records.correct_repair", site=repair.site)
    refuse_unless_signed(repair)
    refuse_no_reason(reason)
    refuse_stale(repair, version)
    answered = {*as_is, *questions_of(repair, *components_now(repair))}
    with correction_door():
        _change(by, repair, components_out, components_in, changes, reason)
    refuse_unfinished(repair)
    refuse_half_done(questions_of(repair, *components_now(repair)), answered)
    return repair


def repair_lock(repair: Repair) -> Repair:
    """The row as it is now, held until the transaction ends."""
    return (
        Repair.objects.select_for_update(of=("self",))
        .select_related("site", "position__site", "pump__site", "signed_by")
        .get(pk=repair.pk)
    )


def _meter_note(
    by: User, repair: Repair, meter_hours: float, is_new_meter: bool
) -> None:
    """Keep the meter as read at the stop, else at the report."""
    hours_record(
        by=by,
        position=repair.position,
        read_at=repair.stopped_at or repair.reported_at,
        meter_hours=meter_hours,
        is_new_meter=is_new_meter,
    )


def _finish(
    by: User,
    repair: Repair,
    costs: Sequence[CostEntry],
    sign: bool,
    as_is: Collection[str],
) -> Repair:
    for entry in costs:
        cost_line_add(by=by, repair=repair, entry=entry)
    return repair_sign(by=by, repair=repair, as_is=as_is) if sign else repair


def _change(
    by: User,
    repair: Repair,
    components_out: Sequence[ComponentOut] | None,
    components_in: Sequence[ComponentIn] | None,
    changes: dict[str, Any],
    reason: str,
) -> None:
    # Taken before the times change: derived times follow them, given ones stay.
    outs, ins = components_now(repair)
    _set_fields(repair, changes)
    refuse_impossible(repair)
    repair_store(repair, by, reason)
    components_set(
        by=by,
        repair=repair,
        components_out=outs if components_out is None else components_out,
        components_in=ins if components_in is None else components_in,
    )


def _set_fields(repair: Repair, values: dict[str, Any]) -> None:
    for name, value in values.items():
        if name not in FIELDS:
            raise TypeError(f"{name} is not a field of a repair that is typed.")
        setattr(repair, name, value)


def repair_store(repair: Repair, by: User, reason: str) -> None:
    """Check and store the row; history keeps who and why."""
    repair._history_user = by  # type: ignore[attr-defined]
    repair._change_reason = reason[:REASON_LENGTH]  # type: ignore[attr-defined]
    repair.full_clean()
    repair.save()
