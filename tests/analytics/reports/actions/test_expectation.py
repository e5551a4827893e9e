"""What is frozen on the day of the decision, and from what."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.core.exceptions import PermissionDenied

from analytics.judging.expectation import freeze
from analytics.models import FrozenExpectation
from analytics.reports.actions.expectation import (
    Frozen,
    expectation_freeze,
    figures_on,
)
from analytics.services.actions import action_decide_and_freeze
from plant.version import VERSION
from records.action_choices import ChangeMade
from records.models import Action, Repair
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    fleet,
    repair,
    repairs_spread,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PumpFactory,
)

pytestmark = pytest.mark.django_db
YEARS = 3 * 365.25


def action_on(positions, **more):
    return ActionFactory(
        site=more.pop("site", None) or positions[0].site,
        positions=positions,
        decided_at=datetime(2023, 1, 1, 8, tzinfo=ZoneInfo("UTC")),
        **more,
    )


def test_the_figures_are_those_of_the_mathematics(engineer):
    positions = fleet(12)
    counts = [6, 4, *[1] * 10]
    for position, count in zip(positions, counts, strict=True):
        repairs_spread(position, count, BEGINNING, DECIDED)
    stored = expectation_freeze(by=engineer, action=action_on(positions[:2]))
    frozen = Frozen.from_figures(stored.figures)
    years = [unit.years for unit in (*frozen.treated, *frozen.equals)]
    assert [unit.events for unit in frozen.treated] == [6, 4]
    assert years == pytest.approx([3.0] * 12, abs=0.01)
    expected = freeze(counts, years, [True, True] + [False] * 10)
    assert frozen.expected == expected
    rates = [unit.rate for unit in frozen.treated]
    np.testing.assert_allclose(rates, expected.rates())
    assert rates[0] < frozen.treated[0].raw_rate


def test_window_rule_and_version_stand_beside_the_figures(engineer):
    positions = fleet(10)
    stored = expectation_freeze(by=engineer, action=action_on(positions[:1]))
    assert (stored.as_of, stored.window_months) == (DECIDED, 36)
    assert stored.software_version == VERSION
    for words in ("gamma-Poisson", "Peers: same site", "standard rule"):
        assert words in stored.rule


def test_nothing_after_the_day_is_used(engineer):
    positions = fleet(10)
    repairs_spread(positions[0], 3, BEGINNING, DECIDED)
    action = action_on(positions[:1])
    before = figures_on(action, DECIDED)
    Repair.objects.bulk_create(
        repair(positions[0], DECIDED + timedelta(days=30 * turn + 1))
        for turn in range(1, 9)
    )
    assert figures_on(action, DECIDED) == before


def test_later_repairs_do_not_touch_what_is_frozen(engineer):
    positions = fleet(10)
    repairs_spread(positions[0], 3, BEGINNING, DECIDED)
    stored = expectation_freeze(by=engineer, action=action_on(positions[:1]))
    Repair.objects.all().delete()
    assert FrozenExpectation.objects.get(pk=stored.pk).figures == stored.figures


def test_treated_units_of_unlike_liquids_are_set_beside_all_of_their_duty(engineer):
    positions = fleet(20)
    for position in positions[:10]:
        position.hazards = ["abrasive"]
        position.save()
    alike = figures_on(action_on(positions[:2]), DECIDED)
    mixed = figures_on(action_on([positions[0], positions[15]]), DECIDED)
    assert len(alike["equals"]) == 8
    assert len(mixed["equals"]) == 18
    assert "any liquid" in mixed["group"]


def test_a_machine_is_treated_wherever_it_stands(engineer):
    positions = fleet(10)
    pumps = [PlacementFactory(position=position).pump for position in positions]
    Repair.objects.bulk_create(
        repair(positions[0], BEGINNING + timedelta(days=90 * turn), pump=pumps[0])
        for turn in range(1, 4)
    )
    figures = figures_on(action_on([], site=pumps[0].site, pump=pumps[0]), DECIDED)
    assert figures["kind"] == "pump"
    [unit] = figures["treated"]
    assert (unit["key"], unit["events"]) == (pumps[0].pk, 3)


def test_a_kind_of_part_treats_the_positions_where_it_stood_that_day(engineer):
    positions = fleet(10)
    site = positions[0].site
    for place, (fitted, removed) in enumerate(
        [(2021, None), (2021, 2022), (2024, None)]
    ):
        pump = PumpFactory(site=site)
        PlacementFactory(position=positions[place], pump=pump)
        FittedLifeFactory(
            pump=pump,
            part_number="S-1",
            fitted_at=datetime(fitted, 1, 1, tzinfo=ZoneInfo("UTC")),
            removed_at=removed and datetime(removed, 1, 1, tzinfo=ZoneInfo("UTC")),
        )
    figures = figures_on(action_on([], site=site, population="S-1"), DECIDED)
    assert [unit["label"] for unit in figures["treated"]] == ["P-000"]


def test_without_a_unit_in_service_nothing_can_be_expected(engineer):
    positions = fleet(10)
    positions[0].in_service_on = date(2024, 1, 1)
    positions[0].save()
    figures = figures_on(action_on(positions[:1]), DECIDED)
    assert figures["expected"] is None


def test_decision_and_expectation_are_stored_together_or_not_at_all(engineer, planner):
    positions = fleet(10)
    decision = {
        "site": positions[0].site,
        "title": "Other faces",
        "change_made": ChangeMade.SEAL_TYPE,
        "owner": engineer,
        "due_on": date(2030, 1, 1),
        "positions": positions[:1],
    }
    with pytest.raises(PermissionDenied):
        action_decide_and_freeze(by=planner, **decision)
    assert not Action.objects.exists()
    action = action_decide_and_freeze(by=engineer, **decision)
    assert action.expectation.figures["treated"][0]["label"] == "P-000"
