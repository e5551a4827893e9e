"""How many failures stay, from the lives of the old and of the new kind of part."""

from dataclasses import dataclass
from datetime import date

from analytics.life.weibull import FixedShapeFit, WeibullFit
from analytics.money.errors import TooLittleData
from analytics.money.failures_avoided.from_lives import ratio_from_lives
from analytics.money.failures_avoided.ratio import FailureRatio
from analytics.reports.life.estimate import life_estimate
from analytics.reports.life.question import COMPONENT_NAMES, COMPONENTS, LifeQuestion
from analytics.reports.upgrades.typed import Population
from analytics.samples import SampleRule, Status, end_of_day, sample_build
from plant.models import User
from records.choices import Item
from records.selectors.lives import LifeFilter, life_tables

ITEMS_OF_COMPONENT: dict[str, tuple[str, ...]] = {
    "seal": (Item.SEAL,),
    "bearing": (Item.RADIAL_BEARING, Item.THRUST_BEARING),
    "radial bearing": (Item.RADIAL_BEARING,),
    "thrust bearing": (Item.THRUST_BEARING,),
}


@dataclass(frozen=True, slots=True)
class LivesOfPart:
    """Lives of one kind of part with its fit."""

    name: str
    lives: int
    failed: int
    fit: WeibullFit | FixedShapeFit

    @property
    def in_words(self) -> str:
        return f"{self.name}: {self.failed} of {self.lives} lives ended with a failure"


@dataclass(frozen=True, slots=True)
class LivesEvidence:
    """The ratio with both populations."""

    ratio: FailureRatio
    old: LivesOfPart
    new: LivesOfPart


def lives_evidence(
    user: User, as_of: date, old: Population, new: Population
) -> LivesEvidence:
    """Fit both populations among all lives in sight and compare them.

    Raises
    ------
    TooLittleData
        If the kinds of part differ, or a side has too few failures or no fit.
    MoneyError
        As `ratio_from_lives` refuses.
    """
    if old.component != new.component:
        raise TooLittleData(
            f"{COMPONENT_NAMES[old.component]} and "
            f"{COMPONENT_NAMES[new.component].lower()} have no life in common."
        )
    before, after = (_lives(user, as_of, one) for one in (old, new))
    return LivesEvidence(ratio_from_lives(before.fit, after.fit), before, after)


def _lives(user: User, as_of: date, population: Population) -> LivesOfPart:
    question = LifeQuestion(
        component=population.component,
        choice=LifeFilter(
            components=COMPONENTS[population.component],
            part=population.part,
            piping_plan=population.plan,
        ),
        rule=SampleRule(as_of=end_of_day(as_of)),
    )
    tables = life_tables(user=user, choice=question.choice, as_of=question.rule.as_of)
    sample = sample_build(tables, question.rule)
    estimate = life_estimate(sample, question)
    # A shape that few failures leave open is taken from what is usual.
    usual = [fit for fit in estimate.assumed if fit.shape == question.shape_assumed]
    fit = estimate.fit or next(iter(usual), None)
    if fit is None:
        reason = str(estimate.error or "No such life is on record.")
        raise TooLittleData(f"{question.name}: {reason}")
    return LivesOfPart(
        question.name, len(sample.used), sample.count(Status.FAILED), fit
    )
