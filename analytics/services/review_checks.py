"""What keeps a month from being opened and a decision from being stored."""

from datetime import date

from django.core.exceptions import ValidationError

from analytics.models import Review, ReviewDecision
from analytics.models.review import Decision
from analytics.reports.reviews.figures import month_end
from plant.display import date_time
from plant.models import Position, Pump, Site
from records.action_choices import ActionState
from records.models import Action

UNDECIDED = "none"


def refuse_without_records(site: Site, month: date) -> None:
    """Refuse a month of which nothing can be said."""
    last = month_end(month)
    if site.records_from is not None and last < site.records_from:
        raise ValidationError(
            {
                "month": f"The records of {site} begin on {site.records_from}: choose "
                "that month or a later one."
            }
        )
    positions = Position.objects.filter(site=site)
    begun = positions.exclude(in_service_on__gt=last).exclude(records_from__gt=last)
    if not begun.exclude(out_of_service_on__lte=month).exists():
        raise ValidationError(
            {"month": f"No position of {site} was in service in {month:%B %Y}."}
        )


def decision_of(review: Review, unit: Position | Pump) -> ReviewDecision | None:
    named = {"position" if isinstance(unit, Position) else "pump": unit}
    rows = ReviewDecision.objects.filter(review=review, **named)
    return rows.select_related("decided_by").first()


def decision_version(review: Review, unit: Position | Pump) -> str:
    """What a form carries, so that it notices what was stored after it was opened."""
    row = decision_of(review, unit)
    return UNDECIDED if row is None else row.decided_at.isoformat()


def refuse_stale(review: Review, unit: Position | Pump, seen: str | None) -> None:
    """Refuse to overwrite what somebody decided after the form was opened."""
    if not seen or seen == decision_version(review, unit):
        return
    row = decision_of(review, unit)
    if row is None:
        return
    note = f" ({row.note})" if row.note else ""
    raise ValidationError(
        f"{row.decided_by} decided on {date_time(row.decided_at)}, after you opened "
        f"this form: {row.get_decision_display()}{note}. Nothing was overwritten. "
        "Storing again stores what stands below.",
        code="stale",
    )


def refuse_unfounded(
    unit: Position | Pump, decision: str, note: str, action: Action | None
) -> None:
    """Refuse an act without its action, an acceptance without a reason."""
    if action is not None and not is_about(action, unit):
        raise ValidationError(
            {"action": f"\u201c{action}\u201d is not about {unit}: choose one that is."}
        )
    if action is not None and action.state == ActionState.DROPPED:
        raise ValidationError({"action": f"\u201c{action}\u201d was dropped."})
    if decision == Decision.ACT and action is None:
        raise ValidationError(
            {
                "action": f"Choose the action about {unit}, or decide one now: "
                "\u201cDecide an action for it\u201d leads there and back."
            }
        )
    if decision == Decision.ACCEPT and not note.strip():
        raise ValidationError({"note": "Say in a sentence why it is accepted."})


def is_about(action: Action, unit: Position | Pump) -> bool:
    """Whether it treats the unit, or a kind of part wherever it is fitted."""
    finding = action.finding
    if isinstance(unit, Pump):
        named = action.pump_id == unit.pk
        found = finding is not None and finding.pump_id == unit.pk
    else:
        named = action.positions.filter(pk=unit.pk).exists()
        found = finding is not None and finding.position_id == unit.pk
    return named or found or _is_of_parts_alone(action)


def _is_of_parts_alone(action: Action) -> bool:
    names_units = action.pump_id is not None or action.positions.exists()
    return bool(action.population) and not names_units
