"""The sheet of a review as one person may see it: frozen, or worked out now."""

from analytics.models import Review, ReviewState
from analytics.reports.reviews.figures import review_figures, review_rule
from analytics.reports.reviews.sheet import ReviewSheet, review_sheet
from plant.access import may
from plant.models import User


def sheet_for(review: Review, user: User) -> ReviewSheet:
    shows_costs = may(user, "records.see_costs")
    if review.state == ReviewState.CLOSED:
        figures, rule = review.figures, review.rule
    else:
        figures, rule = review_figures(review, user), review_rule(review, user)
    return review_sheet(review, figures, rule, shows_costs=shows_costs)
