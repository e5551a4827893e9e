"""Photos of one repair for its page."""

from typing import Any

from django.urls import reverse

from plant import display
from plant.models import User
from records.models import Photo, Repair
from records.services.photos import may_withdraw


def photos_shown(repair: Repair, user: User) -> list[dict[str, Any]]:
    """Those not withdrawn, oldest first, each with its way to be withdrawn."""
    rows = repair.photos.filter(withdrawn_reason="").select_related("taken_by")
    return [_shown(photo, user) for photo in rows]


def photos_withdrawn(repair: Repair) -> int:
    return repair.photos.exclude(withdrawn_reason="").count()


def _shown(photo: Photo, user: User) -> dict[str, Any]:
    who = f"{photo.taken_by}, " if photo.taken_by else ""
    withdraw = reverse("records:photo_withdraw", args=[photo.pk])
    return {
        "url": reverse("records:photo", args=[photo.pk]),
        "width": photo.width,
        "height": photo.height,
        "caption": photo.caption or "Photo without a caption",
        "note": f"{who}{display.date_time(photo.stored_at)}",
        "withdraw_url": withdraw if may_withdraw(user, photo) else "",
    }
