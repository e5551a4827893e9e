"""One entry of a tablet into the log: once for its key, whole, or as a question."""

from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from plant.access import require
from plant.models import Position, Site, User
from records.models import Repair, TabletEntry
from records.models.tablet_entry import EntryState
from records.tablet.checking import entry_check
from records.tablet.faults import Fault, Refused
from records.tablet.parts import parts_store
from records.tablet.questions import Asked
from records.tablet.reading import digest, key_read, shaped
from records.tablet.settling import Settled
from records.tablet.typed import typed_read

NOT_YOURS = "This log belongs to somebody else: log in as the one who typed it."
FORGED = "Another log came with this key before."
NO_POSITION = "There is no such position at your sites."


def entry_store(*, by: User, payload: dict[str, Any]) -> tuple[TabletEntry, bool]:
    """Store what a tablet sent; also whether it came for the first time.

    Raises
    ------
    NotReadable
        Without a key.
    PermissionDenied
        When it is another person's, of another site, or the key came before with
        something else.
    Refused
        With every fault found; nothing is stored then.
    """
    key = key_read(payload)
    if payload.get("user_id") != by.pk:
        raise PermissionDenied(NOT_YOURS)
    require(by, "records.log_repair")
    known = TabletEntry.objects.filter(key=key).first()
    if known is not None:
        return _same(known, by, payload), False
    entry = shaped(payload)
    position = _position(by, entry)
    try:
        return _store_once(by, key, payload, entry, position)
    except IntegrityError:
        # The same key at another site at the same moment: sites wait for their own.
        known = TabletEntry.objects.filter(key=key).first()
        if known is None:
            raise
        return _same(known, by, payload), False


@transaction.atomic
def _store_once(
    by: User,
    key: UUID,
    payload: dict[str, Any],
    entry: dict[str, Any],
    position: Position,
) -> tuple[TabletEntry, bool]:
    # One entry at a time per site: the second of two with one key finds the first.
    Site.objects.select_for_update(no_key=True).get(pk=position.site_id)
    known = TabletEntry.objects.filter(key=key).first()
    if known is not None:
        return _same(known, by, payload), False
    stored = TabletEntry(
        key=key,
        site=position.site,
        sent_by=by,
        payload=payload,
        payload_sha256=digest(payload),
        state=EntryState.STORED,
    )
    try:
        stored.repair = entry_into_log(by=by, position=position, entry=entry)
    except Asked as asked:
        stored.state = EntryState.QUESTION
        stored.question = asked.as_json() | {"settled": Settled().as_json()}
    stored.save()
    return stored, True


@transaction.atomic
def entry_into_log(*, by: User, position: Position, entry: dict[str, Any]) -> Repair:
    """Read, check and store a shaped entry, all or nothing.

    Raises
    ------
    Refused, Asked
        With nothing stored.
    """
    typed = typed_read(by=by, position=position, entry=entry)
    entry_check(by=by, typed=typed, register_made_at=entry["register_made_at"])
    return parts_store(by=by, typed=typed)


def _same(known: TabletEntry, by: User, payload: dict[str, Any]) -> TabletEntry:
    """What the key stored, for the one who sent the very same before."""
    if known.sent_by_id != by.pk or known.payload_sha256 != digest(payload):
        raise PermissionDenied(FORGED)
    return known


def _position(by: User, entry: dict[str, Any]) -> Position:
    if entry["position"] is None:
        raise Refused([Fault("position", "Say which position it is about.")])
    position = (
        Position.objects.visible_to(by)
        .select_related("site", "area")
        .filter(pk=entry["position"])
        .first()
    )
    if position is None:
        # The same words whether it is another site's or nobody's.
        raise PermissionDenied(NO_POSITION)
    return position
