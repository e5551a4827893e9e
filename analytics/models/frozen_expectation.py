"""What was expected of an action's units on the day it was decided."""

from django.db import models

from records.models import Action


class FrozenExpectation(models.Model):
    """Posterior rates without the action; later data never change them."""

    action = models.OneToOneField(
        Action, on_delete=models.CASCADE, related_name="expectation"
    )
    as_of = models.DateField()
    window_months = models.PositiveSmallIntegerField()
    figures = models.JSONField()
    rule = models.TextField()
    software_version = models.CharField(max_length=40)
    frozen_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["action"]

    def __str__(self) -> str:
        return f"Expectation for {self.action}"
