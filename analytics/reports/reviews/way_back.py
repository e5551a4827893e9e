"""From a decision in a review to the form of a new action, and back."""

from urllib.parse import urlencode

from django.http import QueryDict
from django.urls import reverse

from analytics.forms.actions import chosen_row
from analytics.models import Review, ReviewState
from analytics.reports.bad_actors.report import UnitKind
from plant.models import Position, Pump, User
from records.models import Action


def action_address(
    review: Review, unit: Position | Pump, kind: str, evidence: str = ""
) -> str:
    """The form of a new action about this unit, which leads back to the review.

    It begins with the evidence as its reason, where there is any.
    """
    asked = {kind: unit.pk, "review": review.pk}
    query = urlencode({**asked, "reason": evidence} if evidence else asked)
    return f"{reverse('analytics:action_new')}?{query}"


def deciding_address(user: User, query: QueryDict, action: Action | None = None) -> str:
    """The decision page that asked for an action, with it chosen; else blank."""
    reviews = Review.objects.visible_to(user).filter(state=ReviewState.OPEN)
    review = chosen_row(reviews, query.get("review", ""))
    kind = next((kind for kind in UnitKind if kind.value in query), None)
    if review is None or kind is None:
        return ""
    model = Position if kind is UnitKind.POSITION else Pump
    unit = chosen_row(model.objects.filter(site=review.site), query.get(kind.value, ""))
    if unit is None:
        return ""
    address = reverse("analytics:review_decide", args=[review.pk, kind.value, unit.pk])
    # An action that was moved to another site on the form is none of this review.
    is_of_it = action is not None and action.site_id == review.site_id
    return f"{address}?action={action.pk}" if action and is_of_it else address
