"""The Life page answers for the lives, endings and day that were chosen."""

from datetime import UTC, datetime

import pytest

from plant.choices import (
    Component,
    Location,
    WhyRemoved,
)
from tests.analytics.seals_on_record import (
    DAY,
    FITTED,
    PUMP_A,
    PUMP_B,
    fitted,
    page_of,
    rows_of,
    seals,
)


def test_a_part_alone_in_the_address_means_its_component(engineer_client):
    for age in PUMP_B:
        fitted(
            age,
            component=Component.THRUST,
            location=Location.THRUST,
            part_number="",
            designation="7309",
        )
    page = page_of(engineer_client, "?part=7309")
    assert "2.4193" in page


def test_the_user_chooses_which_endings_are_failures(engineer_client):
    seals(PUMP_A)
    fitted(500, defect_detected=None, why_removed=WhyRemoved.DAMAGED)
    assert "10 failed, 1 suspended" in page_of(engineer_client)
    both = page_of(engineer_client, "?endings=failed&endings=damaged")
    assert "11 failed, 0 suspended" in both
    assert "Counted as failure: failed: removed for a detected defect; damaged" in both


@pytest.mark.parametrize(
    ("query", "lives"),
    [
        ("?part=MS-40", 2),
        ("?plan=53A", 1),
        ("?liquid=brine", 1),
        ("?location=seal+nde+inner", 1),
        ("?fitted_from=2021-01-01", 1),
        ("?fitted_to=2020-12-31", 3),
        ("?component=bearing", 0),
    ],
)
def test_each_filter_narrows_the_population(engineer_client, query, lives):
    fitted(1_000)
    fitted(1_000, fitted_at=FITTED + 500 * DAY, removed_at=FITTED + 600 * DAY)
    fitted(1_000, part_number="MS-50", piping_plan="53A", liquid="brine")
    fitted(1_000, part_number="MS-60", location=Location.SEAL_NDE_INNER)
    rows = rows_of(engineer_client.get(f"/life/lives.csv{query}"))
    assert len(rows) == lives


def test_area_and_site_narrow_the_population(engineer_client):
    here, _there = fitted(1_000), fitted(1_000)
    for query in (
        f"?area={here.position.area_id}",
        f"?site={here.pump.site_id}",
    ):
        rows = rows_of(engineer_client.get(f"/life/lives.csv{query}"))
        assert [row["pump"] for row in rows] == [here.pump.serial_number]


def test_the_choice_is_said_in_words_for_print(engineer_client):
    life = fitted(1_000, liquid="brine")
    area = life.position.area
    page = page_of(engineer_client, f"?area={area.pk}&liquid=brine&condition=all")
    assert (
        f"Only area {area.site}: {area.name}; liquid brine; condition when fitted All "
        "of them pooled." in page
    )


def test_an_unknown_choice_is_an_error_beside_its_field(engineer_client):
    page = page_of(engineer_client, "?part=NO-SUCH-PART&confidence=200")
    assert "NO-SUCH-PART is not one of the available choices" in page
    assert "less than or equal to 99.9" in page
    assert "Probability plot" not in page


def test_the_as_of_day_takes_back_what_came_later(engineer_client):
    seals(PUMP_A)
    page = page_of(engineer_client, "?as_of=2022-12-31")
    assert "5 failed, 5 suspended" in page


def test_figures_stay_the_same_all_day(engineer_client, monkeypatch):
    fitted()
    said = set()
    for hour in (1, 13, 22):
        now = datetime(2024, 5, 6, hour, tzinfo=UTC)
        monkeypatch.setattr("django.utils.timezone.now", lambda now=now: now)
        response = engineer_client.get("/life/")
        said.add(
            (response.context["sample_sentence"], str(response.context["assumed"]))
        )
    assert len(said) == 1
    assert "As of the end of 2024-05-06." in said.pop()[0]


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("?as_of=2099-01-01", "Choose today or an earlier day."),
        ("?as_of=0026-01-01", "A year from 1900 to 2100 is expected."),
        (
            "?fitted_from=2025-01-01&fitted_to=2020-01-01",
            "Choose 2025-01-01 or a later day.",
        ),
        ("?confidence=abc", "Enter a number."),
        ("?age=-1&part=MS-40", "Ensure this value is greater than or equal to 0.1."),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(engineer_client, query, sentence):
    seals(PUMP_A)
    response = engineer_client.get(f"/life/{query}")
    assert response.status_code == 200
    assert sentence in response.content.decode()
    assert "tiles" not in response.context
