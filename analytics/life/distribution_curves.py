"""Share surviving of a fitted candidate distribution, for the plot."""

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray, as_numbers
from analytics.life.distributions import CandidateFit
from analytics.life.errors import InvalidSample


def candidate_reliability(candidate: CandidateFit, ages: ArrayLike) -> FloatArray:
    """Share of lives that outlast each age, by one candidate.

    Parameters
    ----------
    candidate : CandidateFit
        As `compare_distributions` gives it.
    ages : array_like of float
        Above zero, in the unit of the sample.

    Returns
    -------
    ndarray
        Between 0 and 1.

    Raises
    ------
    InvalidSample
        If an age is not above zero or the candidate is not one of the four.

    Notes
    -----
    Weibull exp(-(t / scale) ** shape); exponential exp(-t / scale); lognormal
    Phi(ln(median / t) / log_spread); gamma Q(shape, t / scale).
    """
    checked = as_numbers(ages, "ages")
    if checked.size and checked.min() <= 0.0:
        raise InvalidSample("Every age must be above zero.")
    known = candidate.parameters
    if candidate.name == "Weibull":
        share = np.exp(-((checked / known["scale"]) ** known["shape"]))
    elif candidate.name == "exponential":
        share = np.exp(-checked / known["scale"])
    elif candidate.name == "lognormal":
        share = special.ndtr(np.log(known["median"] / checked) / known["log_spread"])
    elif candidate.name == "gamma":
        share = special.gammaincc(known["shape"], checked / known["scale"])
    else:
        raise InvalidSample(f"No distribution is called {candidate.name!r}.")
    return np.asarray(share, dtype=np.float64)
