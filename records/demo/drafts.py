"""Two repairs of the demo that are still being worked on when it is loaded."""

from datetime import datetime, timedelta

from plant.models import Position, Site, User
from records.choices import Category, FailureMode, Impact, Item, OperatingState, Release
from records.services.repairs import repair_log


def drafts_log(site: Site, by: User, now: datetime) -> None:
    """A pump that waits for its seal, and a weep that was only seen so far."""
    repair_log(
        by=by,
        position=Position.objects.get(site=site, tag="P-1308B"),
        reported_at=now - timedelta(days=2, hours=6),
        stopped_at=now - timedelta(days=2),
        category=Category.CORRECTIVE,
        failure_mode=FailureMode.ELP,
        impact=Impact.CRITICAL,
        operating_state=OperatingState.RUNNING,
        release=Release.CONTAINED,
        item=Item.SEAL,
        text="Seal leaks a steady stream. Stopped; the new seal comes on Thursday.",
    )
    repair_log(
        by=by,
        position=Position.objects.get(site=site, tag="P-1122"),
        reported_at=now - timedelta(hours=20),
        category=Category.CONDITION,
        failure_mode=FailureMode.VIB,
        impact=Impact.INCIPIENT,
        operating_state=OperatingState.RUNNING,
        release=Release.NONE,
        item=Item.RADIAL_BEARING,
        text="Vibration at the drive end has crept up since last month.",
    )
