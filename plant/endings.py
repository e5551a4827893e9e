"""How a fitted life ended, derived from facts that were recorded, never asked."""

from datetime import datetime

from plant.choices import ConditionFound, Ending, WhyRemoved

ENDINGS_BY_REASON = {
    WhyRemoved.PLANNED: Ending.PLANNED,
    WhyRemoved.UPGRADED: Ending.UPGRADED,
    WhyRemoved.RETIRED: Ending.RETIRED,
    WhyRemoved.PRACTICE: Ending.SOUND,
}


def ending_of(
    *,
    removed_at: datetime | None,
    started_at: datetime,
    ended_at: datetime | None,
    defect_detected: bool | None,
    condition_found: str,
    why_removed: str,
) -> Ending:
    """Derive the ending of one life.

    `started_at` is the first start or what stands for it; `ended_at` the failure
    as reported or, if sound, the stop, or what stands for it.
    """
    if removed_at is None:
        return Ending.STILL_IN
    if defect_detected and ended_at is not None and ended_at <= started_at:
        return Ending.DEAD_ON_FITTING
    if why_removed == WhyRemoved.DAMAGED:
        return Ending.DAMAGED
    if defect_detected:
        return Ending.FAILED
    if condition_found == ConditionFound.REJECT:
        return Ending.REJECTED
    if why_removed in ("", WhyRemoved.UNKNOWN):
        return Ending.UNKNOWN
    if condition_found == ConditionFound.NOT_INSPECTED:
        return Ending.NOT_INSPECTED
    return ENDINGS_BY_REASON.get(WhyRemoved(why_removed), Ending.UNKNOWN)
