"""Seals under two piping plans, of which one makes them last longer."""

from datetime import UTC, datetime

from analytics.ages import Clock
from analytics.reports.drivers.report import DriversQuestion, drivers_report
from analytics.reports.life.question import COMPONENTS
from analytics.samples import SampleRule
from records.selectors.lives import LifeFilter
from tests.analytics.seals_on_record import DAY, FAILED, FITTED
from tests.factories.plant import FittedLifeFactory, PlacementFactory, PositionFactory

AS_OF = datetime(2026, 1, 1, tzinfo=UTC)
SHORT = (60, 90, 120, 150, 170, 200, 230, 260, 300, 350, 420, 500)


def seal(days, *, position=None, pump_facts=None, **facts):
    """A seal that failed after so many days in a pump at its own position."""
    pump_facts = {f"pump__{name}": value for name, value in (pump_facts or {}).items()}
    placement = PlacementFactory(
        position=position or PositionFactory(), placed_at=FITTED, **pump_facts
    )
    return FittedLifeFactory(
        pump=placement.pump,
        position=placement.position,
        fitted_at=FITTED,
        removed_at=FITTED + days * DAY,
        **FAILED,
        **facts,
    )


def two_plans(**facts):
    """Twelve seals under each plan; those under 21 last three times as long."""
    for place, days in enumerate(SHORT):
        known = {name: values[place % 2] for name, values in facts.items()}
        seal(days, piping_plan="11", **known)
        seal(3 * days, piping_plan="21", **known)


def report(user, *covariates, component="seal", clock=Clock.DAYS, **choice):
    question = DriversQuestion(
        component,
        LifeFilter(components=COMPONENTS[component], **choice),
        SampleRule(as_of=AS_OF, clock=clock),
        covariates,
    )
    return drivers_report(user=user, question=question)
