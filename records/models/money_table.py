"""Yearly rates of exchange and price levels, kept by the administrator."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

FIRST_YEAR, LAST_YEAR = 1950, 2100
YEARS = [MinValueValidator(FIRST_YEAR), MaxValueValidator(LAST_YEAR)]
CODE = r"^[A-Z]{3}$"


class ExchangeRate(models.Model):
    """What one unit of a currency was worth in another one, over one year."""

    year = models.PositiveSmallIntegerField(validators=YEARS)
    currency = models.CharField(max_length=3)
    into = models.CharField(max_length=3)
    rate = models.DecimalField(
        max_digits=18,
        decimal_places=8,
        help_text="Units of the second currency for one unit of the first.",
    )
    source = models.CharField(max_length=120, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["currency", "into", "-year"]
        permissions = [
            ("keep_money_tables", "Can keep rates of exchange and price levels")
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["year", "currency", "into"], name="one_rate_a_year"
            ),
            models.CheckConstraint(condition=Q(rate__gt=0), name="rate_above_zero"),
            models.CheckConstraint(
                condition=~Q(currency=F("into")), name="rate_between_two_currencies"
            ),
            models.CheckConstraint(
                condition=Q(currency__regex=CODE) & Q(into__regex=CODE),
                name="rate_currency_codes",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.currency} in {self.into}, {self.year}"


class PriceLevel(models.Model):
    """Price index of one currency in one year; only ratios of levels are used."""

    currency = models.CharField(max_length=3)
    year = models.PositiveSmallIntegerField(validators=YEARS)
    level = models.DecimalField(
        max_digits=12,
        decimal_places=4,
        help_text="Yearly mean of the index, any base year.",
    )
    source = models.CharField(max_length=120, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["currency", "-year"]
        constraints = [
            models.UniqueConstraint(
                fields=["currency", "year"], name="one_price_level_a_year"
            ),
            models.CheckConstraint(
                condition=Q(level__gt=0), name="price_level_above_zero"
            ),
            models.CheckConstraint(
                condition=Q(currency__regex=CODE), name="price_level_currency_code"
            ),
        ]

    def __str__(self) -> str:
        return f"Price level of {self.currency}, {self.year}"
