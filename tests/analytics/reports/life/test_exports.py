"""The Life page's files hold every life and agree with the page."""

from datetime import date

from plant.choices import (
    Beginning,
)
from tests.analytics.seals_on_record import PUMP_A, fitted, page_of, rows_of, seals


def test_the_sample_export_holds_every_life_with_its_age(engineer_client):
    seals(PUMP_A)
    fitted(2_000, beginning=Beginning.UNKNOWN)
    rows = rows_of(engineer_client.get("/life/lives.csv"))
    assert sorted(float(row["age"]) for row in rows[:10]) == PUMP_A
    assert [row["counted_as"] for row in rows] == ["failed"] * 10 + ["left out"]
    assert rows[10]["left_out_because"] == "Beginning not known"
    assert {row["unit"] for row in rows} == {"h"}


def test_the_result_export_agrees_with_the_page(engineer_client):
    seals(PUMP_A)
    page = page_of(engineer_client)
    rows = rows_of(engineer_client.get("/life/results.csv"))
    values = {row["figure"]: row for row in rows}
    for name in ("Characteristic life", "B10 life", "Mean life"):
        assert f"{float(values[name]['value']):,.1f}" in page
    for limit in ("value", "low", "high"):
        assert f"{float(values['Shape'][limit]):.4f}" in page
    assert values["Lives failed"]["value"] == "10"


def test_an_export_with_a_wrong_choice_is_refused(engineer_client):
    assert engineer_client.get("/life/lives.csv?confidence=7").status_code == 400
    assert engineer_client.get("/life/results.csv?part=none").status_code == 400


def test_records_from_is_where_watched_lives_enter(engineer_client):
    for life in seals(PUMP_A):
        type(life.pump.site).objects.filter(pk=life.pump.site_id).update(
            records_from=date(2020, 7, 1)
        )
    page = page_of(engineer_client)
    assert "Kaplan-Meier" in page
    rows = rows_of(engineer_client.get("/life/lives.csv"))
    # 182 days of the calendar at 24 hours a day.
    assert {round(float(row["entry_age"])) for row in rows} == {182 * 24}
