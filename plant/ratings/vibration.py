"""Vibration zones of rotodynamic pumps after ISO 10816-7: defaults, from memory.

Broadband r.m.s. velocity on the bearing housings. A plant may set its own limits;
the driver is judged by another standard.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from plant.ratings.rating import Rating, RatingError, Status, above_zero, known

ISO_10816_7 = "ISO 10816-7:2009"
SMALL_UP_TO_KW = 200.0
LEAST_POWER_KW = 1.0
MM_PER_INCH = 25.4


class VibrationCategory(StrEnum):
    """How much hangs on the pump; toxic liquid belongs in the first."""

    HIGH_DEMAND = "I"
    GENERAL = "II"


class VibrationZone(StrEnum):
    A = "A"
    B = "B"
    C = "C"
    D = "D"


MEANINGS = {
    VibrationZone.A: "as newly commissioned",
    VibrationZone.B: "fit for unrestricted running",
    VibrationZone.C: "fit for a limited time; plan the repair",
    VibrationZone.D: "damage is likely",
}


@dataclass(frozen=True, slots=True)
class VibrationLimits:
    """Zone limits with alarm and trip, mm/s r.m.s."""

    a_b_mm_s: float
    b_c_mm_s: float
    c_d_mm_s: float
    alarm_mm_s: float
    trip_mm_s: float
    source: str = ISO_10816_7
    status: Status = Status.MEMORY


@dataclass(frozen=True, slots=True)
class ZoneResult:
    """The zone of one reading, what it means and the limits that decided."""

    zone: VibrationZone
    meaning: str
    velocity_mm_s: float
    limits: VibrationLimits

    @property
    def source(self) -> str:
        return self.limits.source

    @property
    def status(self) -> Status:
        return self.limits.status


# By category and whether the pump takes more than 200 kW.
VIBRATION_LIMITS = {
    (VibrationCategory.HIGH_DEMAND, False): VibrationLimits(2.5, 4.0, 6.6, 5.0, 8.3),
    (VibrationCategory.HIGH_DEMAND, True): VibrationLimits(3.5, 5.0, 7.6, 6.3, 9.5),
    (VibrationCategory.GENERAL, False): VibrationLimits(3.2, 5.1, 8.5, 6.4, 10.6),
    (VibrationCategory.GENERAL, True): VibrationLimits(4.2, 6.1, 9.5, 7.6, 11.9),
}


def vibration_limits(
    category: VibrationCategory | str, power_kw: float
) -> VibrationLimits:
    """Default limits of a pump by its category and power.

    Raises
    ------
    RatingError
        If the category is neither "I" nor "II", or the power is not above the
        1 kW from which the standard holds.
    """
    power = above_zero("The power", power_kw)
    if power <= LEAST_POWER_KW:
        raise RatingError(f"{ISO_10816_7} holds for pumps above 1 kW, not {power:g}.")
    try:
        chosen = VibrationCategory(category)
    except ValueError:
        raise RatingError(
            f"The vibration category is I or II, not {category!r}."
        ) from None
    return VIBRATION_LIMITS[chosen, power > SMALL_UP_TO_KW]


def vibration_zone(
    velocity_mm_s: float, category: VibrationCategory | str, power_kw: float
) -> ZoneResult:
    """Zone of a reading; one on a limit stays in the better zone.

    Parameters
    ----------
    velocity_mm_s : float
        Broadband velocity, mm/s r.m.s., zero or more.
    category : "I" or "II"
        High demand on reliability, availability or safety, or general duty.
    power_kw : float
        Rated power of the pump, above 1.

    Returns
    -------
    ZoneResult
        Limits in mm/s r.m.s. Status: limits from memory; that a reading on a limit
        stays in the better zone is common practice.

    Raises
    ------
    RatingError
        If the velocity is negative or no number, and as `vibration_limits`.

    References
    ----------
    .. [1] ISO 10816-7:2009, zone limits.
    """
    velocity = known("The vibration velocity", velocity_mm_s)
    if velocity < 0:
        raise RatingError("The vibration velocity must not be below zero.")
    limits = vibration_limits(category, power_kw)
    borders = (limits.a_b_mm_s, limits.b_c_mm_s, limits.c_d_mm_s)
    zone = list(VibrationZone)[sum(velocity > border for border in borders)]
    return ZoneResult(zone, MEANINGS[zone], velocity, limits)


def sine_rms_mm_s(peak_in_s: float) -> Rating:
    """R.m.s. of a pure sine from its peak in inches per second.

    Real vibration is no pure sine, so the result only compares orders of size.

    Raises
    ------
    RatingError
        If the peak is not above zero.
    """
    peak = above_zero("The peak velocity", peak_in_s)
    rms = peak * MM_PER_INCH / math.sqrt(2)
    return Rating(rms, "mm/s r.m.s.", "r.m.s. of a sine", Status.DERIVED)
