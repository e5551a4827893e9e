"""Photos of a repair, checked and stripped on the server."""

import uuid

from django.conf import settings
from django.db import models

from records.models.repair import Repair


def photo_path(photo: "Photo", filename: str) -> str:
    """Where the file goes; nothing of the name it came with is kept."""
    return f"photos/{photo.key.hex[:2]}/{photo.key.hex}.jpg"


class Photo(models.Model):
    """One picture; `key` is made on the tablet, so that sending twice stores once."""

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    repair = models.ForeignKey(Repair, on_delete=models.PROTECT, related_name="photos")
    picture = models.FileField(upload_to=photo_path)
    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size_bytes = models.PositiveIntegerField()
    caption = models.CharField(max_length=200, blank=True)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    stored_at = models.DateTimeField(auto_now_add=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["repair", "pk"]

    def __str__(self) -> str:
        return self.caption or f"Photo {self.pk}"
