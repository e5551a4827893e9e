"""Storing one row of the register: checked, with its author, refused in sentences."""

from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, models, transaction

from plant.days import refuse_far_days
from plant.models import User

ONE_PLACE = (
    "A pump is at one position at a time, and a position holds one pump: look where "
    "they stand now, and log the move again."
)
ONE_PART = "Something else is fitted in that place: take it out first."
SENTENCES = {
    "pump_at_one_position": ONE_PLACE,
    "position_holds_one_pump": ONE_PLACE,
    "pump_placements_do_not_overlap": ONE_PLACE,
    "position_placements_do_not_overlap": ONE_PLACE,
    "placement_removed_after_placed": "A pump does not leave before it came.",
    "one_life_still_in_per_location": ONE_PART,
    "lives_do_not_overlap": ONE_PART,
    "life_location_matches_component": "Choose a place where such a component stands.",
    "life_removed_after_fitted": "It does not come out before it was fitted.",
    "life_started_after_fitted": "It does not start before it was fitted.",
    "life_ended_between_fitted_and_removed": "Its end lies between its fitting and its "
    "removal.",
    "life_age_known_has_age": "Give the age it already had, in days or hours.",
    "life_still_in_has_no_removal_reason": "What is still in has no reason of removal.",
    "one_duty_period_per_day": "Somebody else stored the duty from that day at the "
    "same moment: look at it, and store yours again.",
    "running_share_between_0_and_1": "The running share lies between 0 and 100 %.",
    "one_acceptance_point_a_flow": "This pump has a point at that flow already.",
    "acceptance_point_above_zero": "Flow, head, power and density are above zero.",
    "position_out_after_in": "It does not leave service before it came into service.",
}
AT_ONCE = "Somebody else changed this at the same moment: look at it, and try again."


def row_store(row: models.Model, by: User) -> None:
    """Check `row` and save it, with `by` in its history.

    Raises
    ------
    ValidationError
        In sentences, also for what only the database saw: two people at once.
    """
    row._history_user = by  # type: ignore[attr-defined]
    refuse_far_days(row)
    try:
        row.full_clean()
    except ValidationError as error:
        raise ValidationError(_worded(row, error)) from error
    try:
        # A savepoint: PostgreSQL does nothing more in a transaction that failed.
        with transaction.atomic():
            row.save()
    except IntegrityError as error:
        raise ValidationError(_sentence(error), code="at_once") from error


def _worded(row: models.Model, error: ValidationError) -> dict[str, list[Any]]:
    """The errors of each field, those of a named constraint in our sentence."""
    raw = {
        str(constraint.get_violation_error_message()): SENTENCES[constraint.name]
        for constraint in row._meta.constraints
        if constraint.name in SENTENCES
    }
    worded: dict[str, list[Any]] = {**error.error_dict}
    if NON_FIELD_ERRORS in worded:
        worded[NON_FIELD_ERRORS] = [
            raw.get(one.messages[0], one) for one in error.error_dict[NON_FIELD_ERRORS]
        ]
    return worded


def _sentence(error: IntegrityError) -> str:
    text = str(error)
    return next((said for name, said in SENTENCES.items() if name in text), AT_ONCE)
