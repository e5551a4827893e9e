"""What the verdict on an action rested on, on the day it was given."""

from django.db import models

from records.models import Action


class FrozenVerdict(models.Model):
    """The figures that stood beside a verdict; later data never change them."""

    action = models.OneToOneField(
        Action, on_delete=models.CASCADE, related_name="verdict_figures"
    )
    as_of = models.DateField(help_text="Last day whose records count.")
    figures = models.JSONField()
    method = models.TextField()
    software_version = models.CharField(max_length=40)
    frozen_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["action"]

    def __str__(self) -> str:
        return f"Figures of the verdict on {self.action}"
