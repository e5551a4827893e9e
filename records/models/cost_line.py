"""Cost lines: an append-only ledger beside the repairs."""

from django.conf import settings
from django.db import models
from django.db.models import Exists, OuterRef, Q

from records.choices import CostKind, CostStatus
from records.models.repair import Repair


class CostLineQuerySet(models.QuerySet["CostLine"]):
    def standing(self) -> "CostLineQuerySet":
        """Lines that no later line replaced: these are what is added up.

        Asked as "no such line exists": of a left join PostgreSQL expects one row, and
        then looks every line up by itself. That it replaces anything is said again so
        that only the few lines which do are read.
        """
        later = CostLine.objects.filter(replaces=OuterRef("pk"), replaces__isnull=False)
        return self.filter(~Exists(later))


class CostLine(models.Model):
    """One amount. A better figure is a new line that replaces this one."""

    repair = models.ForeignKey(
        Repair, on_delete=models.PROTECT, related_name="cost_lines"
    )
    kind = models.CharField(max_length=30, choices=CostKind)
    amount = models.DecimalField(max_digits=14, decimal_places=2)
    currency = models.CharField(max_length=3)
    status = models.CharField(max_length=10, choices=CostStatus)
    booked_on = models.DateField()
    replaces = models.OneToOneField(
        "self",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="replaced_by",
    )
    note = models.CharField(max_length=200, blank=True)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    entered_at = models.DateTimeField(auto_now_add=True)

    objects = CostLineQuerySet.as_manager()

    class Meta:
        ordering = ["repair", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(currency__regex=r"^[A-Z]{3}$"), name="currency_code"
            )
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.amount} {self.currency}"
