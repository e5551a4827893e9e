"""The parts of an entry put into the log by the services, all or nothing."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from plant.models import Placement, Position, Pump, User
from plant.services.placements import pump_place, pump_take_out
from plant.zones import site_zone
from records.models import Repair
from records.selectors.repairs import repair_like
from records.services.checks import CheckEntry, CheckRefused, checks_set
from records.services.component_rows import RowRefused
from records.services.findings import PatternRefused, findings_set, findings_sign
from records.services.half_done import AsIsAsked
from records.services.repairs import repair_log, repair_sign
from records.tablet.checking import SWAP, row_path
from records.tablet.faults import Refused, faults_of
from records.tablet.questions import ask_duplicate, ask_half_done, ask_if_changed
from records.tablet.typed import Typed


@transaction.atomic
def parts_store(*, by: User, typed: Typed) -> Repair:
    """Log the repair with its components, move, checks, findings, costs and names.

    Raises
    ------
    Refused
        With what the services found; nothing is stored.
    Asked
        When the same event stands in the log, a component was changed at the same
        moment, or a swap looks half done.
    """
    with site_zone(typed.position.site):
        try:
            repair = _log(by, typed)
            _swap(by, typed)
            _checks(by, repair, typed)
            _findings(by, repair, typed)
            return _sign(by, repair, typed)
        except RowRefused as error:
            _ask_if_changed_at_once(typed)
            raise Refused(faults_of(error, {}, row_path(error))) from error
        except AsIsAsked as error:
            raise ask_half_done(error) from error
        except ValidationError as error:
            raise Refused(faults_of(error)) from error


def _log(by: User, typed: Typed) -> Repair:
    try:
        return repair_log(
            by=by,
            position=typed.position,
            pump=typed.pump,
            components_out=typed.outs,
            components_in=typed.ins,
            costs=typed.costs,
            meter_hours=typed.meter_hours,
            is_new_meter=typed.is_new_meter,
            save_anyway=typed.save_anyway,
            **typed.facts,
        )
    except ValidationError as error:
        other = repair_like(typed.as_repair())
        if getattr(error, "code", None) == "duplicate" and other is not None:
            raise ask_duplicate(other) from error
        raise


def _swap(by: User, typed: Typed) -> None:
    stopped_at, returned_at = typed.facts["stopped_at"], typed.facts["returned_at"]
    if typed.swap_to_pump is None or stopped_at is None or returned_at is None:
        return
    try:
        pump_swap(
            by=by,
            position=typed.position,
            spare=typed.swap_to_pump,
            stopped_at=stopped_at,
            returned_at=returned_at,
        )
    except ValidationError as error:
        raise Refused(faults_of(error, {}, SWAP)) from error


@transaction.atomic
def pump_swap(
    *,
    by: User,
    position: Position,
    spare: Pump,
    stopped_at: datetime,
    returned_at: datetime,
) -> Placement:
    """The old pump goes to the store at the stop, the spare comes at the hand-back."""
    standing = Placement.objects.filter(position=position, removed_at__isnull=True)
    for placement in standing.select_related("position__site"):
        pump_take_out(by=by, placement=placement, removed_at=stopped_at)
    return pump_place(by=by, pump=spare, position=position, placed_at=returned_at)


def _checks(by: User, repair: Repair, typed: Typed) -> None:
    if not typed.checks:
        return
    checks = [CheckEntry(**row) for row in typed.checks]
    try:
        checks_set(by=by, repair=repair, checks=checks)
    except CheckRefused as error:
        path = f"checks.{error.index}.{error.field}"
        raise Refused(faults_of(error, elsewhere=path)) from error


def _findings(by: User, repair: Repair, typed: Typed) -> None:
    if not typed.patterns:
        return
    try:
        findings_set(by=by, repair=repair, patterns=typed.patterns)
    except PatternRefused as error:
        path = f"found.patterns.{error.index}"
        raise Refused(faults_of(error, elsewhere=path)) from error


def _sign(by: User, repair: Repair, typed: Typed) -> Repair:
    if not typed.sign:
        return repair
    repair = repair_sign(by=by, repair=repair, as_is=typed.as_is)
    return findings_sign(by=by, repair=repair) if typed.findings_signed else repair


def _ask_if_changed_at_once(typed: Typed) -> None:
    """Ask when somebody else's change was stored while this one was being checked."""
    for out in typed.outs:
        out.life.refresh_from_db(fields=["removed_at"])
    ask_if_changed(typed, "")
