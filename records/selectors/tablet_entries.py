"""Which logs of tablets wait for an answer."""

from django.db.models import QuerySet

from plant.access import sites_visible
from plant.models import User
from records.models import Repair, TabletEntry
from records.models.tablet_entry import EntryState


def entries_visible(user: User) -> QuerySet[TabletEntry]:
    return TabletEntry.objects.filter(site__in=sites_visible(user)).select_related(
        "site", "sent_by", "answered_by", "repair"
    )


def questions_open(user: User) -> QuerySet[TabletEntry]:
    """Oldest first: who waits longest is answered first."""
    rows = entries_visible(user).filter(state=EntryState.QUESTION)
    return rows.order_by("received_at", "pk")


def entries_of(repair: Repair) -> QuerySet[TabletEntry]:
    """The logs from tablets that are in this repair."""
    return repair.tablet_entries.select_related("sent_by", "answered_by").order_by(
        "received_at"
    )
