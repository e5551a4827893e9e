"""First entries in the histories of rows that were stored past the services."""

from typing import Any

from django.db import connection, models
from django.utils import timezone

from plant.models import DutyPeriod, FittedLife, Placement, Position, Pump, User
from records.models import Repair

REASON = "Made by the fleet generator"
KEPT = (Position, DutyPeriod, Pump, Placement, FittedLife, Repair)


def histories_begin(by: User) -> None:
    """Write down that every row was added; one statement a table."""
    for model in KEPT:
        _history_begin(model, model.history.model, by)


def _history_begin(model: type[models.Model], history: type[Any], by: User) -> None:
    quoted = connection.ops.quote_name
    own = [quoted(str(field.column)) for field in model._meta.concrete_fields]
    about: dict[str, Any] = {
        "history_date": timezone.now(),
        "history_type": "+",
        "history_change_reason": REASON,
        "history_user_id": by.pk,
    }
    listed = ", ".join(own)
    with connection.cursor() as cursor:
        # Only names of our own tables and columns are put into the statement.
        cursor.execute(
            f"INSERT INTO {quoted(history._meta.db_table)} "
            f"({listed}, {', '.join(quoted(name) for name in about)}) "
            f"SELECT {listed}, %s, %s, %s, %s FROM {quoted(model._meta.db_table)}",
            list(about.values()),
        )
