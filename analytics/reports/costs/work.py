"""Which repairs a cost report is about: all, failures alone, or the others."""

from django.db import models
from django.db.models import Q

from records.counting import Rule, counted_failures
from records.models import Repair


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

    def repairs(self, rules: dict[int, Rule]) -> Q:
        """Condition for repairs; FAILURES and OTHER together are ALL."""
        if self is Work.ALL:
            return Q()
        own = Repair.objects.filter(counted_failures(rules)).order_by().values("pk")
        of_failures = Q(pk__in=own) | Q(shop_work_of__in=own)
        if self is Work.FAILURES:
            return of_failures
        # A plain negation would lose rows that are shop work of nothing.
        with_shop_work = Repair.objects.filter(of_failures).order_by().values("pk")
        return ~Q(pk__in=with_shop_work)
