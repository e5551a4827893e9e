"""Rows of two versions of one job put together: those in the log go first."""

from collections.abc import Iterator

from django.core.exceptions import ValidationError
from django.db import transaction

from plant import display
from plant.models import User
from records.models import Repair
from records.services.check_entries import CheckEntry
from records.services.costs import CostEntry
from records.services.hours import hours_record
from records.tablet.typed import Typed

CHECK_FIELDS = (
    "kind",
    "stage",
    "entered_value",
    "entered_unit",
    "not_measured_reason",
    "out_of_limit_reason",
    "instrument",
)


def checks_together(other: Repair, typed: Typed) -> list[CheckEntry]:
    """Checks in the log as they are, then those it lacks."""
    in_log = [
        CheckEntry(
            **{name: getattr(row, name) for name in CHECK_FIELDS},
            measured_at=row.measured_at,
        )
        for row in other.checks.all()
    ]
    there = {(row.kind, row.stage) for row in in_log}
    sent = [CheckEntry(**row) for row in typed.checks]
    return [*in_log, *(row for row in sent if (row.kind, row.stage) not in there)]


def patterns_together(other: Repair, typed: Typed) -> list[tuple[str, str]]:
    rows = other.teardown_findings.values_list("pattern", "note")
    in_log: dict[str, str] = dict(rows)
    sent = {code: note for code, note in typed.patterns if code not in in_log}
    return [*in_log.items(), *sent.items()]


def costs_missing(other: Repair, typed: Typed) -> list[CostEntry]:
    """Amounts of kinds that the log has none of; the same bill is not added twice."""
    there = set(other.cost_lines.standing().values_list("kind", flat=True))
    return [line for line in typed.costs if line.kind not in there]


def meter_together(by: User, other: Repair, typed: Typed) -> Iterator[str]:
    """Keep the meter as read at the stop; one that cannot be is told in the text."""
    if typed.meter_hours is None:
        return
    stopped_at = typed.facts["stopped_at"] or typed.facts["reported_at"]
    try:
        # A savepoint: what is refused here stops nothing else.
        with transaction.atomic():
            hours_record(
                by=by,
                position=other.position,
                read_at=other.stopped_at or stopped_at,
                meter_hours=typed.meter_hours,
                is_new_meter=typed.is_new_meter,
            )
    except ValidationError as error:
        read = display.hours(typed.meter_hours)
        yield f"Running-hour meter: {read}. Not stored: {' '.join(error.messages)}"


def spare_in_words(typed: Typed) -> Iterator[str]:
    """A pump that was changed is moved in the register, where its time is asked."""
    if typed.swap_to_pump is not None:
        yield (
            f"The whole pump was changed for {typed.swap_to_pump}; it is not moved in "
            "the register by this."
        )
