"""Which distributions explain a population, and whether the data can tell."""

from dataclasses import dataclass

from analytics.life.distribution_curves import candidate_reliability
from analytics.life.distributions import (
    TELLING_FAILURES,
    CandidateFit,
    DistributionComparison,
    compare_distributions,
)
from analytics.life.errors import LifeError, TooFewFailures
from analytics.life.survival import KaplanMeier, kaplan_meier
from analytics.reports.life.estimate import Floats
from analytics.reports.life.reading import LifeReading
from analytics.reports.life.words import advice, nothing_to_fit


@dataclass(frozen=True, slots=True, eq=False)
class LifeDistributions:
    """Candidates with the curve that assumes nothing; `refusal` without them."""

    reading: LifeReading
    comparison: DistributionComparison | None = None
    survival: KaplanMeier | None = None
    refusal: str = ""

    @property
    def is_ranked(self) -> bool:
        """Whether the failures suffice for AICc to rank by more than parameters."""
        data = self.reading.estimate.data
        return data is not None and data.failures >= TELLING_FAILURES

    @property
    def ages(self) -> Floats:
        """Ages along which the candidates are drawn."""
        return self.reading.estimate.curve_ages

    def share_surviving(self, candidate: CandidateFit) -> Floats:
        return candidate_reliability(candidate, self.ages)


def life_distributions(reading: LifeReading) -> LifeDistributions:
    """Rank the candidates; what cannot be ranked is refused in words."""
    data = reading.estimate.data
    if data is None:
        return LifeDistributions(
            reading,
            refusal=_no_data(reading),
        )
    survival = None
    try:
        survival = kaplan_meier(data, reading.question.confidence)
        comparison = compare_distributions(data)
    except LifeError as error:
        return LifeDistributions(
            reading,
            survival=survival,
            refusal=f"{error} {_advice(error, data.failures)}",
        )
    return LifeDistributions(reading, comparison, survival)


def _no_data(reading: LifeReading) -> str:
    error = reading.estimate.error
    if error is None:
        return nothing_to_fit(reading.sample)
    return f"{error} {advice(error, 0)}"


def _advice(error: LifeError, failures: int) -> str:
    """What to do here, where no table of assumed shapes stands below."""
    if isinstance(error, TooFewFailures):
        return (
            "Widen the choice to like parts in like service; the Life view shows what "
            "these lives give at an assumed shape."
        )
    return advice(error, failures)
