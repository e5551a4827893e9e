"""Which day of a cost counts: that of its repair or its own."""

from django.db import models


class Basis(models.TextChoices):
    """Which day puts a cost into a period."""

    EVENT = "event", "Event: day of the report"
    BOOKING = "booking", "Booking: day booked"

    @property
    def in_words(self) -> str:
        if self is Basis.EVENT:
            return (
                "Costs of repairs reported in the period, whenever they were booked. "
                "Costs booked later will still be added."
            )
        return "Costs booked in the period, whenever their repair was reported."
