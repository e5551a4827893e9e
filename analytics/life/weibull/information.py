"""Curvature of the Weibull likelihood, plain and robust to repeated positions."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.data import LifeData

# Fewer degrees of freedom would make limits of two or three positions useless.
LEAST_DEGREES = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Information:
    """Covariance of log shape and log scale.

    Parameters
    ----------
    model : ndarray, shape (2, 2)
        Inverse of the observed information.
    robust : ndarray, shape (2, 2), or None
        Sandwich covariance with positions as clusters; None when no position
        has more than one life or there is only one position.
    clusters : int
        Positions, or lives when positions do not repeat.
    """

    model: FloatArray
    robust: FloatArray | None
    clusters: int

    def variance(self, gradient: FloatArray, confidence: float) -> float:
        """Return the variance of a function with this gradient."""
        plain = float(gradient @ self.model @ gradient)
        return plain * self.inflation(gradient, confidence)

    def inflation(self, gradient: FloatArray, confidence: float) -> float:
        """Return by how much repeated positions widen the variance.

        Notes
        -----
        Few positions tell little about their spread: the normal limit gives
        way to that of Student's t with one degree less than positions, though
        not below four. Never below one: an interval shorter because of
        dependence would mislead.
        """
        if self.robust is None:
            return 1.0
        plain = float(gradient @ self.model @ gradient)
        tail = 0.5 + 0.5 * confidence
        degrees = max(self.clusters - 1.0, LEAST_DEGREES)
        student = special.stdtrit(degrees, tail) / special.ndtri(tail)
        return max(1.0, float(gradient @ self.robust @ gradient) / plain * student**2)

    def spread(self) -> FloatArray:
        """Return the covariance of the logs that random draws should have.

        Notes
        -----
        The robust one where positions repeat, but along no direction less
        than that of the model.
        """
        if self.robust is None:
            return self.model
        root = np.linalg.cholesky(self.model)
        sizes, axes = np.linalg.eigh(
            np.linalg.solve(root, np.linalg.solve(root, self.robust).T)
        )
        half = root @ axes * np.sqrt(np.maximum(sizes, 1.0))
        return np.asarray(half @ half.T, dtype=np.float64)

    def covariance(self, shape: float, scale: float) -> FloatArray:
        """Return the covariance of shape and scale, robust where it applies."""
        chosen = self.model if self.robust is None else self.robust
        stretch = np.array([shape, scale])
        return chosen * np.outer(stretch, stretch)


def weibull_information(data: LifeData, shape: float, scale: float) -> Information:
    """Evaluate the information at the fitted parameters.

    References
    ----------
    .. [1] White, H., Econometrica 50 (1982) 1-25 (sandwich covariance); from
       memory.
    """
    z, hazard = _log_and_hazard(data.ages, shape, scale)
    z_entry, entry_hazard = _log_and_hazard(data.entries, shape, scale)
    once = hazard * (1.0 + z) - entry_hazard * (1.0 + z_entry)
    bent = hazard * z * (1.0 + z) - entry_hazard * z_entry * (1.0 + z_entry)
    gained = hazard - entry_hazard
    # Per life: the three entries of the information.
    parts = (
        bent - data.failed * z,
        shape * (data.failed - once),
        shape * shape * gained,
    )
    whole = _matrix([float(part.sum()) for part in parts])
    model = np.asarray(np.linalg.inv(whole), dtype=np.float64)
    if data.groups is None or data.clusters in (1, data.n):
        return Information(model, None, data.clusters)
    scores = (
        data.failed * (1.0 + z) - hazard * z + entry_hazard * z_entry,
        shape * (gained - data.failed),
    )
    by_position = np.stack(
        [np.bincount(data.groups, row, data.clusters) for row in scores]
    )
    small_sample = data.clusters / (data.clusters - 1.0)
    middle = small_sample * by_position @ by_position.T
    return Information(model, model @ middle @ model, data.clusters)


def _matrix(entries: Sequence[float]) -> FloatArray:
    """Return a symmetric matrix from its three entries."""
    first, mixed, second = entries
    return np.array([[first, mixed], [mixed, second]], dtype=np.float64)


def _log_and_hazard(
    ages: FloatArray, shape: float, scale: float
) -> tuple[FloatArray, FloatArray]:
    """Return shape * ln(age / scale), zero at age zero, and the hazard."""
    positive = ages > 0.0
    logs = shape * np.log(np.where(positive, ages, scale) / scale)
    return logs, np.where(positive, np.exp(logs), 0.0)
