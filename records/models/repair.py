"""Repairs: one row an event, what was found and done, and who stands for it."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from plant.models import FittedLife, Position, Pump, Site
from plant.models.visible import VisibleQuerySet
from records.choices import (
    SUBUNIT_OF_ITEM,
    Activity,
    Category,
    Cause,
    ChangeKind,
    Detection,
    FailureMode,
    Impact,
    Item,
    Mechanism,
    OperatingState,
    PlateCheck,
    Release,
    RepairState,
    Subunit,
)


class RepairQuerySet(VisibleQuerySet["Repair"]):
    def not_void(self) -> "RepairQuerySet":
        return self.exclude(state=RepairState.VOID)

    def open(self) -> "RepairQuerySet":
        """Pumps not yet handed back, or repairs not yet signed."""
        return self.not_void().filter(
            Q(state=RepairState.DRAFT)
            | Q(stopped_at__isnull=False, returned_at__isnull=True)
        )


class Repair(models.Model):
    """A repair belongs to a pump and, through its placement, to a position.

    Its stop and hand-back are the stoppage of the position. Shop work names the
    repair whose stoppage it belongs to and never counts again.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="repairs")
    number = models.CharField(max_length=40)
    position = models.ForeignKey(
        Position, on_delete=models.PROTECT, related_name="repairs"
    )
    pump = models.ForeignKey(
        Pump, null=True, blank=True, on_delete=models.PROTECT, related_name="repairs"
    )
    shop_work_of = models.ForeignKey(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="shop_work",
    )

    reported_at = models.DateTimeField()
    stopped_at = models.DateTimeField(null=True, blank=True)
    returned_at = models.DateTimeField(null=True, blank=True)

    category = models.CharField(max_length=20, choices=Category)
    activity = models.CharField(max_length=2, choices=Activity, blank=True)
    operating_state = models.CharField(
        max_length=20, choices=OperatingState, blank=True
    )
    release = models.CharField(max_length=20, choices=Release, blank=True)
    failure_mode = models.CharField(max_length=3, choices=FailureMode, blank=True)
    impact = models.CharField(max_length=20, choices=Impact, blank=True)
    detection = models.CharField(max_length=2, choices=Detection, blank=True)
    item = models.CharField(max_length=30, choices=Item, blank=True)
    mechanism = models.CharField(max_length=3, choices=Mechanism, blank=True)
    cause = models.CharField(max_length=3, choices=Cause, blank=True)
    also_renewed = models.JSONField(default=list, blank=True)

    active_hours = models.FloatField(null=True, blank=True)
    delay_hours = models.FloatField(null=True, blank=True)
    man_hours = models.FloatField(null=True, blank=True)
    text = models.TextField(blank=True)

    permit_reference = models.CharField(max_length=60, blank=True)
    isolation_reference = models.CharField(max_length=60, blank=True)
    decontamination_reference = models.CharField(max_length=60, blank=True)
    plate_check = models.CharField(max_length=10, choices=PlateCheck, blank=True)

    state = models.CharField(
        max_length=10, choices=RepairState, default=RepairState.DRAFT
    )
    signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    signed_at = models.DateTimeField(null=True, blank=True)
    findings_signed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
    )
    findings_signed_at = models.DateTimeField(null=True, blank=True)
    void_reason = models.CharField(max_length=300, blank=True)
    is_imported = models.BooleanField(default=False)

    objects = RepairQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta:
        ordering = ["-reported_at", "-pk"]
        permissions = [
            ("log_repair", "Can log and sign repairs"),
            ("correct_repair", "Can correct signed repairs"),
            ("void_repair", "Can void repairs"),
            ("import_fleet", "Can import a fleet"),
            ("see_costs", "Can see and export costs"),
        ]
        indexes = [
            models.Index(fields=["position", "reported_at"], name="repair_by_position"),
            models.Index(fields=["pump", "reported_at"], name="repair_by_pump"),
            models.Index(fields=["site", "-reported_at"], name="repair_by_site"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["site", "number"], name="repair_number_in_site"
            ),
            models.CheckConstraint(
                condition=Q(returned_at__isnull=True)
                | (Q(stopped_at__isnull=False) & Q(returned_at__gte=F("stopped_at"))),
                name="repair_returned_after_stopped",
            ),
            models.CheckConstraint(
                condition=Q(returned_at__isnull=True)
                | Q(returned_at__gte=F("reported_at")),
                name="repair_returned_after_reported",
            ),
            models.CheckConstraint(
                condition=Q(state=RepairState.DRAFT) | Q(signed_at__isnull=False),
                name="repair_signed_has_time",
            ),
            models.CheckConstraint(
                condition=~Q(state=RepairState.VOID) | ~Q(void_reason=""),
                name="repair_void_has_reason",
            ),
            models.CheckConstraint(
                condition=(Q(active_hours__isnull=True) | Q(active_hours__gte=0))
                & (Q(delay_hours__isnull=True) | Q(delay_hours__gte=0))
                & (Q(man_hours__isnull=True) | Q(man_hours__gte=0)),
                name="repair_hours_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    def get_absolute_url(self) -> str:
        return reverse("records:repair_detail", args=[self.pk])

    @property
    def subunit(self) -> Subunit:
        return SUBUNIT_OF_ITEM.get(self.item, Subunit.UNKNOWN)

    @property
    def down_hours(self) -> float | None:
        """Hours from stop to hand-back; None while stopped or never stopped."""
        if self.stopped_at is None or self.returned_at is None:
            return None
        return (self.returned_at - self.stopped_at).total_seconds() / 3600

    @property
    def is_signed(self) -> bool:
        return self.state == RepairState.SIGNED


class ComponentChange(models.Model):
    """A seal or bearing that a repair took out or fitted."""

    repair = models.ForeignKey(
        Repair, on_delete=models.CASCADE, related_name="component_changes"
    )
    life = models.ForeignKey(
        FittedLife, on_delete=models.PROTECT, related_name="component_changes"
    )
    change = models.CharField(max_length=3, choices=ChangeKind)
    damaged_by = models.ForeignKey(
        Repair,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="The event that damaged it, when that was another item or unit.",
    )

    class Meta:
        ordering = ["repair", "change", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["life", "change"], name="life_fitted_and_removed_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.life} {self.get_change_display().lower()}"
