"""Spans between events of the log, in words."""

from datetime import timedelta

from django.utils import timezone

from plant import display
from records.choices import RepairState
from records.models import Repair

# From here on the hours say nothing more.
WHOLE_DAYS_FROM = timedelta(days=2)


def since_in_words(span: timedelta) -> str:
    """`1 d 4 h`, but `2,649 days` for what is long ago."""
    if span < WHOLE_DAYS_FROM:
        return display.duration(span)
    return f"{span.days:,} days"


def down_in_words(repair: Repair) -> str:
    """The stoppage; one that is still open is counted to now and says so."""
    if repair.stopped_at is None or repair.state == RepairState.VOID:
        return display.duration(repair.down_hours)
    if repair.returned_at is None:
        return f"{display.duration(timezone.now() - repair.stopped_at)} so far"
    return display.duration(repair.down_hours)


def rework_in_words(span: timedelta, *, same_item: bool) -> str:
    item = "the same item" if same_item else "another item"
    return f"rework: {since_in_words(span)} after the last repair ({item})"
