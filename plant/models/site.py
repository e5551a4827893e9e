"""Sites and their areas (process units)."""

from zoneinfo import available_timezones

from django.core.exceptions import ValidationError
from django.db import models
from simple_history.models import HistoricalRecords


def validate_zone(name: str) -> None:
    if name not in available_timezones():
        raise ValidationError(
            f"{name!r} is not a time zone such as Europe/Amsterdam.", code="zone"
        )


class Site(models.Model):
    name = models.CharField(max_length=80, unique=True)
    time_zone = models.CharField(
        max_length=60, default="UTC", validators=[validate_zone]
    )
    currency = models.CharField(max_length=3, default="EUR")
    records_from = models.DateField(
        null=True, blank=True, help_text="The day the site's log begins."
    )
    rework_window_days = models.PositiveSmallIntegerField(
        default=30,
        help_text="A repair this soon after the last one is marked as rework.",
    )
    reject_counts_as_failure = models.BooleanField(
        default=False,
        help_text="Count a part found to be a reject, though nothing was noticed "
        "before, as failed in life statistics.",
    )
    energy_price_per_kwh = models.DecimalField(
        max_digits=8,
        decimal_places=4,
        null=True,
        blank=True,
        help_text="In the site's currency; empty where nobody has said.",
    )
    discount_rate = models.DecimalField(
        max_digits=6,
        decimal_places=4,
        null=True,
        blank=True,
        help_text="Real rate a year as a share, such as 0.08; empty: 0.08.",
    )

    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(energy_price_per_kwh__isnull=True)
                | models.Q(energy_price_per_kwh__gte=0),
                name="site_energy_price_not_negative",
            ),
            models.CheckConstraint(
                condition=models.Q(discount_rate__isnull=True)
                | (models.Q(discount_rate__gte=0) & models.Q(discount_rate__lt=1)),
                name="site_discount_rate_is_a_share",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Area(models.Model):
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="areas")
    name = models.CharField(max_length=80)

    class Meta:
        ordering = ["site", "name"]
        constraints = [
            models.UniqueConstraint(fields=["site", "name"], name="area_name_in_site")
        ]

    def __str__(self) -> str:
        return self.name
