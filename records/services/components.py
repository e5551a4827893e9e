"""Components that a repair took out and fitted: its lives closed and opened.

A repair says in full what left and what came; these functions make the lives follow.
The same call serves a new repair, an edited draft, a correction and a void.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from plant.choices import WhyRemoved
from plant.display import date_time
from plant.models import FittedLife, Pump, User
from plant.services.lives import life_fit, life_put_back, life_remove
from records.choices import ChangeKind
from records.models import ComponentChange, Repair
from records.services.component_rows import (
    ComponentIn,
    ComponentOut,
    RowRefused,
    changes_of,
    ended_at_of,
    fitted_at_of,
    removed_at_of,
    started_at_of,
)
from records.services.life_changes import life_correct, life_note, reason_of
from records.services.row_checks import refuse_rows_impossible


@transaction.atomic
def components_set(
    *,
    by: User,
    repair: Repair,
    components_out: Sequence[ComponentOut],
    components_in: Sequence[ComponentIn],
) -> None:
    """Make the lives follow what the repair says left and came, all or nothing.

    Raises
    ------
    RowRefused
        When one row cannot be, for instance because somebody else took it out.
    ValidationError
        When an earlier change cannot be undone, or no pump is named.
    """
    if repair.pump_id is None:
        if components_out or components_in:
            raise ValidationError(
                f"No pump is known at {repair.position} at that time, so no component "
                "can leave it or be fitted. Enter the pump in the register first."
            )
        return
    # One at a time per pump: the second of two swaps sees what the first one did.
    pump = (
        Pump.objects.select_for_update(no_key=True, of=("self",))
        .select_related("site")
        .get(pk=repair.pump_id)
    )
    refuse_rows_impossible(repair, components_out, components_in)
    now = changes_of(repair)
    wanted_out = {out.life.pk: out for out in components_out}
    wanted_in = {row.life.pk: row for row in components_in if row.life}
    for change in now:
        if change.change == ChangeKind.IN and change.life_id not in wanted_in:
            _strike(by, repair, change)
    for change in now:
        if change.change == ChangeKind.OUT and change.life_id not in wanted_out:
            _undo_removal(by, repair, change)
    kept = {(change.change, change.life_id): change for change in now}
    _facts_follow(by, repair, kept, components_out, components_in)
    for index, out in enumerate(components_out):
        if (ChangeKind.OUT, out.life.pk) not in kept:
            with refusals_of(ChangeKind.OUT, index):
                _take_out(by, repair, pump, out)
    for index, row in enumerate(components_in):
        if row.life is None:
            with refusals_of(ChangeKind.IN, index):
                _fit(by, repair, pump, row)


@contextmanager
def refusals_of(kind: str, index: int) -> Iterator[None]:
    """Say which row a refusal belongs to."""
    try:
        yield
    except ValidationError as error:
        raise RowRefused(error, kind, index) from error


def _facts_follow(
    by: User,
    repair: Repair,
    kept: dict[tuple[str, int], ComponentChange],
    outs: Sequence[ComponentOut],
    ins: Sequence[ComponentIn],
) -> None:
    """Bring facts and times of changes made before to what is said now.

    The order keeps lives of one place apart at every step: what leaves earlier
    first, then what was fitted, then what leaves later.
    """
    rows_out = [
        (index, out, kept[ChangeKind.OUT, out.life.pk])
        for index, out in enumerate(outs)
        if (ChangeKind.OUT, out.life.pk) in kept
    ]
    later = [r for r in rows_out if removed_at_of(repair, r[1]) > _left_at(r[2])]
    for index, out, change in [row for row in rows_out if row not in later]:
        with refusals_of(ChangeKind.OUT, index):
            _removal_correct(by, repair, change, out)
    for index, row in enumerate(ins):
        if row.life is not None:
            with refusals_of(ChangeKind.IN, index):
                _fitting_correct(by, repair, kept, row)
    for index, out, change in later:
        with refusals_of(ChangeKind.OUT, index):
            _removal_correct(by, repair, change, out)


def _left_at(change: ComponentChange) -> datetime:
    return change.life.removed_at or change.life.fitted_at


def _removal_facts(repair: Repair, out: ComponentOut) -> dict[str, Any]:
    return {
        "removed_at": removed_at_of(repair, out),
        "ended_at": ended_at_of(repair, out),
        "why_removed": out.why_removed,
        "defect_detected": out.defect_detected,
        "condition_found": out.condition_found,
    }


def _damaged_by(repair: Repair, out: ComponentOut) -> Repair | None:
    """The event that damaged it: this very repair unless another one is named."""
    if out.why_removed != WhyRemoved.DAMAGED:
        return None
    return out.damaged_by or repair


def _take_out(by: User, repair: Repair, pump: Pump, out: ComponentOut) -> None:
    if out.life.pump_id != pump.pk:
        raise ValidationError(f"{out.life} is not a component of pump {pump}.")
    life = life_remove(by=by, life=out.life, **_removal_facts(repair, out))
    life_note(life, repair, "taken out")
    ComponentChange.objects.create(
        repair=repair,
        life=life,
        change=ChangeKind.OUT,
        damaged_by=_damaged_by(repair, out),
    )


def _removal_correct(
    by: User, repair: Repair, change: ComponentChange, out: ComponentOut
) -> None:
    life_correct(by, change.life, repair, **_removal_facts(repair, out))
    change.damaged_by = _damaged_by(repair, out)
    change.save()


def _fit(by: User, repair: Repair, pump: Pump, row: ComponentIn) -> None:
    details = {**row.details, "started_at": started_at_of(repair, row)}
    life = life_fit(
        by=by,
        pump=pump,
        component=row.component,
        location=row.location,
        fitted_at=fitted_at_of(repair, row),
        **details,
    )
    life_note(life, repair, "fitted")
    ComponentChange.objects.create(repair=repair, life=life, change=ChangeKind.IN)


def _fitting_correct(
    by: User,
    repair: Repair,
    kept: dict[tuple[str, int], ComponentChange],
    row: ComponentIn,
) -> None:
    change = kept.get((ChangeKind.IN, row.life.pk)) if row.life else None
    if change is None:
        raise ValidationError(f"{row.life} was not fitted by {repair}.")
    facts = {
        **row.details,
        "fitted_at": fitted_at_of(repair, row),
        "started_at": started_at_of(repair, row),
    }
    life_correct(by, change.life, repair, **facts)


def _strike(by: User, repair: Repair, change: ComponentChange) -> None:
    """Undo a fitting that never was; history keeps the struck life."""
    life = change.life
    removal = (
        ComponentChange.objects.filter(life=life, change=ChangeKind.OUT)
        .select_related("repair")
        .first()
    )
    if life.removed_at is not None:
        by_whom = f" by {removal.repair}; that one comes first" if removal else ""
        raise ValidationError(
            f"{life}, fitted by {repair}, was taken out on "
            f"{date_time(life.removed_at)}{by_whom}."
        )
    change.delete()
    life._history_user = by  # type: ignore[attr-defined]
    life._change_reason = reason_of(repair, "fitting struck")  # type: ignore[attr-defined]
    life.delete()


def _undo_removal(by: User, repair: Repair, change: ComponentChange) -> None:
    life = change.life
    later = (
        FittedLife.objects.filter(pump=life.pump_id, location=life.location)
        .filter(fitted_at__gte=life.fitted_at)
        .exclude(pk=life.pk)
        .order_by("fitted_at")
        .first()
    )
    if later is not None:
        fitting = later.component_changes.filter(change=ChangeKind.IN).first()
        by_whom = f" by {fitting.repair}" if fitting else ""
        raise ValidationError(
            f"{life} cannot be put back: another one was fitted in its place on "
            f"{date_time(later.fitted_at)}{by_whom}. That fitting comes first."
        )
    change.delete()
    life._change_reason = reason_of(repair, "put back")  # type: ignore[attr-defined]
    life_put_back(by=by, life=life)
