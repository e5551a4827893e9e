"""The one rule of time spans: what stands in one place does not overlap.

PostgreSQL holds it with exclusion constraints as well; on SQLite these checks run
inside a transaction that already has the write lock.
"""

from datetime import datetime
from typing import TypeVar

from django.db import models
from django.db.models import Q

Row = TypeVar("Row", bound=models.Model)


def first_overlap(
    rows: models.QuerySet[Row],
    *,
    starts_at: datetime,
    ends_at: datetime | None,
    start_field: str,
    end_field: str,
) -> Row | None:
    """First of `rows` whose half-open span meets the given one; None without."""
    meets = Q(**{f"{end_field}__isnull": True}) | Q(**{f"{end_field}__gt": starts_at})
    if ends_at is not None:
        meets &= Q(**{f"{start_field}__lt": ends_at})
        if ends_at == starts_at:
            return None
    not_empty = Q(**{f"{end_field}__isnull": True}) | ~Q(
        **{end_field: models.F(start_field)}
    )
    return rows.filter(meets, not_empty).order_by(start_field).first()
