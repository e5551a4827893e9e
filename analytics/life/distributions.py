"""Competing life distributions, ranked by how well they explain a sample."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import optimize, special

from analytics.life.arrays import FloatArray
from analytics.life.data import LifeData
from analytics.life.errors import NoSpread, TooFewFailures
from analytics.life.weibull import weibull_fit

MINIMUM_FAILURES = 3
# Differences of AICc below this do not tell two distributions apart.
TELLING_DIFFERENCE = 2.0
TELLING_FAILURES = 5

# Log density, log survival: both of log age relative to the greatest age.
LogFunctions = tuple[
    Callable[[FloatArray, FloatArray], FloatArray],
    Callable[[FloatArray, FloatArray], FloatArray],
]


@dataclass(frozen=True, slots=True)
class CandidateFit:
    """One distribution fitted to the sample.

    Parameters
    ----------
    name : str
        Weibull, lognormal, gamma or exponential.
    parameters : dict
        Name to value; `scale` and `median` in the unit of the ages.
    log_likelihood : float
        At the maximum.
    aicc : float
        Akaike's criterion corrected for the sample size; smaller is better.
    difference : float
        To the best one.
    weight : float
        Share of the evidence, 0..1, over all candidates.
    """

    name: str
    parameters: dict[str, float]
    log_likelihood: float
    aicc: float
    difference: float
    weight: float


@dataclass(frozen=True, slots=True)
class DistributionComparison:
    """Candidates, best first.

    Parameters
    ----------
    candidates : tuple of CandidateFit
        Ranked by AICc.
    distinguishable : bool
        Whether the best stands out from the second.
    verdict : str
        One sentence for the page.
    """

    candidates: tuple[CandidateFit, ...]
    distinguishable: bool
    verdict: str

    @property
    def best(self) -> CandidateFit:
        """The candidate with the smallest AICc."""
        return self.candidates[0]


def compare_distributions(data: LifeData) -> DistributionComparison:
    """Fit and rank Weibull, lognormal, gamma and exponential life.

    Parameters
    ----------
    data : LifeData
        At least three failures of more than one age.

    Returns
    -------
    DistributionComparison

    Raises
    ------
    TooFewFailures
        Below three failures.
    NoSpread
        If all failures have one age.
    NoMaximum
        If late entry leaves the Weibull without a maximum.

    Notes
    -----
    All are fitted by maximum likelihood with suspensions and delayed entry.
    AICc = 2 k - 2 ln L + 2 k (k + 1) / (n - k - 1), with n lives and k
    parameters.

    References
    ----------
    .. [1] Burnham, K. P. and Anderson, D. R., Model Selection and Multimodel
       Inference, 2nd edition, 2002, chapter 2; from memory.
    """
    if data.failures < MINIMUM_FAILURES:
        raise TooFewFailures(
            f"A choice of distribution needs at least {MINIMUM_FAILURES} failures; "
            f"this sample has {data.failures}."
        )
    if np.ptp(data.ages[data.failed]) == 0.0:
        raise NoSpread("All failures have the same age: no distribution can be chosen.")
    fits = [_weibull(data), _lognormal(data), _gamma(data), _exponential(data)]
    scores = [_aicc(height, len(named), data.n) for _, named, height in fits]
    least = min(scores)
    weights = np.exp(-0.5 * (np.array(scores) - least))
    weights /= weights.sum()
    candidates = sorted(
        (
            CandidateFit(name, named, height, score, score - least, float(weight))
            for (name, named, height), score, weight in zip(
                fits, scores, weights, strict=True
            )
        ),
        key=lambda candidate: candidate.aicc,
    )
    close = [c.name for c in candidates if c.difference < TELLING_DIFFERENCE]
    small = data.failures < TELLING_FAILURES
    return DistributionComparison(
        tuple(candidates), len(close) == 1 and not small, _verdict(close, small)
    )


def _verdict(close: list[str], small: bool) -> str:
    if small:
        return f"Below {TELLING_FAILURES} failures no distribution can be told apart."
    if len(close) == 1:
        return f"The {close[0]} fits clearly best."
    names = ", ".join(close[:-1]) + " and " + close[-1]
    return f"The data cannot tell {names} apart."


def _aicc(log_likelihood: float, parameters: int, n: int) -> float:
    spare = n - parameters - 1
    correction = 2.0 * parameters * (parameters + 1) / spare if spare > 0 else np.inf
    return 2.0 * parameters - 2.0 * log_likelihood + correction


def _weibull(data: LifeData) -> tuple[str, dict[str, float], float]:
    fit = weibull_fit(data, intervals="wald_log")
    return "Weibull", {"shape": fit.shape, "scale": fit.scale}, fit.log_likelihood


def _exponential(data: LifeData) -> tuple[str, dict[str, float], float]:
    exposure = float((data.ages - data.entries).sum())
    mean = exposure / data.failures
    height = -data.failures * (1.0 + np.log(mean))
    return "exponential", {"scale": mean}, float(height)


def _lognormal(data: LifeData) -> tuple[str, dict[str, float], float]:
    def density(x: FloatArray, place: FloatArray) -> FloatArray:
        z = (x - place[0]) * np.exp(-place[1])
        return np.asarray(-0.5 * z * z - 0.5 * np.log(2.0 * np.pi) - place[1] - x)

    def survival(x: FloatArray, place: FloatArray) -> FloatArray:
        return np.asarray(special.log_ndtr((place[0] - x) * np.exp(-place[1])))

    logs = _relative_logs(data)[0]
    start = np.array([logs.mean(), np.log(logs.std() + 0.1)])
    place, height = _maximum(data, (density, survival), start)
    return (
        "lognormal",
        {
            "median": float(np.exp(place[0]) * data.ages.max()),
            "log_spread": float(np.exp(place[1])),
        },
        height,
    )


def _gamma(data: LifeData) -> tuple[str, dict[str, float], float]:
    def density(x: FloatArray, place: FloatArray) -> FloatArray:
        shape, z = np.exp(place[0]), x - place[1]
        return np.asarray(shape * z - np.exp(z) - special.gammaln(shape) - x)

    def survival(x: FloatArray, place: FloatArray) -> FloatArray:
        chance = special.gammaincc(np.exp(place[0]), np.exp(x - place[1]))
        return np.asarray(np.log(np.maximum(chance, 1e-300)))

    logs = _relative_logs(data)[0]
    shape = float(np.clip(1.0 / max(logs.var(), 1e-4), 0.2, 1e4))
    start = np.array([np.log(shape), logs.mean() - np.log(shape) + 0.5])
    place, height = _maximum(data, (density, survival), start)
    return (
        "gamma",
        {
            "shape": float(np.exp(place[0])),
            "scale": float(np.exp(place[1]) * data.ages.max()),
        },
        height,
    )


def _relative_logs(data: LifeData) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Log relative ages of failures, of suspensions and at late entries."""
    logs = np.log(data.ages / data.ages.max())
    entered = data.entries[data.entries > 0.0] / data.ages.max()
    return logs[data.failed], logs[~data.failed], np.log(entered)


def _maximum(
    data: LifeData, functions: LogFunctions, start: FloatArray
) -> tuple[FloatArray, float]:
    """Climb the likelihood; the height is in the unit of the ages."""
    density, survival = functions
    failed, cut, entered = _relative_logs(data)

    def loss(place: FloatArray) -> float:
        with np.errstate(over="ignore", invalid="ignore"):
            height = density(failed, place).sum() + survival(cut, place).sum()
            height -= survival(entered, place).sum()
        return -float(height) if np.isfinite(height) else 1e12

    rough = optimize.minimize(
        loss, start, method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-9}
    )
    fine = optimize.minimize(
        loss, rough.x, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-13}
    )
    height = -float(fine.fun) - data.failures * float(np.log(data.ages.max()))
    return np.asarray(fine.x), height
