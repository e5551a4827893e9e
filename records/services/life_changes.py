"""Corrections of lives that a repair opened or closed, kept in their history."""

from typing import Any

from django.core.exceptions import ValidationError
from simple_history.utils import update_change_reason

from plant.display import date_time
from plant.models import FittedLife, User
from plant.services.lives import life_refuse_overlap
from records.models import Repair

REASON_LENGTH = 100


def reason_of(repair: Repair, what: str) -> str:
    """The words under which the history of a life names the repair."""
    return f"{repair.number}: {what}"[:REASON_LENGTH]


def life_note(life: FittedLife, repair: Repair, what: str) -> None:
    """Write in the newest history row which repair was behind it."""
    update_change_reason(life, reason_of(repair, what))


def life_correct(by: User, life: FittedLife, repair: Repair, **facts: Any) -> None:
    """Set facts of a life; nothing is stored where nothing changes."""
    changed = {
        name: value for name, value in facts.items() if getattr(life, name) != value
    }
    if not changed:
        return
    for name, value in changed.items():
        setattr(life, name, value)
    _refuse_backwards(life)
    life_refuse_overlap(
        pump=life.pump,
        location=life.location,
        fitted_at=life.fitted_at,
        removed_at=life.removed_at,
        ignore=life,
    )
    life._history_user = by  # type: ignore[attr-defined]
    life._change_reason = reason_of(repair, "changed")  # type: ignore[attr-defined]
    life.full_clean()
    life.save()


def _refuse_backwards(life: FittedLife) -> None:
    if life.removed_at is not None and life.removed_at < life.fitted_at:
        raise ValidationError(
            f"{life} would be taken out on {date_time(life.removed_at)}, before it "
            f"was fitted on {date_time(life.fitted_at)}."
        )
    if life.ended_at is not None:
        life.ended_at = max(life.ended_at, life.fitted_at)
