"""Actions: what was decided for a unit, by when, and whether it worked."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from plant.models import Position, Pump, Site
from plant.models.visible import VisibleQuerySet
from records.action_choices import ActionState, ChangeMade, Verdict
from records.models.repair import Repair


class ActionQuerySet(VisibleQuerySet["Action"]):
    def open(self) -> "ActionQuerySet":
        return self.filter(state=ActionState.OPEN)


class Action(models.Model):
    """One decision. Done is a date; whether it worked is judged at a planned date."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="actions")
    title = models.CharField(max_length=160)
    reason = models.TextField(blank=True)
    change_made = models.CharField(max_length=30, choices=ChangeMade)
    positions = models.ManyToManyField(Position, blank=True, related_name="actions")
    pump = models.ForeignKey(
        Pump, null=True, blank=True, on_delete=models.PROTECT, related_name="actions"
    )
    population = models.CharField(
        max_length=120,
        blank=True,
        help_text="Seals or bearings it is about, such as a part number.",
    )
    finding = models.ForeignKey(
        Repair, null=True, blank=True, on_delete=models.PROTECT, related_name="actions"
    )
    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    due_on = models.DateField()
    expected_fewer_repairs_per_year = models.FloatField(null=True, blank=True)
    cost = models.DecimalField(max_digits=14, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    state = models.CharField(
        max_length=10, choices=ActionState, default=ActionState.OPEN
    )
    decided_at = models.DateTimeField()
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    done_on = models.DateField(null=True, blank=True)
    judge_after_months = models.PositiveSmallIntegerField(default=12)
    verdict = models.CharField(max_length=20, choices=Verdict, blank=True)
    verdict_note = models.TextField(blank=True)
    judged_at = models.DateTimeField(null=True, blank=True)
    judged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    dropped_reason = models.CharField(max_length=300, blank=True)

    objects = ActionQuerySet.as_manager()
    history = HistoricalRecords(m2m_fields=[positions])

    class Meta:
        ordering = ["due_on", "pk"]
        permissions = [("decide_action", "Can decide, judge and drop actions")]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state=ActionState.DROPPED) | ~Q(dropped_reason=""),
                name="action_dropped_has_reason",
            ),
            models.CheckConstraint(
                condition=~Q(state__in=[ActionState.DONE, ActionState.JUDGED])
                | Q(done_on__isnull=False),
                name="action_done_has_day",
            ),
            models.CheckConstraint(
                condition=~Q(state=ActionState.JUDGED) | ~Q(verdict=""),
                name="action_judged_has_verdict",
            ),
            models.CheckConstraint(
                condition=Q(judge_after_months__in=[3, 6, 12, 18, 24, 36]),
                name="action_judged_after_whole_looks",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("records:action_detail", args=[self.pk])
