"""The register of positions: who sees what, filters, order, export, queries."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plant.choices import Criticality
from plant.selectors.positions import positions_list
from tests.conftest import logged_in
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)

TODAY = date(2025, 6, 1)


def tags(user, **filters) -> list[str]:
    return [p.tag for p in positions_list(user=user, on=TODAY, **filters)]


def csv_lines(response) -> list[str]:
    return b"".join(response.streaming_content).decode("utf-8-sig").splitlines()


def test_a_row_shows_the_pump_that_stands_there_now(engineer):
    position = PositionFactory(tag="P-1")
    PlacementFactory(
        position=position,
        pump=PumpFactory(site=position.site, serial_number="OLD"),
        removed_at=datetime(2022, 1, 1, tzinfo=UTC),
    )
    now = PlacementFactory(
        position=position,
        pump=PumpFactory(site=position.site, serial_number="NEW"),
        placed_at=datetime(2022, 1, 1, tzinfo=UTC),
    )
    (row,) = positions_list(user=engineer, on=TODAY)
    assert (row.pump_serial, row.pump_pk) == ("NEW", now.pump_id)


def test_the_plan_is_the_one_that_holds_on_the_day(engineer):
    position = PositionFactory()
    DutyPeriodFactory(position=position, starts_on=date(2020, 1, 1), piping_plan="11")
    DutyPeriodFactory(position=position, starts_on=date(2024, 1, 1), piping_plan="53B")
    DutyPeriodFactory(position=position, starts_on=date(2026, 1, 1), piping_plan="54")
    (row,) = positions_list(user=engineer, on=TODAY)
    assert row.piping_plan == "53B"


@pytest.mark.parametrize("text", ["p-77", "absorber circ", "sulphuric", "sn-wanted"])
def test_text_is_found_in_tag_service_liquid_and_serial(engineer, text):
    wanted = PositionFactory(
        tag="P-77", service="Absorber circulation", liquid="Sulphuric acid"
    )
    PlacementFactory(
        position=wanted, pump=PumpFactory(site=wanted.site, serial_number="SN-WANTED")
    )
    PositionFactory(tag="P-2", service="Reflux", liquid="Toluene")
    assert tags(engineer, text=text) == ["P-77"]


def test_filters_narrow_by_site_area_criticality_and_hazard(engineer):
    area = AreaFactory()
    PositionFactory(
        tag="P-1", area=area, criticality=Criticality.HIGH, hazards=["toxic", "hot"]
    )
    PositionFactory(tag="P-2", area=area, hazards=["cold"])
    PositionFactory(tag="P-3", area=AreaFactory(site=area.site), hazards=["toxic"])
    PositionFactory(tag="P-4")
    assert tags(engineer, site=area.site) == ["P-1", "P-2", "P-3"]
    assert tags(engineer, area=area) == ["P-1", "P-2"]
    assert tags(engineer, criticality="high") == ["P-1"]
    assert tags(engineer, hazard="toxic") == ["P-1", "P-3"]


def test_out_of_service_is_told_from_in_service(engineer):
    site = AreaFactory()
    PositionFactory(tag="P-1", area=site)
    PositionFactory(tag="P-2", area=site, out_of_service_on=date(2025, 5, 31))
    PositionFactory(tag="P-3", area=site, in_service_on=date(2026, 1, 1))
    PositionFactory(tag="P-4", area=site, in_service_on=None)
    assert tags(engineer, in_service="in") == ["P-1", "P-4"]
    assert tags(engineer, in_service="out") == ["P-2", "P-3"]


def test_criticality_sorts_high_before_medium_before_low(engineer_client):
    area = AreaFactory()
    for tag, level in (("P-1", "low"), ("P-2", "high"), ("P-3", "medium")):
        PositionFactory(area=area, tag=tag, criticality=level)
    response = engineer_client.get("/pumps/?sort=criticality")
    shown = [row[0]["text"] for row in response.context["rows"]]
    assert shown == ["P-2", "P-3", "P-1"]
    heads = {c["label"]: c for c in response.context["columns"]}
    assert heads["Criticality"]["sorted"] == "ascending"
    assert heads["Criticality"]["sort_url"] == "?sort=-criticality"


def test_an_unknown_filter_or_sort_is_no_error(engineer_client):
    PositionFactory(tag="P-1")
    response = engineer_client.get(
        "/pumps/?area=999999&site=x&hazard=nonsense&sort=password&page=90"
    )
    assert response.status_code == 200
    assert "P-1" in response.text


def test_the_page_shows_hazards_in_words_and_what_is_out_of_service(engineer_client):
    PositionFactory(
        liquid="Toluene",
        hazards=["flammable", "environment"],
        out_of_service_on=date(2021, 1, 1),
    )
    text = engineer_client.get("/pumps/").text
    assert "flammable, harmful to the environment" in text
    assert "out of service" in text


def test_the_site_is_asked_for_only_where_there_are_several(engineer_client):
    PositionFactory()
    assert "site" not in engineer_client.get("/pumps/").context["form"].fields
    PositionFactory()
    assert "site" in engineer_client.get("/pumps/").context["form"].fields


def test_a_user_of_one_site_sees_and_exports_only_it(db):
    mine = PositionFactory(tag="MINE-1")
    PositionFactory(tag="OTHER-1")
    user = UserFactory(sees_all_sites=False, role="planner")
    user.sites.add(mine.site)
    client = logged_in(user)
    page = client.get("/pumps/").text
    assert "MINE-1" in page
    assert "OTHER-1" not in page
    lines = csv_lines(client.get(reverse("plant:position_export")))
    assert [line for line in lines if "OTHER-1" in line] == []
    assert len(lines) == 2


def test_export_holds_the_filtered_rows_with_plain_numbers(engineer_client):
    area = AreaFactory(name="Acid", site=SiteFactory(name="North"))
    PositionFactory(
        area=area,
        tag="P-1",
        flow_m3_h=52.5,
        hazards=["toxic", "hot"],
        in_service_on=date(2020, 2, 3),
    )
    PositionFactory(area=area, tag="P-2", criticality="low")
    response = engineer_client.get(
        reverse("plant:position_export") + "?criticality=medium"
    )
    header, row = csv_lines(response)
    facts = dict(zip(header.split(","), row.split(","), strict=True))
    assert facts["tag"] == "P-1"
    assert facts["flow_m3_h"] == "52.5"
    assert facts["hazards"] == "toxic;hot"
    assert facts["in_service_on"] == "2020-02-03"


def test_export_never_hands_a_spreadsheet_a_formula(engineer_client):
    PositionFactory(service="=HYPERLINK(1)")
    _header, row = csv_lines(engineer_client.get(reverse("plant:position_export")))
    assert "'=HYPERLINK(1)" in row


def test_queries_stay_the_same_with_more_rows(engineer_client):
    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            engineer_client.get("/pumps/")
        return len(seen)

    PlacementFactory.create_batch(3)
    few = queries()
    PlacementFactory.create_batch(20)
    assert queries() == few


def test_an_empty_register_says_what_to_do(engineer_client):
    assert "import your fleet" in engineer_client.get("/pumps/").text
