"""From a sample to estimates with intervals, or to a refusal with what is left."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.life.data import LifeData
from analytics.life.errors import LifeError
from analytics.life.ranks import median_ranks
from analytics.life.survival import kaplan_meier
from analytics.life.weibull import (
    Band,
    FixedShapeFit,
    WeibullFit,
    fixed_shape_sensitivity,
    weibull_fit,
)
from analytics.reports.life.question import LifeQuestion
from analytics.samples import Sample, Status

Floats = NDArray[np.float64]
CURVE_POINTS = 60
# Below that a shape is hardly known, and in an overview not worth its time.
ENOUGH_FAILURES = 10
MOST_FITS = 50
# What a sample is counted and fitted by; the other columns take time to carry along.
OF_A_FIT = ("status", "age", "entry_age", "position_id", "pump_id")


@dataclass(frozen=True, slots=True, eq=False)
class PlotPoints:
    """Failures as points of the probability plot, with the method in words."""

    ages: Floats
    share_failed: Floats
    method: str


@dataclass(frozen=True, slots=True, eq=False)
class LifeEstimate:
    """What one sample gives: a fit or a refusal.

    Fits at assumed shapes stand beside a refusal, and beside a fit to few failures.
    """

    data: LifeData | None
    fit: WeibullFit | None = None
    error: LifeError | None = None
    assumed: tuple[FixedShapeFit, ...] = ()
    points: PlotPoints | None = None

    def band(self, ages: Floats) -> Band | None:
        """Fitted share failed at these ages with its limits."""
        return self.fit.band(ages) if self.fit else None

    @property
    def curve_ages(self) -> Floats:
        """Ages along which the fitted line is drawn."""
        if self.data is None:
            return np.empty(0)
        failed = self.data.ages[self.data.failed]
        youngest = float(failed.min() if failed.size else self.data.ages.min())
        oldest = float(self.data.ages.max())
        return np.geomspace(youngest * 0.7, oldest * 1.3, CURVE_POINTS)


def life_estimate(sample: Sample, question: LifeQuestion) -> LifeEstimate:
    """Fit the sample; what it cannot carry comes back as an error with words."""
    if sample.used.empty:
        return LifeEstimate(data=None)
    try:
        data = sample.life_data()
    except LifeError as error:
        return LifeEstimate(data=None, error=error)
    points = plot_points(data)
    try:
        fit = weibull_fit(data, question.confidence)
    except LifeError as error:
        assumed = _at_assumed_shapes(data, question)
        return LifeEstimate(data, error=error, assumed=assumed, points=points)
    is_asked = question.assumed_shape is not None
    if is_asked or data.failures < ENOUGH_FAILURES:
        assumed = _at_assumed_shapes(data, question)
        return LifeEstimate(data, fit=fit, assumed=assumed, points=points)
    return LifeEstimate(data, fit=fit, points=points)


def _at_assumed_shapes(
    data: LifeData, question: LifeQuestion
) -> tuple[FixedShapeFit, ...]:
    """How the answer moves with the shape, were it known."""
    shapes = sorted({*question.usual_shapes, question.shape_assumed})
    return fixed_shape_sensitivity(data, shapes, question.confidence)


def plot_points(data: LifeData) -> PlotPoints | None:
    """Where the failures stand on the probability plot.

    Median ranks have no meaning when lives entered late. Then the points lie half-way
    up the steps of the share failed (Meeker and Escobar, Statistical Methods for
    Reliability Data, 1998, section 6.4; from memory).
    """
    if data.failures == 0:
        return None
    if data.entry_ages is None:
        ranks = median_ranks(data)
        method = "median ranks (Benard)"
        if data.suspensions:
            method = "median ranks (Benard) of ranks adjusted for suspensions"
        return PlotPoints(ranks.ages, ranks.median_rank, method)
    curve = kaplan_meier(data)
    before = np.concatenate([[1.0], curve.reliability[:-1]])
    return PlotPoints(
        curve.time,
        1.0 - (before + curve.reliability) / 2,
        "half-way up the steps of the Kaplan-Meier share failed, which allows for "
        "lives that entered late",
    )


@dataclass(frozen=True, slots=True)
class Population:
    """One part and plan within the choice; a fit where failures are not few."""

    part: str
    piping_plan: str
    lives: int
    failed: int
    suspended: int
    fit: WeibullFit | None


def populations(sample: Sample, confidence: float) -> list[Population]:
    """The parts and plans that a sample is made of, largest first."""
    rows = sample.rows
    named = rows[["part", "piping_plan"]]
    names = named.drop_duplicates().to_numpy().tolist()
    group = named.groupby([*named], sort=False, dropna=False).ngroup().to_numpy()
    lives, failed, suspended = (
        np.bincount(group[chosen], minlength=len(names))
        for chosen in (
            np.ones(len(rows), dtype=bool),
            (rows["status"] == Status.FAILED).to_numpy(),
            (rows["status"] == Status.SUSPENDED).to_numpy(),
        )
    )
    slim = rows[[*OF_A_FIT]]
    found = []
    for place, one in enumerate(np.argsort(-lives, kind="stable")):
        fit = None
        if failed[one] >= ENOUGH_FAILURES and place < MOST_FITS:
            fit = _fit_or_none(sample.narrowed(slim[group == one]), confidence)
        part, plan = names[one]
        found.append(
            Population(
                part=part,
                piping_plan=plan,
                lives=int(lives[one]),
                failed=int(failed[one]),
                suspended=int(suspended[one]),
                fit=fit,
            )
        )
    return found


def _fit_or_none(sample: Sample, confidence: float) -> WeibullFit | None:
    try:
        return weibull_fit(sample.life_data(), confidence)
    except LifeError:
        return None
