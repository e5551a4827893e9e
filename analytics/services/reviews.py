"""Reviews opened, decided and closed; a closed one never changes."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from analytics.models import Review, ReviewDecision, ReviewState
from analytics.models.review import Decision
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews.figures import (
    Figures,
    flagged_units,
    month_end,
    review_figures,
    review_rule,
    review_window,
)
from analytics.reports.reviews.fingerprint import data_sha256
from analytics.reports.reviews.units import unit_key
from analytics.scope import today
from plant.access import require
from plant.models import Position, Pump, Site, User
from plant.version import VERSION
from records.models import Action

TRIES = 3
WINDOWS = (12, 24, 36)


@transaction.atomic
def review_open(
    *, by: User, site: Site, month: date, window_months: int = 12
) -> Review:
    """Begin the review of a month.

    Raises
    ------
    ValidationError
        When the month is still to come, or has a review at this site.
    """
    require(by, "analytics.keep_review", site=site)
    month = month.replace(day=1)
    if month > today():
        raise ValidationError({"month": "This month is still to come."})
    if window_months not in WINDOWS:
        raise ValidationError({"window_months": "Choose 12, 24 or 36 months."})
    review, made = Review.objects.get_or_create(
        site=site,
        month=month,
        defaults={"window_months": window_months, "opened_by": by},
    )
    if not made:
        raise ValidationError({"month": f"{review} has a review already."})
    return review


@transaction.atomic
def review_decide(
    *,
    by: User,
    review: Review,
    unit: Position | Pump,
    decision: str,
    note: str = "",
    action: Action | None = None,
    evidence: Figures | None = None,
) -> ReviewDecision:
    """Say what is done about one unit; a later word replaces an earlier one.

    Raises
    ------
    ValidationError
        When the review is closed, or the unit or action is of another site.
    """
    review = _open_row(by, review)
    if unit.site_id != review.site_id:
        raise ValidationError(f"{unit} is not of {review.site}.")
    if action is not None and action.site_id != review.site_id:
        raise ValidationError({"action": "This action is of another site."})
    named = {"position" if isinstance(unit, Position) else "pump": unit}
    row = ReviewDecision.objects.filter(review=review, **named).first()
    row = row or ReviewDecision(review=review, **named)
    row.decision, row.note = Decision(decision), note.strip()
    row.action, row.decided_by = action, by
    row.evidence = evidence or {}
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def review_note(*, by: User, review: Review, note: str) -> None:
    """Keep the words that stand above the whole review."""
    review = _open_row(by, review)
    review.note = note.strip()
    review.save(update_fields=["note"])


def review_close(*, by: User, review: Review) -> Review:
    """Freeze figures, rule, window, version and the hash of the data used.

    Raises
    ------
    ValidationError
        When the month still runs, a flagged unit is without a decision, the review
        is closed, or the records changed while the figures were worked out.
    """
    require(by, "analytics.keep_review", site=review.site)
    if month_end(review.month) >= today():
        raise ValidationError(
            f"{review.month:%B %Y} is not over yet; its figures still grow."
        )
    # Worked out before the row is held: it takes seconds on a large fleet.
    figures, sha256 = _steady_figures(review, by)
    with transaction.atomic():
        row = _open_row(by, review)
        _refuse_undecided(row, figures)
        if data_sha256(row.site, review_window(row)) != sha256:
            raise ValidationError(CHANGED)
        row.figures, row.data_sha256 = figures, sha256
        row.rule, row.software_version = review_rule(row, by), VERSION
        row.closed_by, row.closed_at = by, timezone.now()
        row.state = ReviewState.CLOSED
        row.full_clean()
        row.save()
    return row


CHANGED = "The records changed while the figures were worked out. Close it again."


def _steady_figures(review: Review, by: User) -> tuple[Figures, str]:
    """Figures with the hash of the very rows they came from."""
    window = review_window(review)
    before = data_sha256(review.site, window)
    for _ in range(TRIES):
        figures = review_figures(review, by)
        after = data_sha256(review.site, window)
        if after == before:
            return figures, after
        before = after
    raise ValidationError(CHANGED)


def _refuse_undecided(review: Review, figures: Figures) -> None:
    decided = {
        unit_key(
            UnitKind.MACHINE if row.position_id is None else UnitKind.POSITION,
            row.position_id or row.pump_id or 0,
        )
        for row in review.decisions.all()
    }
    left = [u["label"] for u in flagged_units(figures) if u["id"] not in decided]
    if left:
        raise ValidationError(f"Flagged and not decided yet: {', '.join(left)}.")


def _open_row(by: User, review: Review) -> Review:
    """The row as it is now, held until the transaction ends."""
    require(by, "analytics.keep_review", site=review.site)
    row = (
        Review.objects.select_for_update(of=("self",))
        .select_related("site")
        .get(pk=review.pk)
    )
    if row.state != ReviewState.OPEN:
        raise ValidationError(f"{row} is closed; what it says never changes.")
    return row
