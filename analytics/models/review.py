"""Monthly reviews: the worst units, what was decided, frozen when closed."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse

from plant.models import Position, Pump, Site
from plant.models.visible import VisibleQuerySet
from records.models import Action


class ReviewState(models.TextChoices):
    OPEN = "open", "Open"
    CLOSED = "closed", "Closed"


class Decision(models.TextChoices):
    WATCH = "watch", "Watch"
    ACT = "act", "Act"
    ACCEPT = "accept", "Accept"


class ReviewQuerySet(VisibleQuerySet["Review"]):
    """Reviews, by what a person may see."""


class Review(models.Model):
    """One site's month. Closing freezes figures, rule, window, version and a hash."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="reviews")
    month = models.DateField(help_text="First day of the month reviewed.")
    window_months = models.PositiveSmallIntegerField(default=12)
    state = models.CharField(
        max_length=10, choices=ReviewState, default=ReviewState.OPEN
    )
    note = models.TextField(blank=True)
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    opened_at = models.DateTimeField(auto_now_add=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    closed_at = models.DateTimeField(null=True, blank=True)
    figures = models.JSONField(default=dict, blank=True)
    rule = models.TextField(blank=True)
    software_version = models.CharField(max_length=40, blank=True)
    data_sha256 = models.CharField(max_length=64, blank=True)

    objects = ReviewQuerySet.as_manager()

    class Meta:
        ordering = ["-month", "site"]
        permissions = [("keep_review", "Can open, decide and close reviews")]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "month"], name="one_review_a_site_and_month"
            ),
            models.CheckConstraint(
                condition=Q(state=ReviewState.OPEN)
                | (Q(closed_at__isnull=False) & ~Q(data_sha256="")),
                name="closed_review_is_frozen",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.site}, {self.month:%B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("analytics:review_detail", args=[self.pk])


class ReviewDecision(models.Model):
    """What was decided for one unit in one month, and the evidence of that day."""

    review = models.ForeignKey(
        Review, on_delete=models.CASCADE, related_name="decisions"
    )
    position = models.ForeignKey(
        Position, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    pump = models.ForeignKey(
        Pump, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    decision = models.CharField(max_length=10, choices=Decision)
    note = models.TextField(blank=True)
    evidence = models.JSONField(default=dict, blank=True)
    action = models.ForeignKey(
        Action,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="review_decisions",
    )
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    decided_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ["review", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(position__isnull=False, pump__isnull=True)
                | Q(position__isnull=True, pump__isnull=False),
                name="decision_names_one_unit",
            ),
            models.UniqueConstraint(
                fields=["review", "position"],
                condition=Q(position__isnull=False),
                name="one_decision_a_position",
            ),
            models.UniqueConstraint(
                fields=["review", "pump"],
                condition=Q(pump__isnull=False),
                name="one_decision_a_pump",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.position or self.pump}: {self.get_decision_display()}"
