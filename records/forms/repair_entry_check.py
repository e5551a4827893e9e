"""Every fault of a typed repair that can be known before it is stored, at once.

The services refuse the same again; here they are asked for all of it together.
"""

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from records.forms.repairs import NewRepairForm, RepairForm
from records.models import Repair
from records.services.component_rows import components_now
from records.services.half_done import questions_of, refuse_half_done
from records.services.repair_checks import (
    impossible_facts,
    missing_to_sign,
    refuse_duplicate,
    refuse_wrong_place,
)
from records.services.row_checks import rows_impossible

if TYPE_CHECKING:
    from records.forms.repair_entry import RepairEntry

PRESS_A_BUTTON = "Enter stores nothing. Press one of the buttons below the form."


def entry_check(entry: "RepairEntry") -> None:
    """Put beside the fields what cannot be, what signing lacks and what it asks."""
    if not entry.form.data.get("action"):
        # Some browsers send a form on Enter in a date field, with no button pressed.
        entry.form.add_error(None, PRESS_A_BUTTON)
    repair = _as_typed(entry)
    faults = impossible_facts(repair)
    if entry.signs:
        faults = missing_to_sign(repair) | faults
    wrong = set(entry.form.errors)
    for name, sentence in faults.items():
        # What could not be read is said already, and is not missing.
        if name not in wrong:
            entry.form.add_error(name, sentence)
    _check_rows(entry, repair)
    if not entry.form.errors:
        _refused(entry, repair)
    if entry.signs and entry.swaps.is_valid() and entry.added.is_valid():
        _ask(entry, repair)


def _as_typed(entry: "RepairEntry") -> Repair:
    """The repair as far as it could be read, not stored."""
    repair = Repair(
        pk=entry.repair.pk if entry.repair else None,
        site=entry.position.site,
        position=entry.position,
        pump=entry.pump,
    )
    for name in RepairForm.base_fields:
        if name in entry.form.cleaned_data:
            setattr(repair, name, entry.form.cleaned_data[name])
    return repair


def _check_rows(entry: "RepairEntry", repair: Repair) -> None:
    if repair.reported_at is None or {"stopped_at", "returned_at"} & {
        *entry.form.errors
    }:
        return
    outs, ins = entry.rows()
    rows = [row for _form, row in outs]
    for refused in rows_impossible(repair, rows, [row for _form, row in ins]):
        outs[refused.index][0].add_error(None, refused.messages)


def _refused(entry: "RepairEntry", repair: Repair) -> None:
    """The place it is about, and whether it stands in the log already."""
    is_new = isinstance(entry.form, NewRepairForm)
    try:
        refuse_wrong_place(repair)
        if is_new and not entry.form.cleaned_data["save_anyway"]:
            refuse_duplicate(repair)
    except ValidationError as error:
        entry.refuse(error)


def _ask(entry: "RepairEntry", repair: Repair) -> None:
    swapped, fitted = entry.rows()
    outs = [row for _form, row in swapped]
    ins = [row for _form, row in fitted]
    answered = set(entry.form.ticked)
    if entry.is_correction and entry.repair is not None:
        answered |= {*questions_of(entry.repair, *components_now(entry.repair))}
    try:
        refuse_half_done(questions_of(repair, outs, ins), answered)
    except ValidationError as error:
        entry.refuse(error)
