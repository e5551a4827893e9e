"""The checks of a repair: set on a draft, corrected with a reason once it is signed."""

from collections.abc import Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.display import date_time
from plant.models import User
from records.check_choices import CheckKind, CheckStage
from records.models import Repair, SettingCheck
from records.selectors.check_limits import OfferedCheck, limits_of_repair
from records.services.check_entries import (
    REASON_NEEDED,
    CheckEntry,
    CheckRefused,
    read_mass,
    read_value,
    unit_of,
)
from records.services.correction_door import correction_door
from records.services.life_changes import REASON_LENGTH
from records.services.repair_checks import (
    refuse_no_reason,
    refuse_unless_draft,
    refuse_unless_signed,
)
from records.services.repairs import repair_lock

__all__ = ["CheckEntry", "CheckRefused", "checks_correct", "checks_set"]
TYPED = (
    "value",
    "entered_value",
    "entered_unit",
    "not_measured_reason",
    "out_of_limit_reason",
    "instrument",
)


@transaction.atomic
def checks_set(
    *,
    by: User,
    repair: Repair,
    checks: Sequence[CheckEntry],
    version: int | None = None,
) -> list[SettingCheck]:
    """Store the checks of a draft; what is not among them any more is taken away.

    Each keeps the limit that holds now. `version` is what `checks_version` said when
    the page was opened.

    Raises
    ------
    CheckRefused
        With the place of the row and the field to mend.
    ValidationError
        When the repair is no draft, or somebody else stored checks meanwhile.
    """
    repair = repair_lock(repair)
    require(by, "records.log_repair", site=repair.site)
    refuse_unless_draft(repair)
    _refuse_stale(repair, version)
    return _store(by, repair, checks, "Checks entered", keep_limits=False)


@transaction.atomic
def checks_correct(
    *,
    by: User,
    repair: Repair,
    checks: Sequence[CheckEntry],
    reason: str,
    version: int | None = None,
) -> list[SettingCheck]:
    """Correct the checks of a signed repair; limits once shown stay as they were."""
    repair = repair_lock(repair)
    require(by, "records.correct_repair", site=repair.site)
    refuse_unless_signed(repair)
    refuse_no_reason(reason)
    _refuse_stale(repair, version)
    with correction_door():
        return _store(by, repair, checks, reason, keep_limits=True)


def checks_version(repair: Repair) -> int:
    """A number that grows with every change of the repair's checks."""
    newest = (
        SettingCheck.history.filter(repair_id=repair.pk)
        .order_by("-history_id")
        .values_list("history_id", flat=True)
        .first()
    )
    return int(newest or 0)


def _refuse_stale(repair: Repair, version: int | None) -> None:
    if version is None or version == checks_version(repair):
        return
    newest = (
        SettingCheck.history.filter(repair_id=repair.pk)
        .select_related("history_user")
        .order_by("-history_id")
        .first()
    )
    who = newest.history_user or "Somebody" if newest else "Somebody"
    when = f" on {date_time(newest.history_date)}" if newest else ""
    raise ValidationError(
        f"{who} changed the checks of {repair}{when}, after you opened this page. "
        "Nothing was overwritten; storing again stores what stands below.",
        code="stale",
    )


def _store(
    by: User,
    repair: Repair,
    checks: Sequence[CheckEntry],
    reason: str,
    *,
    keep_limits: bool,
) -> list[SettingCheck]:
    _refuse_twice(checks)
    stored = {(row.kind, row.stage): row for row in repair.checks.all()}
    limits = limits_of_repair(repair)
    wanted = []
    for index, entry in enumerate(checks):
        before = stored.pop((entry.kind, entry.stage), None)
        row, is_changed = _row_of(repair, entry, index, before)
        if is_changed and (before is None or not keep_limits):
            _freeze(row, _limit_of(repair, limits, entry, index))
        _refuse_unreasoned(row, index)
        wanted.append(row)
        if is_changed:
            _save(row, by, reason)
    for row in stored.values():
        _sign_history(row, by, reason)
        row.delete()
    return wanted


def _refuse_twice(checks: Sequence[CheckEntry]) -> None:
    seen = set()
    for index, entry in enumerate(checks):
        if (entry.kind, entry.stage) in seen:
            raise CheckRefused("The same check stands above.", index, "kind")
        seen.add((entry.kind, entry.stage))


def _row_of(
    repair: Repair, entry: CheckEntry, index: int, before: SettingCheck | None
) -> tuple[SettingCheck, bool]:
    """The row as it will stand, and whether that is a change."""
    typed = {
        "value": read_value(entry, index),
        "entered_value": entry.entered_value.strip(),
        "entered_unit": unit_of(entry),
        "not_measured_reason": entry.not_measured_reason.strip(),
        "out_of_limit_reason": entry.out_of_limit_reason.strip(),
        "instrument": entry.instrument.strip(),
    }
    has_mass = bool(entry.rotor_mass_kg.strip())
    if before is not None:
        same = all(getattr(before, name) == typed[name] for name in TYPED)
        if same and not has_mass:
            return before, False
    row = before or SettingCheck(repair=repair, kind=entry.kind, stage=entry.stage)
    for name, value in typed.items():
        setattr(row, name, value)
    row.measured_at = entry.measured_at or row.measured_at or timezone.now()
    return row, True


def _limit_of(
    repair: Repair, limits: dict[CheckKind, OfferedCheck], entry: CheckEntry, index: int
) -> OfferedCheck:
    mass = read_mass(entry, index)
    if mass is not None and entry.kind == CheckKind.BALANCE:
        limits = limits_of_repair(repair, rotor_mass_kg=mass)
    return limits[CheckKind(entry.kind)]


def _freeze(row: SettingCheck, limit: OfferedCheck) -> None:
    row.limit_low, row.limit_high = limit.low, limit.high
    row.limit_source = limit.source[:200]


def _refuse_unreasoned(row: SettingCheck, index: int) -> None:
    """What stays out of limit is somebody's decision, so it has a reason."""
    unreasoned = row.stage == CheckStage.LEFT and not row.out_of_limit_reason
    if unreasoned and row.is_out_of_limit:
        raise CheckRefused(REASON_NEEDED, index, "out_of_limit_reason")


def _save(row: SettingCheck, by: User, reason: str) -> None:
    row.entered_by = by
    _sign_history(row, by, reason)
    row.full_clean()
    row.save()


def _sign_history(row: SettingCheck, by: User, reason: str) -> None:
    row._history_user = by  # type: ignore[attr-defined]
    row._change_reason = reason[:REASON_LENGTH]  # type: ignore[attr-defined]
