"""Long work in the background, with the progress that pages show."""

from django.conf import settings
from django.db import models


class Job(models.Model):
    """One piece of background work: who asked, how far it is, what came out."""

    class State(models.TextChoices):
        WAITING = "waiting", "Waiting"
        RUNNING = "running", "Running"
        DONE = "done", "Done"
        FAILED = "failed", "Failed"

    kind = models.CharField(max_length=40)
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    message = models.TextField(blank=True)
    question = models.JSONField(default=dict, blank=True)
    """What a file was asked for, as its page sends it."""
    sites = models.JSONField(null=True, blank=True)
    """Keys of the sites that a file tells of; None where that is not on record."""
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["-asked_at"]

    def __str__(self) -> str:
        return f"{self.kind}: {self.state}"

    @property
    def is_over(self) -> bool:
        return self.state in (self.State.DONE, self.State.FAILED)
