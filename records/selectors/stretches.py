"""Which stretch of time a row falls into, asked of the database in one expression."""

from collections.abc import Sequence
from typing import Any

from django.db.models import Case, IntegerField, Value, When
from django.db.models.expressions import Combinable


def stretch_of(field: str, starts: Sequence[Any]) -> Combinable:
    """How many of `starts`, in order, lie at or before the value of `field`.

    0 is before the first. Written as a tree of halves, so that forty starts cost a row
    six comparisons.
    """
    return _half(field, list(starts), 0, len(starts))


def _half(field: str, starts: list[Any], low: int, high: int) -> Combinable:
    if low == high:
        return Value(low, output_field=IntegerField())
    middle = (low + high) // 2
    is_before = {f"{field}__lt": starts[middle]}
    return Case(
        When(**is_before, then=_half(field, starts, low, middle)),
        default=_half(field, starts, middle + 1, high),
        output_field=IntegerField(),
    )
