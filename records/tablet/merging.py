"""One job logged twice: what the log lacks is filled in, what it has stays."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction

from plant.access import may
from plant.models import User
from plant.zones import site_zone
from records.choices import RepairState
from records.models import Repair, TabletEntry
from records.services.checks import checks_correct, checks_set
from records.services.component_rows import ComponentIn, ComponentOut, components_now
from records.services.costs import cost_line_add
from records.services.findings import findings_correct, findings_set
from records.services.life_changes import REASON_LENGTH
from records.services.repairs import (
    repair_correct,
    repair_lock,
    repair_update_draft,
)
from records.stories.repair_history import label_of
from records.tablet.comparison import COMPARED, ins_in_words, outs_in_words, shown
from records.tablet.merged_rows import (
    checks_together,
    costs_missing,
    meter_together,
    patterns_together,
    spare_in_words,
)
from records.tablet.typed import Typed

BLANK: tuple[Any, ...] = (None, "", [])


@dataclass(frozen=True, slots=True)
class _Merge:
    """What goes into the log, and in words what stays outside of its fields."""

    changes: dict[str, Any]
    outs: list[ComponentOut]
    ins: list[ComponentIn]
    kept_apart: list[str]


def may_merge(user: User, other: Repair) -> bool:
    """A draft is filled in by whoever logs; a signed repair is a correction."""
    if other.state == RepairState.DRAFT:
        return may(user, "records.log_repair")
    return other.is_signed and may(user, "records.correct_repair")


@transaction.atomic
def entry_merge(*, by: User, entry: TabletEntry, other: Repair, typed: Typed) -> Repair:
    """Add to the repair in the log what only the entry knows, all or nothing.

    Blank facts are filled; a fact that differs stays as the log has it and is told in
    the text, below what was sent as text.

    Raises
    ------
    ValidationError
        When the services refuse what would be added.
    """
    other = repair_lock(other)
    with site_zone(other.site):
        merge = _merge(other, typed)
        merge.kept_apart.extend(meter_together(by, other, typed))
        merge.kept_apart.extend(spare_in_words(typed))
        _put(by, other, entry, typed, merge)
        for line in costs_missing(other, typed):
            cost_line_add(by=by, repair=other, entry=line)
    return repair_lock(other)


def _merge(other: Repair, typed: Typed) -> _Merge:
    mine = typed.as_repair()
    changes: dict[str, Any] = {}
    apart = []
    for name in COMPARED:
        value, in_log = getattr(mine, name), getattr(other, name)
        if name == "text" or value in BLANK or value == in_log:
            continue
        if in_log in BLANK:
            changes[name] = value
        else:
            apart.append(f"{label_of(name)}: {shown(mine, name)}")
    outs, ins = components_now(other)
    of_pump = typed.pump is not None and typed.pump.pk == other.pump_id
    new_outs = [out for out in typed.outs if of_pump and out.life.removed_at is None]
    filled = _filled(other, ins, [*outs, *new_outs])
    new_ins = [row for row in typed.ins if of_pump and row.location not in filled]
    left_outs = [out for out in typed.outs if out not in new_outs]
    left_ins = [row for row in typed.ins if row not in new_ins]
    if left_outs:
        apart.append(f"Taken out: {outs_in_words(left_outs)}")
    if left_ins:
        apart.append(f"Fitted: {ins_in_words(left_ins)}")
    return _Merge(changes, [*outs, *new_outs], [*ins, *new_ins], apart)


def _filled(
    other: Repair, ins: list[ComponentIn], leaving: list[ComponentOut]
) -> set[str]:
    """Places where something stands that nobody takes out."""
    if other.pump is None:
        return set()
    standing = other.pump.lives.still_in().exclude(pk__in=[o.life.pk for o in leaving])
    places = standing.values_list("location", flat=True)
    return {*places, *(row.location for row in ins)}


def _text(other: Repair, entry: TabletEntry, typed: Typed, merge: _Merge) -> str:
    told = [line for line in (typed.facts["text"], *merge.kept_apart) if line]
    if not told:
        return other.text
    head = f"{entry.sent_by} logged the same job on a tablet:"
    return "\n".join(part for part in (other.text, head, *told) if part)


def _put(
    by: User,
    other: Repair,
    entry: TabletEntry,
    typed: Typed,
    merge: _Merge,
) -> None:
    changes = {**merge.changes, "text": _text(other, entry, typed, merge)}
    parts: dict[str, Any] = {"components_out": merge.outs, "components_in": merge.ins}
    checks, patterns = checks_together(other, typed), patterns_together(other, typed)
    if other.state == RepairState.DRAFT:
        repair_update_draft(by=by, repair=other, **parts, **changes)
        checks_set(by=by, repair=other, checks=checks)
        findings_set(by=by, repair=other, patterns=patterns)
        return
    reason = f"Merged with what {entry.sent_by} sent from a tablet"[:REASON_LENGTH]
    repair_correct(by=by, repair=other, reason=reason, **parts, **changes)
    checks_correct(by=by, repair=other, checks=checks, reason=reason)
    findings_correct(by=by, repair=other, patterns=patterns, reason=reason)
