"""Reviews opened, decided and closed; a closed one never changes."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from analytics.models import Review, ReviewDecision, ReviewState
from analytics.models.review import Decision
from analytics.reports.reviews.decided import decision_key, decisions_now
from analytics.reports.reviews.figures import (
    Figures,
    month_end,
    review_figures,
    review_rule,
    review_window,
    units_to_decide,
)
from analytics.reports.reviews.fingerprint import data_sha256, rows_since
from analytics.scope import today
from analytics.services.review_checks import (
    refuse_stale,
    refuse_unfounded,
    refuse_without_records,
)
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
        When the month is still to come, was before the records begin or with nothing
        in service, or has a review at this site.
    """
    require(by, "analytics.keep_review", site=site)
    month = month.replace(day=1)
    if month > today():
        raise ValidationError({"month": "This month is still to come."})
    refuse_without_records(site, month)
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
    seen: str | None = None,
) -> ReviewDecision:
    """Say what is done about one unit; a later word replaces an earlier one.

    `seen` is what `decision_version` said when the form was opened.

    Raises
    ------
    ValidationError
        When the review is closed, the unit or action is of another site, the action
        is about other units, "act" has no action or "accept" no note, or when
        somebody decided after the form was opened (code `stale`).
    """
    review = _open_row(by, review)
    if unit.site_id != review.site_id:
        raise ValidationError(f"{unit} is not of {review.site}.")
    if action is not None and action.site_id != review.site_id:
        raise ValidationError({"action": "This action is of another site."})
    refuse_stale(review, unit, seen)
    refuse_unfounded(unit, decision, note, action)
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
        if _sha256(row) != sha256:
            raise ValidationError(CHANGED)
        row.figures, row.data_sha256 = _frozen(row, by, figures), sha256
        row.rule, row.software_version = review_rule(row, by), VERSION
        row.closed_by, row.closed_at = by, timezone.now()
        row.state = ReviewState.CLOSED
        row.full_clean()
        row.save()
    return row


CHANGED = "The records changed while the figures were worked out. Close it again."


def _steady_figures(review: Review, by: User) -> tuple[Figures, str]:
    """Figures with the hash of the very rows they came from."""
    before = _sha256(review)
    for _ in range(TRIES):
        figures = review_figures(review, by)
        after = _sha256(review)
        if after == before:
            return figures, after
        before = after
    raise ValidationError(CHANGED)


def _sha256(review: Review) -> str:
    window = review_window(review)
    return data_sha256(review.site, window, rows_since(review.site, window))


def _frozen(row: Review, by: User, figures: Figures) -> Figures:
    """The figures with every word that the page and the PDF say beside them."""
    return {
        **figures,
        "site": str(row.site),
        "closed_by": str(by),
        "decided": decisions_now(row),
        "hash_since": str(rows_since(row.site, review_window(row))),
    }


def _refuse_undecided(review: Review, figures: Figures) -> None:
    decided = {decision_key(row) for row in review.decisions.all()}
    left = [u["label"] for u in units_to_decide(figures) if u["id"] not in decided]
    if left:
        raise ValidationError(
            f"Flagged or carried over and not decided yet: {', '.join(left)}."
        )


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
