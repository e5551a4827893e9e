"""The story as a page: what it shows, to whom, and in how many queries."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from analytics.reports.story.costs import cost_by_year
from analytics.reports.story.subject import position_subject
from plant.choices import Component, Location, WhyRemoved
from records.choices import CostKind
from records.models import Action, SettingCheck, TeardownFinding
from tests.conftest import logged_in
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, ReadingFactory, RepairFactory

BEGAN = datetime(2022, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)
FAILED = {"why_removed": WhyRemoved.DEFECT, "defect_detected": True}


def equip(position, owner):
    """A pump with a history of everything that a story reads."""
    DutyPeriodFactory(position=position)
    pump = PlacementFactory(position=position, placed_at=BEGAN).pump
    for number in range(4):
        start = BEGAN + 200 * number * DAY
        end = start + (120 + 10 * number) * DAY
        seal = {"pump": pump, "position": position, "part_number": "S-1"}
        FittedLifeFactory(**seal, fitted_at=start, removed_at=end, **FAILED)
        repair = RepairFactory(
            position=position, pump=pump, reported_at=end, item="mechanical seal"
        )
        CostLineFactory(repair=repair)
        SettingCheck.objects.create(
            repair=repair, kind="soft foot", stage="left", value=0.2, limit_high=0.05
        )
        TeardownFinding.objects.create(repair=repair, pattern="heat checks")
    FittedLifeFactory(
        pump=pump, position=position, part_number="S-1", fitted_at=BEGAN + 900 * DAY
    )
    FittedLifeFactory(
        pump=pump,
        position=position,
        component=Component.THRUST,
        location=Location.THRUST,
        designation="7309 B",
        fitted_at=BEGAN,
    )
    ReadingFactory(position=position, pump=pump, read_at=BEGAN + DAY, value=20.0)
    action = Action.objects.create(
        site=position.site,
        title="Look at the flush",
        change_made="piping plan",
        owner=owner,
        due_on="2025-01-01",
        decided_at=BEGAN + 500 * DAY,
        decided_by=owner,
    )
    action.positions.add(position)
    return pump


@pytest.fixture
def area(db):
    return AreaFactory()


def queries_of(client, address):
    with CaptureQueriesContext(
        connection,
    ) as found:
        assert client.get(address).status_code == 200
    return len(found)


def test_the_number_of_queries_is_fixed(engineer, engineer_client, area):
    own = PositionFactory(area=area)
    pump = equip(own, engineer)
    equip(PositionFactory(area=area), engineer)
    pages = [
        reverse("analytics:story", args=[own.pk]),
        reverse("analytics:pump_story", args=[pump.pk]),
    ]
    before = [queries_of(engineer_client, page) for page in pages]
    for _ in range(3):
        equip(PositionFactory(area=area), engineer)
    RepairFactory.create_batch(3, position=own, pump=pump)
    assert [queries_of(engineer_client, page) for page in pages] == before
    assert max(before) <= 60


def test_everything_on_record_stands_on_the_page(engineer, engineer_client, area):
    position = PositionFactory(area=area, flow_m3_h=30, bep_flow_m3_h=60)
    equip(position, engineer)
    answer = engineer_client.get(reverse("analytics:story", args=[position.pk]))
    page = answer.content.decode()
    for words in (
        "50\u00a0% below it",
        "Is the cause hydraulic",
        "Soft foot left at 0.2 mm, limit at most 0.05 mm",
        "Heat checks",
        "Look at the flush",
        "zone D",
        "EUR\u00a0200",
        "S-1: failed: removed for a detected defect after",
        "Overhang or diameter of the shaft is not on record.",
        "the dynamic rating C and load P and speed of the position",
    ):
        assert words in page, words


def test_costs_are_for_those_who_may_see_them(engineer, area):
    position = PositionFactory(area=area)
    equip(position, engineer)
    plain = logged_in(UserFactory())
    page = plain.get(reverse("analytics:story", args=[position.pk])).content.decode()
    assert "EUR" not in page
    assert "Checks left out of limit" in page


def test_currencies_and_kinds_of_cost_are_never_added_up(engineer, area):
    repair = RepairFactory(position=PositionFactory(area=area))
    CostLineFactory(repair=repair, amount=Decimal("10.00"))
    CostLineFactory(repair=repair, amount=Decimal("7.00"), currency="USD")
    CostLineFactory(
        repair=repair, kind=CostKind.LOST_PRODUCTION, amount=Decimal("500.00")
    )
    subject = position_subject(
        user=engineer, position=repair.position, as_of=datetime.now(UTC)
    )
    found = [
        (c.year, c.currency, c.repair, c.production) for c in cost_by_year(subject)
    ]
    assert found == [(2024, "EUR", 10, 500), (2024, "USD", 7, 0)]


def test_an_empty_position_and_a_pump_never_placed_have_a_story(engineer_client, area):
    empty = reverse("analytics:story", args=[PositionFactory(area=area).pk])
    stored = reverse("analytics:pump_story", args=[PumpFactory(site=area.site).pk])
    assert "No pump stands here now." in engineer_client.get(empty).content.decode()
    page = engineer_client.get(stored).content.decode()
    assert "It has not stood at a position yet." in page


def test_the_pages_of_position_and_pump_lead_to_it(engineer_client, area):
    placement = PlacementFactory(position__area=area)
    for owner, name in (
        (placement.position, "analytics:story"),
        (placement.pump, "analytics:pump_story"),
    ):
        page = engineer_client.get(owner.get_absolute_url()).content.decode()
        assert f'href="{reverse(name, args=[owner.pk])}"' in page
