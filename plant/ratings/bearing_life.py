"""Rolling-bearing rating life after ISO 281: fatigue only, never the life in service.

Most pump bearings die of lubrication, dirt or water first; a rating compares
designs and loads, the fitted Weibull tells what happens.
"""

from collections.abc import Iterable
from enum import StrEnum

from plant.ratings.rating import Rating, RatingError, Status, above_zero

ISO_281 = "ISO 281:2007, basic rating life"
REVOLUTIONS, HOURS, KILONEWTON = "million revolutions", "h", "kN"
MINUTES_PER_HOUR = 60
SYSTEM_SLOPE = 1.5


class RollingElement(StrEnum):
    BALL = "ball"
    ROLLER = "roller"


LIFE_EXPONENTS = {RollingElement.BALL: 3.0, RollingElement.ROLLER: 10 / 3}
# How the capacity of i equal rows grows: point contact, line contact.
ROW_EXPONENTS = {RollingElement.BALL: 0.7, RollingElement.ROLLER: 7 / 9}


def basic_rating_life_million_rev(
    dynamic_rating_kn: float,
    load_kn: float,
    kind: RollingElement | str = RollingElement.BALL,
) -> Rating:
    """L10 = (C / P)^p, which nine of ten like bearings reach or pass.

    Parameters
    ----------
    dynamic_rating_kn : float
        C of the bearing, or of the pair as a unit, above zero.
    load_kn : float
        Equivalent dynamic load P, above zero.
    kind : "ball" or "roller"
        The exponent p is 3 for balls and 10/3 for rollers.

    Returns
    -------
    Rating
        Million revolutions. Status: formula found.

    Raises
    ------
    RatingError
        If C or P is not above zero or the kind is neither of the two.

    References
    ----------
    .. [1] ISO 281:2007, basic rating life.
    """
    ratio = above_zero("The dynamic rating C", dynamic_rating_kn)
    ratio /= above_zero("The load P", load_kn)
    return Rating(ratio ** _exponent(kind), REVOLUTIONS, ISO_281, Status.FOUND)


def basic_rating_life_hours(
    dynamic_rating_kn: float,
    load_kn: float,
    speed_rpm: float,
    kind: RollingElement | str = RollingElement.BALL,
) -> Rating:
    """L10h = 10^6 / (60 n) (C / P)^p, hours at one speed and load.

    Parameters and refusals as `basic_rating_life_million_rev`; `speed_rpm` in
    revolutions per minute, above zero. Status: formula found.
    """
    life = basic_rating_life_million_rev(dynamic_rating_kn, load_kn, kind)
    return Rating(life / _million_rev_per_hour(speed_rpm), HOURS, ISO_281, life.status)


def load_ratio_needed(
    target_hours: float,
    speed_rpm: float,
    kind: RollingElement | str = RollingElement.BALL,
) -> Rating:
    """C / P that gives the wanted basic rating life in hours; formula found."""
    target = above_zero("The target life", target_hours)
    ratio = (target * _million_rev_per_hour(speed_rpm)) ** (1 / _exponent(kind))
    return Rating(ratio, "", ISO_281, Status.FOUND)


def rating_needed_kn(
    load_kn: float,
    target_hours: float,
    speed_rpm: float,
    kind: RollingElement | str = RollingElement.BALL,
) -> Rating:
    """Dynamic rating C that carries the load for the target life; formula found."""
    load = above_zero("The load P", load_kn)
    needed = load * load_ratio_needed(target_hours, speed_rpm, kind)
    return Rating(needed, KILONEWTON, ISO_281, Status.FOUND)


def system_rating_life_hours(lives_hours: Iterable[float]) -> Rating:
    """Life of all bearings of one pump together: (sum of L_i^-1.5)^(-1/1.5).

    Parameters
    ----------
    lives_hours : iterable of float
        L10h of each bearing, above zero, at least one.

    Returns
    -------
    Rating
        Hours, shorter than the shortest of them. Status: formula found.

    Raises
    ------
    RatingError
        If there is no life, or one is not above zero.

    References
    ----------
    .. [1] API 610 12th edition, 6.10.1.11 (Weibull slope 1.5).
    """
    lives = [above_zero("A bearing's rating life", life) for life in lives_hours]
    if not lives:
        raise RatingError("A system life needs the rating life of a bearing.")
    shortest = min(lives)
    total = sum((shortest / life) ** SYSTEM_SLOPE for life in lives)
    life = shortest * total ** (-1 / SYSTEM_SLOPE)
    return Rating(life, HOURS, "API 610 12th edition, 6.10.1.11", Status.FOUND)


def pair_rating_kn(
    single_rating_kn: float, kind: RollingElement | str = RollingElement.BALL
) -> Rating:
    """Dynamic rating of two equal single-row bearings mounted as one unit.

    2^0.7 times the single one for balls, 2^(7/9) for rollers; the load is then
    that on the pair. ISO 281:2007; from memory.
    """
    single = above_zero("The dynamic rating C", single_rating_kn)
    paired = single * 2 ** ROW_EXPONENTS[_checked(kind)]
    source = "ISO 281:2007, dynamic rating of paired bearings"
    return Rating(paired, KILONEWTON, source, Status.MEMORY)


def _million_rev_per_hour(speed_rpm: float) -> float:
    return above_zero("The speed", speed_rpm) * MINUTES_PER_HOUR / 1e6


def _exponent(kind: RollingElement | str) -> float:
    return LIFE_EXPONENTS[_checked(kind)]


def _checked(kind: RollingElement | str) -> RollingElement:
    try:
        return RollingElement(kind)
    except ValueError:
        raise RatingError(
            f"A rolling bearing has balls or rollers, not {kind!r}."
        ) from None
