"""Which distributions explain a population, and whether the data can tell."""

from dataclasses import dataclass

from analytics.life.distribution_curves import candidate_reliability
from analytics.life.distributions import (
    CandidateFit,
    DistributionComparison,
    compare_distributions,
)
from analytics.life.errors import LifeError
from analytics.life.survival import KaplanMeier, kaplan_meier
from analytics.reports.life.estimate import Floats
from analytics.reports.life.reading import LifeReading
from analytics.reports.life.words import advice


@dataclass(frozen=True, slots=True, eq=False)
class LifeDistributions:
    """Candidates with the curve that assumes nothing; `refusal` without them."""

    reading: LifeReading
    comparison: DistributionComparison | None = None
    survival: KaplanMeier | None = None
    refusal: str = ""

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
            refusal="No life of this choice can take part. The Life view says why.",
        )
    survival = None
    try:
        survival = kaplan_meier(data, reading.question.confidence)
        comparison = compare_distributions(data)
    except LifeError as error:
        return LifeDistributions(
            reading,
            survival=survival,
            refusal=f"{error} {advice(error, data.failures)}",
        )
    return LifeDistributions(reading, comparison, survival)
