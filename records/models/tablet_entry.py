"""What tablets sent: one row a key, whether it was stored or waits for an answer."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from plant.models import Site
from records.models.repair import Repair


class EntryState(models.TextChoices):
    STORED = "stored", "Stored"
    QUESTION = "question", "Needs an answer"
    ANSWERED = "answered", "Answered"


class TabletEntry(models.Model):
    """A repair as a tablet sent it, under the key made there.

    `payload` is kept as sent, so a question shows both versions and nothing is lost.
    """

    key = models.UUIDField(unique=True)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    received_at = models.DateTimeField(auto_now_add=True)
    payload = models.JSONField()
    payload_sha256 = models.CharField(max_length=64)
    state = models.CharField(max_length=10, choices=EntryState)
    question = models.JSONField(default=dict, blank=True)
    repair = models.ForeignKey(
        Repair,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="tablet_entries",
    )
    answer = models.CharField(max_length=20, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    answered_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-received_at"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="stored") | Q(repair__isnull=False),
                name="stored_entry_has_repair",
            )
        ]

    def __str__(self) -> str:
        return str(self.key)
