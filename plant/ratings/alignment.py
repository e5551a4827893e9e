"""How far two shafts may stay out of line at the coupling, by speed.

The limits hold for what is left after the thermal targets have been met. No
standard fixes one table; this is the metric one that the trade reproduces.
"""

from dataclasses import dataclass
from enum import StrEnum

from plant.ratings.rating import Rating, RatingError, Status, above_zero, known

TABLE = "widely reproduced shaft-alignment table, metric"


class AlignmentGrade(StrEnum):
    EXCELLENT = "excellent"
    ACCEPTABLE = "acceptable"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class AlignmentLimit:
    """The largest deviation of one kind, for acceptable and for excellent work."""

    acceptable: Rating
    excellent: Rating

    def grade(self, deviation: float) -> AlignmentGrade:
        """Grade of a deviation in the unit of the limits; its sign does not count."""
        size = abs(known("The deviation", deviation))
        if size <= self.excellent:
            return AlignmentGrade.EXCELLENT
        if size <= self.acceptable:
            return AlignmentGrade.ACCEPTABLE
        return AlignmentGrade.OUTSIDE


# By speed in r/min: offset acceptable, excellent; angle acceptable, excellent.
SHORT_FLEXIBLE = {
    750: (0.19, 0.09, 0.13, 0.09),
    1500: (0.09, 0.06, 0.07, 0.05),
    3000: (0.06, 0.03, 0.04, 0.03),
    6000: (0.03, 0.02, 0.03, 0.02),
}
SPACER_PER_100_MM = {
    750: (0.25, 0.15, 2.5, 1.5),
    1500: (0.12, 0.07, 1.2, 0.7),
    3000: (0.07, 0.04, 0.7, 0.4),
    6000: (0.03, 0.02, 0.3, 0.2),
}


def short_coupling_offset_mm(speed_rpm: float) -> AlignmentLimit:
    """Offset of a short flexible coupling, millimetres.

    A speed between two rows takes the faster, stricter row.

    Raises
    ------
    RatingError
        If the speed is not above zero or beyond the table.
    """
    acceptable, excellent, _, _ = _row(SHORT_FLEXIBLE, speed_rpm)
    return _limit(acceptable, excellent, "mm")


def short_coupling_gap_mm(speed_rpm: float, diameter_mm: float) -> AlignmentLimit:
    """Gap across the diameter of a short flexible coupling, millimetres.

    The table's gap is that over 100 mm; rows and refusals as for the offset.
    """
    _, _, acceptable, excellent = _row(SHORT_FLEXIBLE, speed_rpm)
    hundreds = above_zero("The diameter of the coupling", diameter_mm) / 100
    return _limit(acceptable * hundreds, excellent * hundreds, "mm")


def spacer_offset_mm(speed_rpm: float, spacer_mm: float) -> AlignmentLimit:
    """Offset over the length of a spacer coupling, millimetres.

    The table's offset is that of 100 mm; rows and refusals as for the short one.
    """
    acceptable, excellent, _, _ = _row(SPACER_PER_100_MM, speed_rpm)
    hundreds = above_zero("The length of the spacer", spacer_mm) / 100
    return _limit(acceptable * hundreds, excellent * hundreds, "mm")


def spacer_angle_mrad(speed_rpm: float) -> AlignmentLimit:
    """Angle of a spacer coupling, milliradians; rows and refusals as for the offset."""
    _, _, acceptable, excellent = _row(SPACER_PER_100_MM, speed_rpm)
    return _limit(acceptable, excellent, "mrad")


def _row(
    table: dict[int, tuple[float, float, float, float]], speed_rpm: float
) -> tuple[float, float, float, float]:
    speed = above_zero("The speed", speed_rpm)
    for listed, row in table.items():
        if speed <= listed:
            return row
    raise RatingError(f"The alignment table ends at {max(table)} r/min.")


def _limit(acceptable: float, excellent: float, unit: str) -> AlignmentLimit:
    return AlignmentLimit(
        Rating(acceptable, unit, TABLE, Status.FOUND),
        Rating(excellent, unit, TABLE, Status.FOUND),
    )
