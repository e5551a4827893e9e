"""Curvature of the Weibull likelihood, plain and robust to repeated positions."""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.data import LifeData


@dataclass(frozen=True, slots=True, eq=False)
class Information:
    """Covariance of log shape and log scale.

    Parameters
    ----------
    model : ndarray, shape (2, 2)
        Inverse of the observed information.
    robust : ndarray, shape (2, 2), or None
        Sandwich covariance with positions as clusters; None when no position
        has more than one life.
    """

    model: FloatArray
    robust: FloatArray | None

    def variance(self, gradient: FloatArray) -> float:
        """Return the variance of a function with this gradient."""
        return float(gradient @ self.model @ gradient) * self.inflation(gradient)

    def inflation(self, gradient: FloatArray) -> float:
        """Return by how much repeated positions widen the variance.

        Notes
        -----
        Never below one: few clusters make the sandwich too small, and a
        shorter interval because of dependence would mislead.
        """
        if self.robust is None:
            return 1.0
        plain = float(gradient @ self.model @ gradient)
        return max(1.0, float(gradient @ self.robust @ gradient) / plain)

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
    once = (hazard * (1.0 + z)).sum() - (entry_hazard * (1.0 + z_entry)).sum()
    bent = (hazard * z * (1.0 + z)).sum() - (
        entry_hazard * z_entry * (1.0 + z_entry)
    ).sum()
    gained = hazard - entry_hazard
    mixed = shape * (data.failures - once)
    information = np.array(
        [
            [bent - z[data.failed].sum(), mixed],
            [mixed, shape * shape * gained.sum()],
        ]
    )
    model = np.linalg.inv(information)
    if data.groups is None or data.clusters == data.n:
        return Information(model, None)
    scores = np.stack(
        [
            data.failed * (1.0 + z) - hazard * z + entry_hazard * z_entry,
            shape * (gained - data.failed),
        ]
    )
    clustered = np.stack(
        [np.bincount(data.groups, row, data.clusters) for row in scores]
    )
    small_sample = data.clusters / max(data.clusters - 1, 1)
    middle = small_sample * clustered @ clustered.T
    return Information(model, model @ middle @ model)


def _log_and_hazard(
    ages: FloatArray, shape: float, scale: float
) -> tuple[FloatArray, FloatArray]:
    """Return shape * ln(age / scale), zero at age zero, and the hazard."""
    positive = ages > 0.0
    logs = shape * np.log(np.where(positive, ages, scale) / scale)
    return logs, np.where(positive, np.exp(logs), 0.0)
