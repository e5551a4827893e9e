"""Residual unbalance a rotor may keep; not the vibration of the casing."""

import math

from plant.ratings.rating import Rating, Status, above_zero

ISO_21940 = "ISO 21940-11, balance quality grade"
# Grade of pump rotors in general, and of tight work; e_per times angular speed.
BALANCE_GRADES = {
    "general": Rating(6.3, "mm/s", ISO_21940, Status.FOUND),
    "tight": Rating(2.5, "mm/s", ISO_21940, Status.MEMORY),
}
# 4 W / N in ounce-inches, pounds and r/min is exactly this in g mm, kg and r/min.
API_4WN_G_MM = 6350.0


def permissible_specific_unbalance_um(grade_mm_s: float, speed_rpm: float) -> Rating:
    """e_per = 1000 G / (2 pi n / 60), micrometres, which are g mm per kg.

    Parameters
    ----------
    grade_mm_s : float
        Balance quality grade, 6.3 for G6.3, above zero.
    speed_rpm : float
        Highest service speed, revolutions per minute, above zero.

    Returns
    -------
    Rating
        Micrometres. Status: worked out from the grade's definition.

    Raises
    ------
    RatingError
        If a value is not above zero.

    References
    ----------
    .. [1] ISO 21940-11, balance quality grades.
    """
    grade = above_zero("The balance grade", grade_mm_s)
    speed = above_zero("The speed", speed_rpm)
    unbalance = 1000 * grade / (2 * math.pi * speed / 60)
    return Rating(unbalance, "µm", ISO_21940, Status.DERIVED)


def permissible_unbalance_g_mm(
    grade_mm_s: float, mass_kg: float, speed_rpm: float
) -> Rating:
    """U_per = e_per m for the whole rotor; two planes share it about by half.

    `mass_kg` is the rotor's, above zero; the rest, status and refusals as
    `permissible_specific_unbalance_um`.
    """
    specific = permissible_specific_unbalance_um(grade_mm_s, speed_rpm)
    unbalance = specific * above_zero("The mass of the rotor", mass_kg)
    return Rating(unbalance, "g mm", ISO_21940, Status.DERIVED)


def api_permissible_unbalance_g_mm(mass_kg: float, speed_rpm: float) -> Rating:
    """The tighter option of API 610, 4 W / N = 6350 m / n, for each plane.

    `mass_kg` is the mass the plane carries, half of a symmetrical rotor;
    both values above zero, else `RatingError`. Status: from memory.
    """
    mass = above_zero("The mass on the plane", mass_kg)
    unbalance = API_4WN_G_MM * mass / above_zero("The speed", speed_rpm)
    return Rating(unbalance, "g mm", "API 610, option 4W/N", Status.MEMORY)
