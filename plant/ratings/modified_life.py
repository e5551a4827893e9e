"""Rating life for another reliability than 90 %, and for the oil in the bearing."""

from plant.ratings.bearing_life import HOURS
from plant.ratings.rating import Rating, RatingError, Status, above_zero, known

# ISO 281:2007, from memory; by reliability in per cent.
RELIABILITY_FACTORS = {
    90.0: 1.0,
    95.0: 0.64,
    96.0: 0.55,
    97.0: 0.47,
    98.0: 0.37,
    99.0: 0.25,
    99.2: 0.22,
    99.4: 0.19,
    99.6: 0.16,
    99.8: 0.12,
    99.9: 0.093,
    99.92: 0.087,
    99.94: 0.080,
    99.95: 0.077,
}


def reliability_factor(reliability_percent: float) -> Rating:
    """a1, the factor on L10 for fewer early failures than one in ten.

    Returns
    -------
    Rating
        A pure number. Status: from memory; each value was recomputed.

    Raises
    ------
    RatingError
        Between two values of the table: the standard gives a table, no curve.

    References
    ----------
    .. [1] ISO 281:2007, table of the life modification factor for reliability.
       Values of 1990 (0.62, 0.53, 0.44, 0.33, 0.21) still stand in some books.
    """
    percent = known("The reliability", reliability_percent)
    factor = RELIABILITY_FACTORS.get(percent)
    if factor is None:
        choices = ", ".join(f"{listed:g}" for listed in RELIABILITY_FACTORS)
        raise RatingError(
            f"ISO 281 lists no factor for {percent:g} % reliability; "
            f"choose one of {choices}."
        )
    source = "ISO 281:2007, life modification factor for reliability"
    return Rating(factor, "", source, Status.MEMORY)


def modified_rating_life_hours(
    rating_life_hours: float,
    reliability_percent: float = 90.0,
    a_iso: float = 1.0,
) -> Rating:
    """L_nmh = a1 a_ISO L10h, for another reliability and the film in the bearing.

    Parameters
    ----------
    rating_life_hours : float
        Basic rating life L10h, above zero.
    reliability_percent : float, default 90
        One of the table of a1.
    a_iso : float, default 1
        Life modification factor from lubrication, cleanliness and fatigue load
        limit, read from the bearing's catalogue; above zero.

    Returns
    -------
    Rating
        Hours. Status: formula found; a1 from memory where it is not 1.

    Raises
    ------
    RatingError
        If a value is not above zero or the reliability is not listed.

    References
    ----------
    .. [1] ISO 281:2007, modified rating life.
    """
    life = above_zero("The rating life", rating_life_hours)
    factor = reliability_factor(reliability_percent)
    status = Status.FOUND if float(factor) == 1 else factor.status
    life *= factor * above_zero("The factor a_ISO", a_iso)
    return Rating(life, HOURS, "ISO 281:2007, modified rating life", status)
