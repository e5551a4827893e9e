"""Each kind of check: how it is measured, in which unit, and the limit we ship."""

from dataclasses import dataclass

from records.check_choices import Certainty, CheckKind

LENGTHS = {"mm": 1.0, "µm": 0.001, "mil": 0.0254, "inch": 25.4}
# One milliradian is a gap of 0.1 mm over 100 mm of diameter; mil over ten inches.
ANGLES = {"mm/100 mm": 1.0, "mrad": 0.1, "mil/10 in": 0.01}
# An avoirdupois ounce is 28.349523125 g and an inch 25.4 mm, both exactly.
UNBALANCES = {"g mm": 1.0, "oz in": 28.349523125 * 25.4}
FIVE_POINTS = "five-point check of seal-fitting notes"
OPEN_IMPELLER = "pump seminar notes on open impellers, cold"


@dataclass(frozen=True, slots=True)
class CheckDescription:
    """A kind of check; limits are in `unit`, a factor of `units` leads to it."""

    kind: CheckKind
    label: str
    how: str
    unit: str
    units: dict[str, float]
    default_low: float | None
    default_high: float | None
    source: str
    certainty: Certainty


def _length(
    kind: CheckKind,
    how: str,
    *,
    low: float | None = None,
    high: float | None = None,
    source: str,
    certainty: Certainty = Certainty.FOUND,
) -> CheckDescription:
    return CheckDescription(
        kind, str(kind.label), how, "mm", LENGTHS, low, high, source, certainty
    )


DESCRIPTIONS = (
    _length(
        CheckKind.DEFLECTION,
        "How far the shaft bends at the seal faces at the worst allowed flow.",
        high=0.05,
        source="ISO 5199 and API 610",
        certainty=Certainty.MEMORY,
    ),
    _length(
        CheckKind.LIFT,
        "Indicator on the shaft near the seal; lift and press by hand.",
        high=0.05,
        source=FIVE_POINTS,
    ),
    _length(
        CheckKind.SHAFT_RUNOUT,
        "Turn the shaft; indicator at the seal, coupling and impeller seats.",
        high=0.05,
        source=FIVE_POINTS,
    ),
    _length(
        CheckKind.SLEEVE_RUNOUT,
        "Turn the shaft; indicator on the sleeve as assembled.",
        high=0.05,
        source=FIVE_POINTS,
    ),
    _length(
        CheckKind.SQUARENESS,
        "Indicator on the shaft sweeps the face of the seal chamber.",
        high=0.10,
        source=FIVE_POINTS,
    ),
    _length(
        CheckKind.CONCENTRICITY,
        "Indicator on the shaft sweeps the bore of the seal chamber.",
        high=0.125,
        source=FIVE_POINTS,
    ),
    _length(
        CheckKind.END_PLAY,
        "Push and pull the shaft; depends on the bearings.",
        high=0.10,
        source=FIVE_POINTS,
    ),
    _length(
        CheckKind.RUNNING_CLEARANCE,
        "Feeler or axial setting between open impeller and casing, cold.",
        low=0.40,
        high=0.50,
        source=OPEN_IMPELLER,
    ),
    _length(
        CheckKind.WEAR_RING,
        "Micrometers on ring and hub; the drawing says what belongs to the size.",
        low=0.25,
        source="smallest of the clearances in API 610; none is tighter",
        certainty=Certainty.MEMORY,
    ),
    _length(
        CheckKind.OFFSET,
        "What is left of the offset after the thermal target.",
        source="by speed and coupling",
        certainty=Certainty.FOUND,
    ),
    CheckDescription(
        CheckKind.ANGULARITY,
        str(CheckKind.ANGULARITY.label),
        "Gap over 100 mm of diameter, or the angle of a spacer, without its sign.",
        "mm/100 mm",
        ANGLES,
        None,
        None,
        "by speed and coupling",
        Certainty.FOUND,
    ),
    _length(
        CheckKind.SOFT_FOOT,
        "Lift at each foot as its bolt is loosened; the largest.",
        high=0.06,
        source="widely reproduced shaft-alignment table, metric",
    ),
    _length(
        CheckKind.PIPE_STRAIN,
        "Movement at the coupling while the flanges are bolted.",
        high=0.05,
        source="API RP 686",
        certainty=Certainty.MEMORY,
    ),
    CheckDescription(
        CheckKind.BALANCE,
        str(CheckKind.BALANCE.label),
        "Unbalance left in the rotor, both planes together.",
        "g mm",
        UNBALANCES,
        None,
        None,
        "ISO 21940-11, by speed and mass of the rotor",
        Certainty.FOUND,
    ),
)
CATALOGUE: dict[CheckKind, CheckDescription] = {
    description.kind: description for description in DESCRIPTIONS
}
