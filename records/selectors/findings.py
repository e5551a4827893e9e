"""Whose findings at teardown are still open, and since when."""

from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Count, Q
from django.db.models.functions import Coalesce
from django.utils import timezone

from plant.display import count
from plant.models import User
from records.choices import RepairState
from records.models import Repair
from records.models.repair import RepairQuerySet
from records.services.half_done import FAILURES

STILL_OPEN = Q(
    state=RepairState.SIGNED,
    is_imported=False,
    category__in=FAILURES,
    findings_signed_at__isnull=True,
)
WEEK, MONTH = timedelta(days=7), timedelta(days=30)


@dataclass(frozen=True, slots=True)
class FindingsAges:
    """Open findings by the time since the hand-back, else since the report."""

    total: int
    under_a_week: int
    under_a_month: int

    def in_words(self) -> str:
        older = self.total - self.under_a_month
        to_a_month = self.under_a_month - self.under_a_week
        return (
            f"Findings are open for {count(self.total, 'repair')}: "
            f"{self.under_a_week:,} handed back within {WEEK.days} days, "
            f"{to_a_month:,} within {MONTH.days} days, {older:,} before that."
        )


def findings_open() -> RepairQuerySet:
    """Failures handed back under a name whose findings nobody has signed yet."""
    return Repair.objects.filter(STILL_OPEN)


def findings_by_age(user: User) -> FindingsAges:
    """How many are open at the user's sites."""
    now = timezone.now()
    ages = (
        findings_open()
        .visible_to(user)
        .order_by()
        .annotate(over_at=Coalesce("returned_at", "reported_at"))
        .aggregate(
            total=Count("pk"),
            under_a_week=Count("pk", filter=Q(over_at__gt=now - WEEK)),
            under_a_month=Count("pk", filter=Q(over_at__gt=now - MONTH)),
        )
    )
    return FindingsAges(**ages)


def are_findings_open(repair: Repair) -> bool:
    """The same for one row in hand."""
    return (
        repair.state == RepairState.SIGNED
        and not repair.is_imported
        and repair.category in FAILURES
        and repair.findings_signed_at is None
    )


def are_findings_closed(repair: Repair) -> bool:
    """Signed or imported, so that only a correction changes them."""
    is_frozen_import = repair.is_imported and repair.state == RepairState.SIGNED
    return repair.findings_signed_at is not None or is_frozen_import
