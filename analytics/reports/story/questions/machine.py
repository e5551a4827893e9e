"""Questions from what the machine is and how it shakes."""

from collections.abc import Sequence

from analytics.reports.story.questions.question import SELDOM, Question
from analytics.reports.story.readings import Rise
from plant.display import count, fixed, number, percent
from plant.ratings import STIFFNESS_LIMIT_PER_MM

LEAST_FLOW_SHARE = 0.70
LEAST_RISE = 1.25


def low_flow(
    flow: float | None, read_flow: float | None, best_flow: float | None
) -> Question | None:
    """Below 70 % of best-efficiency flow, as read last year, else as recorded."""
    shown = read_flow if read_flow is not None else flow
    if shown is None or not best_flow or shown >= LEAST_FLOW_SHARE * best_flow:
        return None
    source = (
        "median of last year's readings" if read_flow is not None else "as recorded"
    )
    return Question(
        "Far below best-efficiency flow",
        "Is the cause hydraulic: does the pump recirculate and load its shaft because "
        "it is too large, throttled or run in parallel?",
        f"Flow {number(shown)} m³/h ({source}) is {percent(shown / best_flow)} of "
        f"best-efficiency flow {number(best_flow)} m³/h; below "
        f"{percent(LEAST_FLOW_SHARE)} the log asks.",
    )


def soft_shaft(ratio: float | None, *, fails_too_often: bool) -> Question | None:
    """A shaft softer than the limit, where repairs are twice those of the peers."""
    if ratio is None or ratio < STIFFNESS_LIMIT_PER_MM or not fails_too_often:
        return None
    return Question(
        "Soft shaft",
        "Does the shaft bend at the seal: would a stiffer power end, or a larger "
        "diameter without sleeve, end these failures?",
        f"Stiffness ratio {fixed(ratio, 2)} per mm against a limit of "
        f"{STIFFNESS_LIMIT_PER_MM.value:g}, and at least twice the repairs of its "
        "peers.",
    )


def vibration_rising(rises: Sequence[Rise]) -> Question | None:
    """The clearest rise over a year; the chance allows for all points looked at."""
    seen = [
        rise
        for rise in rises
        if rise.now >= LEAST_RISE * rise.before and rise.p_value * rise.points <= SELDOM
    ]
    if not seen:
        return None
    worst = max(seen, key=lambda rise: rise.now / rise.before)
    return Question(
        "Vibration rising",
        "What grows here (unbalance, bearing wear, looseness, cavitation), and should "
        "it be looked at before it fails?",
        f"{worst.point}: from {fixed(worst.before)} to {fixed(worst.now)} mm/s over "
        f"{count(worst.readings, 'reading')} of the last year.",
    )
