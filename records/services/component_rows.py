"""What a repair says left and came, with the times that follow from the repair."""

from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError

from plant.models import FittedLife
from records.choices import ChangeKind
from records.models import ComponentChange, Repair


@dataclass(frozen=True, slots=True)
class ComponentOut:
    """One component taken out, with the facts from which its ending is derived.

    `removed_at` is the stop of the repair unless given.
    """

    life: FittedLife
    why_removed: str
    defect_detected: bool | None = None
    condition_found: str = ""
    removed_at: datetime | None = None
    damaged_by: Repair | None = None


@dataclass(frozen=True, slots=True)
class ComponentIn:
    """One component fitted; `details` are further fields of FittedLife.

    `life` names the one that this repair fitted before, when its details change.
    `fitted_at` is the hand-back, else the stop, else the report unless given.
    """

    component: str
    location: str
    fitted_at: datetime | None = None
    life: FittedLife | None = None
    details: dict[str, Any] = field(default_factory=dict)


class RowRefused(ValidationError):
    """Refusal of one row: `kind` is a ChangeKind, `index` its place in the list."""

    def __init__(self, error: ValidationError, kind: str, index: int) -> None:
        super().__init__(error.messages, code=getattr(error, "code", None))
        self.kind = kind
        self.index = index


def removed_at_of(repair: Repair, out: ComponentOut) -> datetime:
    return out.removed_at or repair.stopped_at or repair.reported_at


def fitted_at_of(repair: Repair, fitted: ComponentIn) -> datetime:
    return (
        fitted.fitted_at
        or repair.returned_at
        or repair.stopped_at
        or repair.reported_at
    )


def ended_at_of(repair: Repair, out: ComponentOut) -> datetime | None:
    """The failure as reported or, without a defect, the stop; never after removal."""
    ended_at = repair.reported_at if out.defect_detected else repair.stopped_at
    return min(ended_at, removed_at_of(repair, out)) if ended_at else None


def started_at_of(repair: Repair, fitted: ComponentIn) -> datetime | None:
    """First start: the hand-back, unless it was fitted only later."""
    given: datetime | None = fitted.details.get("started_at")
    if given is not None or repair.returned_at is None:
        return given
    return max(repair.returned_at, fitted_at_of(repair, fitted))


def changes_of(repair: Repair) -> list[ComponentChange]:
    return list(
        repair.component_changes.select_related("life__pump__site", "damaged_by")
    )


def components_now(repair: Repair) -> tuple[list[ComponentOut], list[ComponentIn]]:
    """The rows stored for a repair; a time is given only where it was not derived."""
    outs: list[ComponentOut] = []
    ins: list[ComponentIn] = []
    for change in changes_of(repair):
        if change.change == ChangeKind.OUT:
            outs.append(_out_of(repair, change))
        else:
            ins.append(_in_of(repair, change.life))
    return outs, ins


def _out_of(repair: Repair, change: ComponentChange) -> ComponentOut:
    life = change.life
    out = ComponentOut(
        life=life,
        why_removed=life.why_removed,
        defect_detected=life.defect_detected,
        condition_found=life.condition_found,
        damaged_by=change.damaged_by,
    )
    if life.removed_at == removed_at_of(repair, out):
        return out
    return replace(out, removed_at=life.removed_at)


def _in_of(repair: Repair, life: FittedLife) -> ComponentIn:
    row = ComponentIn(life.component, life.location, life=life)
    if life.fitted_at == fitted_at_of(repair, row):
        return row
    return replace(row, fitted_at=life.fitted_at)
