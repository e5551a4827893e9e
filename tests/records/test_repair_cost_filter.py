"""The repairs page asked for some cost lines, for one position, for rework."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from plant.choices import Component, Location
from records.choices import ChangeKind, CostKind, CostStatus, Item
from records.models import ComponentChange, Repair
from records.selectors.part_named import part_named
from records.selectors.repairs import rework_and_its_shop_work
from tests.conftest import logged_in
from tests.factories.plant import (
    FittedLifeFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
DAY = datetime(2024, 3, 1, 8, tzinfo=UTC)


def totals(client, **query):
    """Repair cost and lost production under the table, and the rows in it."""
    context = client.get("/repairs/", query).context
    cells = context["totals"] or [{"text": ""}] * 10
    listed = [row.number for row in context["page"].object_list]
    return cells[-3]["text"], cells[-2]["text"], listed


@pytest.fixture
def ledger():
    """R-1 with labour and lost production; R-2 with estimated parts of next year."""
    first = RepairFactory(number="R-1")
    CostLineFactory(repair=first, kind=CostKind.LABOUR, amount=Decimal("10.01"))
    CostLineFactory(
        repair=first, kind=CostKind.LOST_PRODUCTION, amount=Decimal("500.00")
    )
    second = RepairFactory(number="R-2", position=first.position)
    CostLineFactory(
        repair=second,
        amount=Decimal("7.00"),
        status=CostStatus.ESTIMATE,
        booked_on=date(2025, 1, 2),
    )
    return first, second


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({}, ("EUR\u00a017.01", "EUR\u00a0500.00", ["R-2", "R-1"])),
        ({"cost_kind": "labour"}, ("EUR\u00a010.01", "–", ["R-1"])),
        ({"cost_kind": "repair cost"}, ("EUR\u00a017.01", "–", ["R-2", "R-1"])),
        ({"cost_kind": "lost production"}, ("–", "EUR\u00a0500.00", ["R-1"])),
        ({"cost_status": "estimate"}, ("EUR\u00a07.00", "–", ["R-2"])),
        ({"booked_from": "2025-01-01"}, ("EUR\u00a07.00", "–", ["R-2"])),
        ({"booked_to": "2024-12-31"}, ("EUR\u00a010.01", "EUR\u00a0500.00", ["R-1"])),
    ],
)
def test_only_the_lines_asked_for_are_added_up(ledger, manager_client, query, found):
    assert totals(manager_client, **query) == found


def test_the_page_says_which_lines_are_added_up(ledger, manager_client):
    page = manager_client.get("/repairs/", {"cost_kind": "labour"}).content.decode()
    assert "Only these cost lines are added up: labour." in page


def test_whoever_may_not_see_costs_cannot_ask_for_cost_lines(ledger):
    client = logged_in(UserFactory(sees_all_sites=True))
    context = client.get("/repairs/", {"cost_kind": "labour"}).context
    assert len(context["page"].object_list) == 2
    assert "cost_kind" not in context["form"].fields


def test_one_position_is_named_and_can_be_left_out(ledger, manager_client):
    RepairFactory(number="R-9")
    position = ledger[0].position
    answer = manager_client.get("/repairs/", {"position": position.pk})
    assert len(answer.context["page"].object_list) == 2
    assert answer.context["narrowed"] == [
        {"text": f"Only position {position.tag}.", "url": "?"}
    ]


def test_rework_holds_for_the_window_of_the_site_and_takes_its_shop_work():
    site = SiteFactory(rework_window_days=10)
    position = PositionFactory(area__site=site)
    pump = PumpFactory(site=site)

    def repair(number, days, **more):
        return RepairFactory(
            number=number,
            position=position,
            pump=pump,
            reported_at=DAY + timedelta(days=days),
            **more,
        )

    repair("first", 0)
    again = repair("again", 10)
    repair("later", 21)
    repair("shop", 30, shop_work_of=again)
    found = rework_and_its_shop_work(Repair.objects.order_by("number"))
    assert [row.number for row in found] == ["again", "shop"]


def part_of(repair):
    return Repair.objects.annotate(part=part_named()).get(pk=repair.pk).part


def change(repair, name, kind, component=Component.SEAL):
    is_seal = component == Component.SEAL
    life = FittedLifeFactory(
        component=component,
        location=Location.SEAL_SINGLE_INNER if is_seal else Location.RADIAL_DE,
        part_number=name if is_seal else "",
        designation="" if is_seal else name,
    )
    ComponentChange.objects.create(repair=repair, life=life, change=kind)


def test_the_part_is_what_came_out_of_the_item_before_anything_else():
    repair = RepairFactory(item=Item.SEAL)
    assert part_of(repair) == "no part named"
    change(repair, "6310", ChangeKind.OUT, Component.RADIAL)
    assert part_of(repair) == "6310"
    change(repair, "S-NEW", ChangeKind.IN)
    assert part_of(repair) == "S-NEW"
    change(repair, "S-OLD", ChangeKind.OUT)
    assert part_of(repair) == "S-OLD"
    change(repair, "S-OTHER", ChangeKind.OUT)
    assert part_of(repair) == "several parts"


def test_two_of_one_number_are_one_part():
    repair = RepairFactory(item=Item.RADIAL_BEARING)
    for kind in ChangeKind:
        change(repair, "6310", kind, Component.RADIAL)
    change(repair, "6310", ChangeKind.OUT, Component.RADIAL)
    assert part_of(repair) == "6310"
