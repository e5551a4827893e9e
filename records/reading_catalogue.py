"""What each quantity is read in, where, and what is typed beside the unit stored."""

from dataclasses import dataclass

from plant.ratings.vibration import MM_PER_INCH
from records.reading_choices import UNIT_OF_QUANTITY, Point, Quantity

# A value typed is value * factor + offset in the unit stored.
Conversion = tuple[float, float]
SQRT_2 = 2**0.5
BAR_PER_PSI = 0.0689475729
ML_PER_DROP = 0.05
M3_H_PER_US_GPM = 0.2271247

VIBRATION_POINTS = (
    Point.DE_HORIZONTAL,
    Point.DE_VERTICAL,
    Point.DE_AXIAL,
    Point.NDE_HORIZONTAL,
    Point.NDE_VERTICAL,
    Point.NDE_AXIAL,
)
BEARING_POINTS = (Point.DE_BEARING, Point.NDE_BEARING)
WHOLE_PUMP = (Point.NONE,)


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """One quantity: its places, its units, and the range beyond which it is a slip."""

    quantity: Quantity
    points: tuple[Point, ...]
    units: dict[str, Conversion]
    least: float
    most: float

    @property
    def unit(self) -> str:
        """The unit stored; the first that is offered."""
        return UNIT_OF_QUANTITY[self.quantity]

    def stored(self, typed: float, unit: str) -> float:
        """The value in the unit stored; KeyError for a unit that is not offered."""
        factor, offset = self.units[unit]
        return typed * factor + offset


_PRESSURE: dict[str, Conversion] = {
    "bar": (1.0, 0.0),
    "kPa": (0.01, 0.0),
    "psi": (BAR_PER_PSI, 0.0),
}

# Drops of 0.05 ml: common practice. A peak is turned into r.m.s. as of a pure sine.
KINDS: dict[str, ReadingKind] = {
    kind.quantity: kind
    for kind in (
        ReadingKind(
            Quantity.VIBRATION,
            VIBRATION_POINTS,
            {
                "mm/s": (1.0, 0.0),
                "in/s r.m.s.": (MM_PER_INCH, 0.0),
                "in/s peak": (MM_PER_INCH / SQRT_2, 0.0),
            },
            0.0,
            200.0,
        ),
        ReadingKind(
            Quantity.TEMPERATURE,
            BEARING_POINTS,
            {"°C": (1.0, 0.0), "°F": (5 / 9, -160 / 9)},
            -80.0,
            400.0,
        ),
        ReadingKind(
            Quantity.LEAKAGE,
            WHOLE_PUMP,
            {"ml/h": (1.0, 0.0), "drops/min": (60 * ML_PER_DROP, 0.0)},
            0.0,
            1e6,
        ),
        ReadingKind(
            Quantity.FLOW,
            WHOLE_PUMP,
            {
                "m³/h": (1.0, 0.0),
                "l/min": (0.06, 0.0),
                "US gal/min": (M3_H_PER_US_GPM, 0.0),
            },
            0.0,
            1e5,
        ),
        ReadingKind(
            Quantity.HEAD, WHOLE_PUMP, {"m": (1.0, 0.0), "ft": (0.3048, 0.0)}, 0.0, 1e4
        ),
        ReadingKind(Quantity.SUCTION, WHOLE_PUMP, _PRESSURE, -1.02, 1e3),
        ReadingKind(Quantity.DISCHARGE, WHOLE_PUMP, _PRESSURE, -1.02, 2e3),
        ReadingKind(
            Quantity.POWER,
            WHOLE_PUMP,
            {"kW": (1.0, 0.0), "hp": (0.7457, 0.0)},
            0.0,
            5e4,
        ),
        ReadingKind(Quantity.SPEED, WHOLE_PUMP, {"r/min": (1.0, 0.0)}, 0.0, 3e4),
    )
}
