"""Dates, numbers and signs that no log holds: a sentence or nothing, never a 500."""

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from records.choices import RepairState
from records.models import HourReading, Repair
from records.services.hours import hours_record
from records.services.repair_voids import repair_drop
from records.services.repairs import repair_log
from tests.records.plant_at_hand import (
    FINISHED,
    REPORTED,
    STOPPED,
    plant_at_hand,
)
from tests.records.repair_pages import swapped_seal, typed
from tests.records.test_repair_form_page import page

YEARS = "A year from 1900 to 2100 is expected."
LONG_BEFORE = "Stopped long before it was reported: check the year."


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def url(here):
    return f"{reverse('records:repair_new')}?position={here.position.pk}"


@pytest.mark.parametrize("address", ["/repairs/", "/repairs/export.csv"])
@pytest.mark.parametrize(
    "query", [{"reported_to": "9999-12-31"}, {"reported_from": "0001-01-01"}]
)
def test_days_beyond_every_log_narrow_no_list(here, planner_client, address, query):
    assert planner_client.get(address, query).status_code == 200


@pytest.mark.parametrize("name", ["as_of", "fitted_from", "fitted_to"])
@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_the_life_page_answers_to_days_beyond_every_log(
    here, engineer_client, name, day
):
    answer = engineer_client.get("/life/", {name: day})
    assert answer.status_code == 200
    assert YEARS in page(answer)


def test_a_zero_byte_is_not_searched_for(here, planner_client):
    answer = planner_client.get(reverse("records:repair_find"), {"text": "P-1\x0001"})
    assert answer.context["text"] == "P-101"
    assert "P-101" in page(answer)


@pytest.mark.parametrize("name", ["reported_at", "stopped_at", "returned_at"])
@pytest.mark.parametrize("moment", ["0001-01-01T00:00", "9999-12-31T23:59"])
@pytest.mark.parametrize("zone", ["Asia/Tokyo", "America/New_York"])
def test_moments_of_impossible_years_are_refused(
    here, url, planner_client, name, moment, zone
):
    here.site.time_zone = zone
    here.site.save()
    answer = planner_client.post(url, typed(**{name: moment}))
    assert YEARS in page(answer)
    assert not Repair.objects.exists()


def test_a_reading_of_the_first_year_is_refused(here, planner_client):
    address = reverse("records:hours", args=[here.position.pk])
    data = {"read_at": "0001-01-01T00:00", "meter_hours": "10"}
    assert YEARS in page(planner_client.post(address, data, follow=True))
    assert not HourReading.objects.exists()


@pytest.mark.parametrize("digits", [19, 5000])
def test_a_life_of_thousands_of_digits_is_an_unknown_one(
    here, url, planner_client, digits
):
    row = swapped_seal(here, life="9" * digits)
    answer = planner_client.post(url, typed(swaps=[row]))
    assert "This component is not one of this pump." in page(answer)


def test_a_stop_more_than_a_year_before_the_report_is_a_slip(
    here, url, planner, planner_client
):
    answer = planner_client.post(url, typed(stopped_at="2014-03-01T10:00"))
    assert LONG_BEFORE in page(answer)
    with pytest.raises(ValidationError) as refused:
        repair_log(
            by=planner,
            position=here.position,
            **FINISHED | {"stopped_at": STOPPED - timedelta(days=400)},
        )
    assert refused.value.message_dict == {"stopped_at": [LONG_BEFORE]}


def test_a_stop_within_the_year_before_the_report_is_kept(here, planner):
    long_out = FINISHED | {"stopped_at": REPORTED - timedelta(days=300)}
    assert repair_log(by=planner, position=here.position, **long_out).pk


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ({"reported_at": "1949-12-31T08:00"}, "This lies before 1950: check the year."),
        ({"active_hours": "10001"}, "More than 10,000 hours: check the number."),
        ({"delay_hours": "1e9"}, "More than 10,000 hours: check the number."),
        ({"man_hours": "10000.5"}, "More than 10,000 hours: check the number."),
        ({"meter_hours": "1e8"}, "More than 10,000,000 hours: check the number."),
    ],
)
def test_absurd_years_and_hours_are_refused(here, url, planner_client, facts, sentence):
    answer = planner_client.post(url, typed(**facts))
    assert sentence in page(answer)
    assert not Repair.objects.exists()


def test_a_reading_before_1950_is_refused(here, planner):
    with pytest.raises(ValidationError, match="before 1950"):
        hours_record(
            by=planner,
            position=here.position,
            read_at=datetime(1949, 1, 1, tzinfo=UTC),
            meter_hours=1.0,
        )


def test_a_stoppage_with_shop_work_is_not_struck(here, planner):
    stoppage = repair_log(by=planner, position=here.position, **FINISHED)
    work = repair_log(
        by=planner,
        position=here.position,
        shop_work_of=stoppage,
        save_anyway=True,
        **FINISHED,
    )
    with pytest.raises(ValidationError) as refused:
        repair_drop(by=planner, repair=stoppage, reason="Typed twice")
    assert refused.value.messages == [
        f"Shop work belongs to {stoppage}: void {work} first."
    ]
    repair_drop(by=planner, repair=work, reason="Typed twice")
    struck = repair_drop(by=planner, repair=stoppage, reason="Typed twice")
    assert struck.state == RepairState.VOID
