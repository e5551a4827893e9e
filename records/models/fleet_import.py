"""One import of a fleet: its files, how they are to be read, what was found."""

from django.conf import settings
from django.db import models

from plant.models import Job, Site


class FleetImport(models.Model):
    """Checked first; stored only after a person has seen the result."""

    class State(models.TextChoices):
        CHECKING = "checking", "Being checked"
        FAULTY = "faulty", "Has faults"
        READY = "ready", "Ready to store"
        STORING = "storing", "Being stored"
        STORED = "stored", "Stored"
        FAILED = "failed", "Could not be finished"

    state = models.CharField(max_length=10, choices=State, default=State.CHECKING)
    job = models.ForeignKey(Job, null=True, on_delete=models.SET_NULL, related_name="+")
    separator = models.CharField(max_length=4, default="auto")
    decimal = models.CharField(max_length=4, default="auto")
    date_order = models.CharField(max_length=3, default="iso")
    encoding = models.CharField(max_length=20, default="utf-8")
    summary = models.JSONField(default=dict)
    faults = models.JSONField(default=list)
    fault_count = models.PositiveIntegerField(default=0)
    notes = models.JSONField(default=list)
    sites = models.ManyToManyField(Site, related_name="+")
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    asked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-asked_at"]

    def __str__(self) -> str:
        return f"Import {self.pk}"


class FleetImportFile(models.Model):
    """A file as it was sent, kept until the import is stored."""

    fleet_import = models.ForeignKey(
        FleetImport, on_delete=models.CASCADE, related_name="files"
    )
    name = models.CharField(max_length=200)
    content = models.FileField(upload_to="imports/")

    def __str__(self) -> str:
        return self.name
