"""Lives to judge, fitted on the first day of 2021 and judged a year later."""

from datetime import UTC, datetime, timedelta

from analytics.ages import Clock
from analytics.samples import SampleRule, sample_build
from plant.choices import (
    ConditionFound,
    WhyRemoved,
)
from records.selectors.lives import LifeFilter, life_tables
from tests.factories.plant import (
    FittedLifeFactory,
)

DAY = timedelta(days=1)
FITTED = datetime(2021, 1, 1, tzinfo=UTC)
AS_OF = datetime(2022, 1, 1, tzinfo=UTC)
FAILED = {"why_removed": WhyRemoved.DEFECT, "defect_detected": True}
SOUND = {"why_removed": WhyRemoved.PRACTICE, "condition_found": ConditionFound.GOOD}
METER = {"fitted_hours": 1_000.0, "removed_hours": 3_400.0}


def judge(user, clock=Clock.DAYS, **rule):
    """Judge all lives on record that the user may see."""
    rule = SampleRule(**{"as_of": AS_OF, "clock": clock, **rule})
    tables = life_tables(user=user, choice=LifeFilter(), as_of=rule.as_of)
    return sample_build(tables, rule)


def life(days=None, **facts):
    """A seal fitted on 1 January 2021, taken out after so many days."""
    if days is not None:
        facts = {"removed_at": FITTED + days * DAY, **facts}
    return FittedLifeFactory(**{"fitted_at": FITTED, **facts})


def only(sample):
    assert len(sample.rows) == 1
    return sample.rows.iloc[0]
