"""A pump's page and the forms that enter, change, move and retire it."""

from datetime import UTC, date, datetime, timedelta

from django.urls import reverse
from django.utils import timezone

from plant.models import Placement, Pump
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)


def entries(response) -> dict[str, str]:
    return {entry["term"]: entry["text"] for entry in response.context["assembly"]}


def test_the_page_shows_the_stiffness_ratio_with_its_unit(engineer_client):
    pump = PumpFactory(shaft_overhang_mm=220, shaft_diameter_mm=45)
    facts = entries(engineer_client.get(pump.get_absolute_url()))
    assert facts["Shaft stiffness ratio L³/D⁴"] == "2.60\u00a01/mm"
    assert facts["Shaft overhang"] == "220\u00a0mm"


def test_without_shaft_data_there_is_no_ratio(engineer_client):
    pump = PumpFactory(shaft_overhang_mm=220)
    response = engineer_client.get(pump.get_absolute_url())
    assert entries(response)["Shaft stiffness ratio L³/D⁴"] == "–"
    assert "needs overhang and diameter" in response.text


def test_the_page_shows_every_life_with_its_derived_ending(engineer_client):
    pump = PumpFactory()
    FittedLifeFactory(
        pump=pump,
        fitted_at=datetime(2020, 1, 1, tzinfo=UTC),
        removed_at=datetime(2020, 3, 1, tzinfo=UTC),
        defect_detected=True,
        why_removed="defect",
    )
    FittedLifeFactory(pump=pump, fitted_at=datetime(2020, 3, 2, tzinfo=UTC))
    response = engineer_client.get(pump.get_absolute_url())
    endings = [row[-1]["text"] for row in response.context["life_rows"]]
    assert endings == [
        "Still in service",
        "Failed: removed for a detected defect",
    ]
    assert len(response.context["fitted_rows"]) == 1


def test_the_page_says_where_the_pump_is(engineer_client):
    store, retired = PumpFactory(), PumpFactory(retired_on=date(2023, 1, 2))
    placed = PlacementFactory(position__tag="P-44").pump
    assert "In the store." in engineer_client.get(store.get_absolute_url()).text
    assert (
        "Retired on 2023-01-02" in engineer_client.get(retired.get_absolute_url()).text
    )
    assert "P-44" in engineer_client.get(placed.get_absolute_url()).text


def test_an_engineer_enters_a_pump(engineer_client):
    site = SiteFactory()
    response = engineer_client.post(
        reverse("plant:pump_new"),
        {"site": site.pk, "serial_number": "S-1", "assembly": "back pull-out"},
    )
    pump = Pump.objects.get()
    assert response.url == pump.get_absolute_url()
    assert pump.assembly == "back pull-out"


def test_a_serial_that_is_taken_comes_back_with_everything_typed(engineer_client):
    taken = PumpFactory(serial_number="S-1", maker="")
    response = engineer_client.post(
        reverse("plant:pump_new"),
        {
            "site": taken.site.pk,
            "serial_number": "S-1",
            "assembly": "whole pump",
            "casing_material": "duplex",
        },
    )
    assert "already exists" in response.text
    assert 'value="duplex"' in response.text
    assert Pump.objects.count() == 1


def test_a_change_is_stored_and_leaves_the_site(engineer_client):
    pump = PumpFactory(serial_number="S-1")
    other = SiteFactory()
    engineer_client.post(
        reverse("plant:pump_edit", args=[pump.pk]),
        {"site": other.pk, "serial_number": "S-2", "assembly": "whole pump"},
    )
    changed = Pump.objects.get()
    assert changed.serial_number == "S-2"
    assert changed.site == pump.site


def test_a_move_takes_the_pump_from_one_position_to_another(planner_client):
    placement = PlacementFactory()
    target = PositionFactory(area=placement.position.area)
    there_before = PlacementFactory(position=target)
    planner_client.post(
        reverse("plant:pump_move", args=[placement.pump.pk]),
        {"destination": target.pk, "moved_at": "2024-07-01T12:00"},
    )
    moved_at = datetime(2024, 7, 1, 12, 0, tzinfo=UTC)
    for earlier in (placement, there_before):
        earlier.refresh_from_db()
        assert earlier.removed_at == moved_at
    now = Placement.objects.get(removed_at__isnull=True)
    assert (now.pump, now.position) == (placement.pump, target)


def test_a_move_to_the_store_closes_the_placement(planner_client):
    placement = PlacementFactory()
    planner_client.post(
        reverse("plant:pump_move", args=[placement.pump.pk]),
        {"destination": "store", "moved_at": "2024-07-01T12:00"},
    )
    placement.refresh_from_db()
    assert placement.removed_at == datetime(2024, 7, 1, 12, 0, tzinfo=UTC)


def test_a_move_before_the_pump_came_is_refused_beside_the_time(planner_client):
    placement = PlacementFactory(placed_at=datetime(2024, 1, 1, tzinfo=UTC))
    response = planner_client.post(
        reverse("plant:pump_move", args=[placement.pump.pk]),
        {"destination": "store", "moved_at": "2023-07-01T12:00"},
    )
    (message,) = response.context["form"].errors["moved_at"]
    assert "only on 2024-01-01" in message
    placement.refresh_from_db()
    assert placement.removed_at is None


def test_a_move_in_the_future_is_refused(planner_client):
    placement = PlacementFactory()
    later = timezone.now() + timedelta(days=2)
    response = planner_client.post(
        reverse("plant:pump_move", args=[placement.pump.pk]),
        {"destination": "store", "moved_at": later.strftime("%Y-%m-%dT%H:%M")},
    )
    assert "still to come" in response.context["form"].errors["moved_at"][0]


def test_what_is_in_the_store_does_not_move_to_the_store(planner_client):
    pump = PumpFactory()
    response = planner_client.post(
        reverse("plant:pump_move", args=[pump.pk]),
        {"destination": "store", "moved_at": "2024-07-01T12:00"},
    )
    assert "in the store already" in response.context["form"].errors["destination"][0]


def test_a_retired_pump_does_not_move(planner_client):
    pump = PumpFactory(retired_on=date(2023, 1, 1))
    position = PositionFactory(area__site=pump.site)
    response = planner_client.post(
        reverse("plant:pump_move", args=[pump.pk]),
        {"destination": position.pk, "moved_at": "2024-07-01T12:00"},
    )
    assert "retired" in str(response.context["form"].errors)
    assert not Placement.objects.exists()


def test_an_engineer_retires_a_pump_from_the_store(engineer_client):
    pump = PumpFactory()
    address = reverse("plant:pump_retire", args=[pump.pk])
    engineer_client.post(address, {"retired_on": "2024-07-01"})
    pump.refresh_from_db()
    assert pump.retired_on == date(2024, 7, 1)


def test_a_pump_in_service_is_not_retired_and_the_form_says_why(engineer_client):
    placement = PlacementFactory(position__tag="P-3")
    response = engineer_client.post(
        reverse("plant:pump_retire", args=[placement.pump.pk]),
        {"retired_on": "2024-07-01"},
    )
    assert "It stands at P-3" in response.context["form"].errors["retired_on"][0]
