"""What earlier months left under watch or in work, and since when."""

from dataclasses import dataclass

from analytics.models import Review, ReviewDecision
from analytics.models.review import Decision
from analytics.reports.bad_actors.report import UnitKind


@dataclass(frozen=True, slots=True)
class Carried:
    """The last decision about a unit, the month it is of, and the unit's name."""

    decision: str
    month: str
    label: str


def carried_over(review: Review) -> dict[str, Carried]:
    """By unit the last decision of any month before, unless that accepted it.

    A unit that a month between left undecided stays carried.
    """
    rows = (
        ReviewDecision.objects.filter(
            review__site=review.site_id, review__month__lt=review.month
        )
        .select_related("review", "position", "pump")
        .order_by("review__month", "pk")
    )
    last = {_key(row): row for row in rows}
    return {
        key: Carried(
            row.decision, f"{row.review.month:%B %Y}", str(row.position or row.pump)
        )
        for key, row in last.items()
        if row.decision != Decision.ACCEPT
    }


def _key(row: ReviewDecision) -> str:
    kind = UnitKind.MACHINE if row.position_id is None else UnitKind.POSITION
    return f"{kind.value}-{row.position_id or row.pump_id}"
