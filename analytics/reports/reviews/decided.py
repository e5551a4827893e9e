"""What was decided about the units of a review, as plain values that can be frozen."""

from typing import Any

from analytics.models import Review, ReviewDecision, ReviewState
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews.units import unit_key

Figures = dict[str, Any]


def decision_key(row: ReviewDecision) -> str:
    kind = UnitKind.MACHINE if row.position_id is None else UnitKind.POSITION
    return unit_key(kind, row.position_id or row.pump_id or 0)


def decisions_now(review: Review) -> dict[str, Figures]:
    """By unit, with the words of label, action and people as they are today."""
    rows = review.decisions.select_related(
        "action__owner", "position", "pump", "decided_by"
    )
    return {decision_key(row): _plain(row) for row in rows}


def decisions_of(review: Review) -> dict[str, Figures]:
    """Those frozen on closing; a review closed before they were frozen has today's."""
    if review.state == ReviewState.CLOSED and "decided" in review.figures:
        frozen: dict[str, Figures] = review.figures["decided"]
        return frozen
    return decisions_now(review)


def decided_in_words(decided: Figures | None) -> str:
    """Decision, note and action in one line."""
    if decided is None:
        return "Not decided"
    words = [decided["words"], decided["note"]]
    if decided["action"]:
        words.append(f"Action: {decided['action']}")
    return ". ".join(word.rstrip(".") for word in words if word)


def _plain(row: ReviewDecision) -> Figures:
    action = row.action
    return {
        "decision": row.decision,
        "words": str(row.get_decision_display()),
        "note": row.note,
        "action": str(action) if action else "",
        "action_pk": row.action_id,
        "owner": str(action.owner) if action else "",
        "due": str(action.due_on) if action else "",
        "by": str(row.decided_by),
        # Of units that the records no longer list, these figures are all there is.
        "evidence": row.evidence or _bare(row),
    }


def _bare(row: ReviewDecision) -> Figures:
    return bare_figures(decision_key(row), str(row.position or row.pump))


def bare_figures(key: str, label: str) -> Figures:
    """A unit without figures: it is not judged in the window."""
    kind, _, pk = key.partition("-")
    return {
        "id": key,
        "kind": kind,
        "pk": int(pk),
        "label": label,
        "status": "",
        "carried": "",
        "reason": "",
        "cost": "",
        "is_flagged": False,
        "is_costliest": False,
    }
