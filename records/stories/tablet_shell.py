"""Words that the tablet form says without network, taken from the rules themselves."""

from datetime import UTC, datetime
from itertools import product

from plant.choices import ConditionFound, Ending, Location, WhyRemoved
from plant.endings import ending_of
from records.check_choices import Certainty
from records.services.half_done import (
    COMPONENT_OF_ITEM,
    FAILED,
    FAILURES,
    HANDED_BACK,
    LEFT_EMPTY,
    WORKED_ON,
    question_in_words,
)

DEFECTS = {"yes": True, "no": False, "unknown": None}
FITTED = datetime(2000, 1, 1, tzinfo=UTC)
REMOVED = datetime(2001, 1, 1, tzinfo=UTC)
COUNTS_AS = {
    Ending.FAILED: "counts as a failure",
    Ending.REJECTED: "failure or suspension by the site's rule",
    Ending.UNKNOWN: "left out of life figures, and counted as such",
}
SUSPENDED = "counts as a suspension, not as a failure"


def endings_in_words() -> dict[str, str]:
    """By `defect|condition|reason`: how a life ends that has run, in one sentence."""
    facts = product(DEFECTS, ConditionFound.values, WhyRemoved.values)
    return {
        "|".join((defect, condition, why)): _ending_in_words(defect, condition, why)
        for defect, condition, why in facts
    }


def _ending_in_words(defect: str, condition: str, why: str) -> str:
    ending = ending_of(
        removed_at=REMOVED,
        started_at=FITTED,
        ended_at=REMOVED,
        defect_detected=DEFECTS[defect],
        condition_found=condition,
        why_removed=why,
    )
    return f"{ending.label}: {COUNTS_AS.get(ending, SUSPENDED)}."


def half_done_in_words() -> dict[str, str]:
    """Every code that records.services.half_done may ask, with its sentence."""
    items = product((FAILED, WORKED_ON), COMPONENT_OF_ITEM)
    places = product((HANDED_BACK, LEFT_EMPTY), Location.values)
    codes = [f"{kind}:{value}" for kind, value in (*items, *places)]
    return {code: question_in_words(code) for code in codes}


def rules_for_tablet() -> dict[str, object]:
    """What the script looks up instead of deciding again."""
    return {
        "endings": endings_in_words(),
        "questions": half_done_in_words(),
        "component_of_item": {str(i): str(c) for i, c in COMPONENT_OF_ITEM.items()},
        "failures": [str(category) for category in FAILURES],
        "locations": dict(Location.choices),
        "certainties": dict(Certainty.choices),
    }
