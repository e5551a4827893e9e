"""Stiffness of an overhung shaft: a screen, for one solid diameter.

Shafts of several diameters, and the span between bearings, need the longer
formula.
"""

import math

from plant.ratings.rating import Rating, Status, above_zero, known

NOTES = "pump seminar notes on shaft deflection"
MM_PER_INCH = 25.4
STEEL_GPA = 200.0
# The two limits of the trade are not equal: 60 per inch is 2.36 per mm.
STIFFNESS_LIMIT_PER_MM = Rating(2.0, "1/mm", NOTES, Status.FOUND)
STIFFNESS_LIMIT_PER_INCH = Rating(60.0, "1/in", NOTES, Status.FOUND)


def shaft_stiffness_ratio(overhang_mm: float, diameter_mm: float) -> Rating:
    """L^3 / D^4 of an overhung shaft in 1/mm; lower is stiffer.

    Parameters
    ----------
    overhang_mm : float
        L, from the inboard radial bearing to the impeller's vanes, above zero.
    diameter_mm : float
        D, the solid shaft under the sleeve at the seal, above zero.

    Returns
    -------
    Rating
        1/mm; the trade's limit is `STIFFNESS_LIMIT_PER_MM`. Status: found.

    Raises
    ------
    RatingError
        If a length is not above zero.

    References
    ----------
    .. [1] Pump seminar notes on shaft deflection.
    """
    overhang = above_zero("The overhang of the shaft", overhang_mm)
    diameter = above_zero("The diameter of the shaft", diameter_mm)
    return Rating(overhang**3 / diameter**4, "1/mm", NOTES, Status.FOUND)


def shaft_stiffness_ratio_per_inch(overhang_mm: float, diameter_mm: float) -> Rating:
    """The same ratio in 1/in, to hold against `STIFFNESS_LIMIT_PER_INCH`.

    Status: worked out; one per millimetre is 25.4 per inch.
    """
    ratio = shaft_stiffness_ratio(overhang_mm, diameter_mm) * MM_PER_INCH
    return Rating(ratio, "1/in", NOTES, Status.DERIVED)


def shaft_deflection_mm(
    force_n: float,
    overhang_mm: float,
    diameter_mm: float,
    elastic_modulus_gpa: float = STEEL_GPA,
) -> Rating:
    """Deflection at the impeller of a plain cantilever, F L^3 / (3 E I).

    Parameters
    ----------
    force_n : float
        Radial force at the impeller; its sign is the deflection's.
    overhang_mm, diameter_mm : float
        As for `shaft_stiffness_ratio`; I = pi D^4 / 64.
    elastic_modulus_gpa : float, default 200
        E of the shaft; that of steel unless given.

    Returns
    -------
    Rating
        Millimetres; at the seal it is less. Status: worked out.

    Raises
    ------
    RatingError
        If a length or the modulus is not above zero, or the force no number.
    """
    force = known("The radial force", force_n)
    ratio = shaft_stiffness_ratio(overhang_mm, diameter_mm)
    modulus_n_mm2 = 1000 * above_zero("The elastic modulus", elastic_modulus_gpa)
    deflection = 64 * force * ratio / (3 * math.pi * modulus_n_mm2)
    return Rating(deflection, "mm", "bending of a plain cantilever", Status.DERIVED)
