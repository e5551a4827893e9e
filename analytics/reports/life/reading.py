"""One population read once: the records, the sample and its estimate.

Every view of the Life page begins here, so all of them speak of the same lives.
"""

from dataclasses import dataclass

from analytics.life.weibull import FixedShapeFit, WeibullFit
from analytics.reports.life.estimate import LifeEstimate, life_estimate
from analytics.reports.life.question import LifeQuestion
from analytics.samples import Sample, sample_build
from plant.models import User
from records.selectors.lives import LifeTables, life_tables


@dataclass(frozen=True, slots=True, eq=False)
class LifeReading:
    """What the records hold about a question, judged and fitted."""

    question: LifeQuestion
    tables: LifeTables
    sample: Sample
    estimate: LifeEstimate

    @property
    def basis(self) -> WeibullFit | FixedShapeFit | None:
        """The fit or, where the shape must be assumed, the fit at that shape.

        None without a failure: such a sample gives a lower bound and no more.
        """
        if self.estimate.fit is not None:
            return self.estimate.fit
        wanted = self.question.shape_assumed
        for fit in self.estimate.assumed:
            if fit.shape == wanted and fit.scale is not None:
                return fit
        return None

    @property
    def is_assumed(self) -> bool:
        """Whether the basis stands on a shape that the data did not give."""
        return isinstance(self.basis, FixedShapeFit)


def life_reading(*, user: User, question: LifeQuestion) -> LifeReading:
    """Read, judge and fit; the number of queries does not depend on the records."""
    tables = life_tables(user=user, choice=question.choice, as_of=question.rule.as_of)
    sample = sample_build(tables, question.rule)
    return LifeReading(question, tables, sample, life_estimate(sample, question))
