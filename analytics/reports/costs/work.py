"""Which repairs a cost report is about: all, failures alone, or the others."""

from django.db import models
from django.db.models import Q

from records.counting import Rule
from records.selectors.repair_filter import counted_as


class Work(models.TextChoices):
    """Failures are those of the counting rule, each with its shop work."""

    ALL = "all", "All repairs"
    FAILURES = "failures", "Failures only"
    OTHER = "other", "Preventive and other"

    @property
    def in_words(self) -> str:
        return {
            Work.ALL: "All repairs, preventive and other work included.",
            Work.FAILURES: "Only failures by the counting rule, with their shop work.",
            Work.OTHER: "Only what is no failure by the counting rule, such as "
            "preventive work.",
        }[self]

    @property
    def counted_as(self) -> str:
        """The word for it in the filter of the repairs page."""
        return {
            Work.ALL: "",
            Work.FAILURES: "failure work",
            Work.OTHER: "other work",
        }[self]

    def repairs(self, rules: dict[int, Rule]) -> Q:
        """Condition for repairs; FAILURES and OTHER together are ALL."""
        return counted_as(self.counted_as, rules)
