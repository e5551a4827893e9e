"""The list of pumps by serial number: where each is, filters, export, queries."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plant.selectors.pumps import pumps_list
from tests.conftest import logged_in
from tests.factories.plant import (
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)


@pytest.fixture
def three_pumps(db):
    """One at P-1, one in the store after having been there, one retired."""
    site = SiteFactory()
    position = PositionFactory(area__site=site, tag="P-1")
    there = PumpFactory(site=site, serial_number="S-1", assembly="back pull-out")
    store = PumpFactory(site=site, serial_number="S-2")
    PumpFactory(site=site, serial_number="S-3", retired_on=date(2023, 1, 1))
    changed = datetime(2022, 1, 1, tzinfo=UTC)
    PlacementFactory(position=position, pump=store, removed_at=changed)
    PlacementFactory(position=position, pump=there, placed_at=changed)
    return site


def serials(user, **filters) -> list[str]:
    return [p.serial_number for p in pumps_list(user=user, **filters)]


@pytest.mark.parametrize(
    ("where", "expected"),
    [
        ("position", ["S-1"]),
        ("store", ["S-2"]),
        ("retired", ["S-3"]),
        ("", ["S-1", "S-2", "S-3"]),
    ],
)
def test_where_tells_position_store_and_retired(engineer, three_pumps, where, expected):
    assert serials(engineer, where=where) == expected


def test_text_finds_the_tag_where_a_pump_stands(engineer, three_pumps):
    assert serials(engineer, text="p-1") == ["S-1"]


def test_filters_narrow_by_site_and_assembly(engineer, three_pumps):
    PumpFactory(serial_number="S-9")
    assert serials(engineer, site=three_pumps, assembly="back pull-out") == ["S-1"]
    assert "S-9" not in serials(engineer, site=three_pumps)


def test_the_page_says_where_each_pump_is(engineer_client, three_pumps):
    response = engineer_client.get(reverse("plant:pump_list"))
    where = {row[0]["text"]: row[1]["text"] for row in response.context["rows"]}
    assert where == {"S-1": "P-1", "S-2": "Store", "S-3": "Retired 2023-01-01"}


def test_sorting_by_serial_turns_on_the_second_click(engineer_client, three_pumps):
    response = engineer_client.get(reverse("plant:pump_list") + "?sort=-serial")
    assert [row[0]["text"] for row in response.context["rows"]] == ["S-3", "S-2", "S-1"]
    assert response.context["columns"][0]["sort_url"] == "?sort=serial"


def test_export_says_where_each_pump_is(engineer_client, three_pumps):
    response = engineer_client.get(reverse("plant:pump_export"))
    text = b"".join(response.streaming_content).decode("utf-8-sig")
    where = [line.split(",")[-3:] for line in text.splitlines()[1:]]
    assert where == [
        ["position", "P-1", ""],
        ["store", "", ""],
        ["retired", "", "2023-01-01"],
    ]


def test_a_user_of_one_site_sees_only_its_pumps(three_pumps):
    PumpFactory(serial_number="ELSEWHERE")
    user = UserFactory(sees_all_sites=False, role="manager")
    user.sites.add(three_pumps)
    assert "ELSEWHERE" not in logged_in(user).get(reverse("plant:pump_list")).text


def test_queries_stay_the_same_with_more_rows(engineer_client, three_pumps):
    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            engineer_client.get(reverse("plant:pump_list"))
        return len(seen)

    # A second site brings the question for the site, once.
    SiteFactory()
    few = queries()
    PlacementFactory.create_batch(20)
    assert queries() == few
