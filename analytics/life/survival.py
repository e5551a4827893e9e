"""Share surviving and cumulative hazard without assuming any distribution."""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray, IntArray, checked_confidence
from analytics.life.data import LifeData
from analytics.life.errors import TooFewFailures


@dataclass(frozen=True, slots=True, eq=False)
class KaplanMeier:
    """Reliability just after each age at failure.

    Parameters
    ----------
    time : ndarray
        Distinct ages at failure, ascending.
    at_risk, failures : ndarray of int
        Lives under watch just before, and failures at, each age.
    reliability, standard_error : ndarray
        Estimate with its Greenwood error; NaN error once nothing survives.
    lower, upper : ndarray
        Pointwise limits within 0..1.
    confidence : float
        Two-sided confidence of the limits.
    warnings : tuple of str
        Doubts, in sentences.
    """

    time: FloatArray
    at_risk: IntArray
    failures: IntArray
    reliability: FloatArray
    standard_error: FloatArray
    lower: FloatArray
    upper: FloatArray
    confidence: float
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class NelsonAalen:
    """Cumulative hazard just after each age at failure.

    Parameters
    ----------
    time, at_risk, failures
        As in `KaplanMeier`.
    hazard, standard_error : ndarray
        Estimate with the root of the sum of failures / at risk squared.
    lower, upper : ndarray
        Pointwise limits, above zero.
    confidence : float
        Two-sided confidence of the limits.
    """

    time: FloatArray
    at_risk: IntArray
    failures: IntArray
    hazard: FloatArray
    standard_error: FloatArray
    lower: FloatArray
    upper: FloatArray
    confidence: float


def kaplan_meier(data: LifeData, confidence: float = 0.90) -> KaplanMeier:
    """Estimate the share of lives that outlast each age.

    Parameters
    ----------
    data : LifeData
        Lives with suspensions and delayed entry. A suspension tied with a
        failure was at risk; a life that enters at the age of a failure was
        not.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.

    Returns
    -------
    KaplanMeier

    Raises
    ------
    InvalidSample
        If the confidence is out of range.
    TooFewFailures
        If nothing failed.

    Notes
    -----
    Limits come from the log-log transform of the estimate. Where nothing
    survives, the lower limit is zero and the upper one stays as it was.

    References
    ----------
    .. [1] Kalbfleisch, J. D. and Prentice, R. L., The Statistical Analysis of
       Failure Time Data, 2nd edition, 2002, section 1.4; from memory.
    """
    confidence = checked_confidence(confidence)
    time, at_risk, failures = risk_table(data)
    survivors = at_risk - failures
    reliability: FloatArray = np.cumprod(survivors / at_risk).astype(np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        summed = np.cumsum(failures / (at_risk * survivors.astype(np.float64)))
        standard_error: FloatArray = reliability * np.sqrt(summed)
        log_reliability = np.log(reliability)
        reach = _normal(confidence) * np.sqrt(summed) / np.abs(log_reliability)
        lower = np.exp(log_reliability * np.exp(reach))
        upper = np.exp(log_reliability * np.exp(-reach))
    gone = reliability == 0.0
    if gone.any():
        first = int(gone.argmax())
        lower[gone], standard_error[gone] = 0.0, np.nan
        upper[gone] = upper[first - 1] if first else 1.0
    return KaplanMeier(
        time=time,
        at_risk=at_risk,
        failures=failures,
        reliability=reliability,
        standard_error=standard_error,
        lower=lower,
        upper=upper,
        confidence=confidence,
        warnings=_early_end(data, time, gone),
    )


def nelson_aalen(data: LifeData, confidence: float = 0.90) -> NelsonAalen:
    """Estimate the cumulative hazard at each age.

    Parameters
    ----------
    data : LifeData
        As for `kaplan_meier`.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.

    Returns
    -------
    NelsonAalen

    Raises
    ------
    InvalidSample
        If the confidence is out of range.
    TooFewFailures
        If nothing failed.

    Notes
    -----
    Sum of failures / at risk; limits from the log transform.

    References
    ----------
    .. [1] Aalen, O., Annals of Statistics 6 (1978) 701-726; from memory.
    """
    confidence = checked_confidence(confidence)
    time, at_risk, failures = risk_table(data)
    hazard = np.cumsum(failures / at_risk)
    standard_error = np.sqrt(np.cumsum(failures / at_risk.astype(np.float64) ** 2))
    factor = np.exp(_normal(confidence) * standard_error / hazard)
    return NelsonAalen(
        time=time,
        at_risk=at_risk,
        failures=failures,
        hazard=hazard,
        standard_error=standard_error,
        lower=hazard / factor,
        upper=hazard * factor,
        confidence=confidence,
    )


def risk_table(data: LifeData) -> tuple[FloatArray, IntArray, IntArray]:
    """Return distinct ages at failure, lives at risk and failures at each.

    Raises
    ------
    TooFewFailures
        If nothing failed.
    """
    if data.failures == 0:
        raise TooFewFailures("Nothing failed, so the sample shows no decline.")
    time, failures = np.unique(data.ages[data.failed], return_counts=True)
    ended = np.searchsorted(np.sort(data.ages), time, side="left")
    entered = np.searchsorted(np.sort(data.entries), time, side="left")
    return time, (entered - ended).astype(np.int64), failures.astype(np.int64)


def _early_end(
    data: LifeData, time: FloatArray, gone: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> tuple[str, ...]:
    """Warn when late entries left a moment with every watched life failed."""
    if not gone.any() or data.ages.max() <= time[int(gone.argmax())]:
        return ()
    return (
        f"All lives under watch at {time[int(gone.argmax())]:g} {data.unit} failed "
        "while others entered later: the curve ends there too early.",
    )


def _normal(confidence: float) -> float:
    return float(special.ndtri(0.5 + 0.5 * confidence))
