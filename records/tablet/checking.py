"""Every fault of a whole entry that can be known before it is stored, at once.

The services refuse the same again; here they are asked for all of it together.
"""

from collections.abc import Iterator

from plant.models import User
from plant.zones import site_zone
from records.choices import ChangeKind, PlateCheck
from records.services.check_entries import CheckEntry, CheckRefused, read_value
from records.services.component_rows import RowRefused
from records.services.findings import findings_missing
from records.services.repair_checks import impossible_facts, missing_to_sign
from records.services.row_checks import rows_impossible
from records.tablet.faults import PATHS, Fault, faults_of, refuse
from records.tablet.questions import (
    ask_if_changed,
    ask_if_moved,
    ask_if_plate_differs,
    ask_if_spare_is_taken,
)
from records.tablet.typed import Typed

SWAP = "done.swap_to_pump"


def entry_check(*, by: User, typed: Typed, register_made_at: str) -> None:
    """Refuse what cannot be, then ask about what changed meanwhile.

    Raises
    ------
    Refused
        With all faults.
    Asked
        When the register is no longer what the tablet had.
    """
    with site_zone(typed.position.site):
        refuse(
            [
                *_facts(typed),
                *_rows(typed),
                *_swap(typed),
                *_checks(typed),
                *_findings(typed),
            ]
        )
        ask_if_moved(typed)
        ask_if_plate_differs(by, typed)
        ask_if_spare_is_taken(typed, register_made_at)
    ask_if_changed(typed, register_made_at)


def row_path(error: RowRefused) -> str:
    """Where a refused row of components stands in the payload."""
    side = "out" if error.kind == ChangeKind.OUT else "in"
    return f"done.{side}.{error.index}"


def _facts(typed: Typed) -> Iterator[Fault]:
    repair = typed.as_repair()
    faults = impossible_facts(repair)
    if typed.sign:
        faults = missing_to_sign(repair) | faults
    for name, text in faults.items():
        yield Fault(PATHS[name], text)
    if typed.pump is None and repair.plate_check == PlateCheck.READ:
        yield Fault("plate.check", "No pump is named that the plate could agree with.")


def _rows(typed: Typed) -> Iterator[Fault]:
    for refused in rows_impossible(typed.as_repair(), typed.outs, typed.ins):
        yield from (Fault(row_path(refused), text) for text in refused.messages)


def _swap(typed: Typed) -> Iterator[Fault]:
    if typed.pump is None and (typed.outs or typed.ins):
        yield Fault("pump", "No pump is named, so no component can leave it or come.")
    if typed.swap_to_pump is None:
        return
    if typed.swap_to_pump == typed.pump:
        yield Fault(SWAP, "This is the pump that stands there already.")
    if typed.facts["stopped_at"] is None:
        yield Fault("noticed.stopped_at", "The old pump leaves at the stop: say when.")
    if typed.facts["returned_at"] is None:
        yield Fault(
            "hours.returned_at",
            "The new pump stands there from the hand-back: say when.",
        )
    if typed.ins:
        yield Fault(
            SWAP,
            "The whole pump is changed: what is fitted to the old one in the shop is "
            "shop work, logged for itself.",
        )


def _checks(typed: Typed) -> Iterator[Fault]:
    for index, row in enumerate(typed.checks):
        try:
            read_value(CheckEntry(**row), index)
        except CheckRefused as error:
            yield from faults_of(error, elsewhere=f"checks.{index}.{error.field}")


def _findings(typed: Typed) -> Iterator[Fault]:
    if not typed.findings_signed:
        return
    if not typed.sign:
        yield Fault(
            "findings_signed", "Findings are signed with the hand-back or after it."
        )
    for name, text in findings_missing(typed.as_repair()).items():
        # Signing the hand-back asks for the item too; once is enough.
        if name != "item":
            yield Fault(PATHS[name], text)
