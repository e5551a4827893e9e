"""Sentences that the list and the page of one position share."""

from analytics.reports.energy.judging import METER_ERROR, USUAL_MOTOR_EFFICIENCY
from analytics.reports.energy.series import NOW_DAYS
from plant.display import percent

WHAT_IT_IS_NOT = (
    "This is no test: the error of the flow meter goes into every figure in full, "
    "density and viscosity are taken as recorded and not as on the day (viscosity not "
    "at all), and an acceptance test itself is only as good as its grade of ISO 9906, "
    "which allows the efficiency some 3 to 7 % (from memory)."
)


def method(motor_efficiency: float) -> list[str]:
    """How the figures are made, in the order in which they are."""
    usual = " (common practice)" if motor_efficiency == USUAL_MOTOR_EFFICIENCY else ""
    return [
        "What is read within an hour is one round. Efficiency is density times gravity "
        "times flow times head, over the power at the motor terminals times a motor "
        f"efficiency of {percent(motor_efficiency, 1)}{usual}. A wrong motor "
        "efficiency moves every pump by as much. Head is the one read, else discharge "
        "less suction pressure over density, without velocity head and the height "
        "between the gauges.",
        "Only rounds of the pump that stands there now belong together, from the last "
        "repair that opened its wet end (impeller, wear rings, casing, cover, gasket, "
        "bushing, shaft, sleeve or seal; bearings unless the pump is between bearings; "
        "an overhaul; a clearance set), and only those of the last "
        f"{NOW_DAYS} days and within 5 % of their middle flow. Three are needed. A "
        "pump that wears on is worse today than their mean.",
        "As new is taken from the acceptance points of the pump, straight between "
        "them; without any, from flow, head and power rated at the position. That is "
        "no test, and where the power is the motor's own, as new looks too poor.",
        "Intervals are Student's, of the mean of the single rounds: they know the "
        "scatter of the readings, not an error that all share. Wear is said to show "
        "only where the whole interval lies beyond "
        f"{percent(METER_ERROR)} of the efficiency as new.",
        WHAT_IT_IS_NOT,
    ]
