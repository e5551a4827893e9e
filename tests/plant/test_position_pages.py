"""A position's page and the forms that change it."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plant.models import DutyPeriod, Placement, Position, SpareGroup
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)


def typed(**changes):
    """The smallest position form a browser sends."""
    return {"tag": "P-1", "criticality": "medium", "sparing": "none", **changes}


def entries(response, name) -> dict[str, str]:
    return {entry["term"]: entry["text"] for entry in response.context[name]}


def test_the_page_tells_identity_and_duty_with_units(engineer_client):
    position = PositionFactory(
        tag="P-12", liquid="Brine", flow_m3_h=44.0, bep_flow_m3_h=50.0, head_m=32.5
    )
    response = engineer_client.get(position.get_absolute_url())
    duty = entries(response, "duty")
    assert duty["Flow"] == "44\u00a0m³/h"
    assert duty["Head"] == "32.5\u00a0m"
    assert duty["Distance from best efficiency"] == "12\u00a0% below"
    assert duty["Speed"] == "–"
    assert entries(response, "identity")["Liquid"] == "Brine"


def test_the_caution_names_the_hazards(planner_client):
    position = PositionFactory(hazards=["toxic", "hot"])
    text = planner_client.get(position.get_absolute_url()).text
    assert "Toxic, hot. This record is not a permit" in text


def test_the_page_shows_what_is_fitted_in_the_pump_that_stands_there(engineer_client):
    position = PositionFactory()
    placement = PlacementFactory(position=position)
    FittedLifeFactory(pump=placement.pump, part_number="MS-45", faces="SiC/C")
    FittedLifeFactory(part_number="ELSEWHERE")
    response = engineer_client.get(position.get_absolute_url())
    (row,) = response.context["fitted_rows"]
    assert row[0]["text"] == "Seal, single end, inner"
    assert (row[1]["text"], row[1]["note"]) == ("MS-45", "SiC/C")
    assert "ELSEWHERE" not in response.text


def test_a_pump_without_an_open_life_is_pointed_out(engineer_client):
    placement = PlacementFactory()
    text = engineer_client.get(placement.position.get_absolute_url()).text
    assert "without open lives every life looks too short" in text


def test_the_page_lists_partners_and_earlier_pumps(engineer_client):
    group = SpareGroup.objects.create(site=SiteFactory(), name="P-5", needed_running=1)
    area = AreaFactory(site=group.site)
    position = PositionFactory(area=area, tag="P-5A", spare_group=group)
    PositionFactory(area=area, tag="P-5B", spare_group=group)
    PlacementFactory(
        position=position,
        pump=PumpFactory(site=group.site, serial_number="EARLIER"),
        removed_at=datetime(2022, 1, 1, tzinfo=UTC),
    )
    response = engineer_client.get(position.get_absolute_url())
    assert [row[0]["text"] for row in response.context["partner_rows"]] == ["P-5B"]
    assert response.context["partner_caption"] == "P-5: 1 needed to run"
    assert response.context["pump"] is None
    assert "EARLIER" in response.text


def test_parts_of_other_apps_are_fetched_and_are_plain_links_without_script(
    planner_client,
):
    position = PositionFactory()
    text = planner_client.get(position.get_absolute_url()).text
    for name in ("records:position_repairs", "analytics:position_mtbr"):
        url = reverse(name, args=[position.pk])
        assert f'hx-get="{url}" hx-trigger="load"' in text
        assert f'<a href="{url}">' in text


def test_who_may_not_log_repairs_gets_no_button_for_it(planner_client, manager_client):
    position = PositionFactory()
    url = f"{reverse('records:repair_new')}?position={position.pk}"
    assert url in planner_client.get(position.get_absolute_url()).text
    assert url not in manager_client.get(position.get_absolute_url()).text


def test_times_are_those_of_the_site(engineer_client):
    SiteFactory(name="A", time_zone="UTC")
    position = PositionFactory(area__site=SiteFactory(name="B", time_zone="Asia/Tokyo"))
    PlacementFactory(
        position=position, placed_at=datetime(2024, 1, 1, 20, 0, tzinfo=UTC)
    )
    text = engineer_client.get(position.get_absolute_url()).text
    assert "2024-01-02 05:00" in text


def test_queries_of_the_page_do_not_grow_with_its_history(engineer_client):
    position = PositionFactory()

    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            engineer_client.get(position.get_absolute_url())
        return len(seen)

    now = PlacementFactory(
        position=position, placed_at=datetime(2024, 1, 1, tzinfo=UTC)
    )
    FittedLifeFactory(pump=now.pump)
    DutyPeriodFactory(position=position)
    few = queries()
    for year in range(2010, 2020):
        PlacementFactory(
            position=position,
            placed_at=datetime(year, 1, 1, tzinfo=UTC),
            removed_at=datetime(year + 1, 1, 1, tzinfo=UTC),
        )
        DutyPeriodFactory(position=position, starts_on=date(year, 1, 1))
    for place in ("radial de", "radial nde"):
        FittedLifeFactory(pump=now.pump, component="radial bearing", location=place)
    assert queries() == few


def test_an_engineer_enters_a_position(engineer_client):
    area = AreaFactory()
    response = engineer_client.post(
        reverse("plant:position_new"),
        typed(
            area=area.pk,
            hazards=["toxic", "hot"],
            spare_group_name="P-1",
            needed_running=1,
            flow_m3_h="52.5",
            in_service_on="2024-02-03",
        ),
    )
    position = Position.objects.get()
    assert response.url == position.get_absolute_url()
    assert position.hazards == ["toxic", "hot"]
    assert position.flow_m3_h == 52.5
    assert position.in_service_on == date(2024, 2, 3)
    assert position.spare_group.name == "P-1"


def test_a_tag_that_is_taken_comes_back_with_everything_typed(engineer_client):
    position = PositionFactory(tag="P-1")
    response = engineer_client.post(
        reverse("plant:position_new"),
        typed(area=position.area.pk, service="Reflux of the column"),
    )
    assert response.status_code == 200
    assert "already exists" in response.text
    assert 'value="Reflux of the column"' in response.text


def test_a_negative_flow_is_refused_beside_its_field(engineer_client):
    area = AreaFactory()
    response = engineer_client.post(
        reverse("plant:position_new"), typed(area=area.pk, flow_m3_h="-3")
    )
    assert response.context["form"].errors["flow_m3_h"]
    assert not Position.objects.exists()


def test_a_change_starts_from_what_is_stored(engineer_client):
    group = SpareGroup.objects.create(site=SiteFactory(), name="P-9", needed_running=2)
    position = PositionFactory(
        area__site=group.site, service="Reflux", spare_group=group
    )
    form = engineer_client.get(
        reverse("plant:position_edit", args=[position.pk])
    ).context["form"]
    assert form["service"].value() == "Reflux"
    assert form["spare_group_name"].value() == "P-9"
    assert form["needed_running"].value() == 2


def test_a_change_is_stored(engineer_client):
    position = PositionFactory(tag="P-1")
    engineer_client.post(
        reverse("plant:position_edit", args=[position.pk]),
        typed(area=position.area.pk, service="Reactor feed"),
    )
    position.refresh_from_db()
    assert position.service == "Reactor feed"


def test_a_position_leaves_service(engineer_client):
    position = PositionFactory(in_service_on=date(2020, 1, 1))
    address = reverse("plant:position_out_of_service", args=[position.pk])
    refused = engineer_client.post(address, {"out_of_service_on": "2019-01-01"})
    assert refused.context["form"].errors
    engineer_client.post(address, {"out_of_service_on": "2024-06-01"})
    position.refresh_from_db()
    assert position.out_of_service_on == date(2024, 6, 1)
    page = engineer_client.get(position.get_absolute_url()).text
    assert "This position is not in service." in page


def test_duty_is_set_in_percent_from_a_day_on(engineer_client):
    position = PositionFactory()
    engineer_client.post(
        reverse("plant:duty_period_set", args=[position.pk]),
        {"starts_on": "2024-01-01", "running_percent": "62.5", "piping_plan": "53B"},
    )
    period = DutyPeriod.objects.get()
    assert (period.running_share, period.piping_plan) == (0.625, "53B")


def test_an_earlier_duty_opens_for_change(engineer_client):
    period = DutyPeriodFactory(starts_on=date(2021, 5, 1), running_share=0.5)
    address = reverse("plant:duty_period_set", args=[period.position.pk])
    form = engineer_client.get(f"{address}?from=2021-05-01").context["form"]
    assert form["running_percent"].value() == 50


@pytest.mark.parametrize("wrong", ["2021-13-45", "yesterday", ""])
def test_an_address_with_no_such_day_opens_an_empty_form(engineer_client, wrong):
    position = PositionFactory()
    address = reverse("plant:duty_period_set", args=[position.pk])
    form = engineer_client.get(f"{address}?from={wrong}").context["form"]
    assert form["running_percent"].value() == 100


def test_a_planner_places_a_pump_from_the_store(planner_client):
    position = PositionFactory(area__site__time_zone="Europe/Amsterdam")
    pump = PumpFactory(site=position.site)
    planner_client.post(
        reverse("plant:position_place", args=[position.pk]),
        {"pump": pump.pk, "moved_at": "2024-07-01T12:00"},
    )
    placement = Placement.objects.get()
    assert placement.placed_at == datetime(2024, 7, 1, 10, 0, tzinfo=UTC)


def test_only_pumps_in_the_store_of_the_site_are_offered(planner_client):
    position = PositionFactory()
    store = PumpFactory(site=position.site)
    PumpFactory(site=position.site, retired_on=date(2023, 1, 1))
    PlacementFactory(position=PositionFactory(area=position.area))
    PumpFactory()
    form = planner_client.get(
        reverse("plant:position_place", args=[position.pk])
    ).context["form"]
    assert list(form.fields["pump"].queryset) == [store]
