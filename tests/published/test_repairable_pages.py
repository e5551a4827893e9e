"""Published histories entered as a fleet, as the Trend page and its files show them.

Sources stand in the case file: Nelson 1995 (valve seats), NIST 8.4.5.2, MIL-HDBK-189.
"""

import csv
import re
from datetime import UTC, date, datetime, timedelta

import pytest

from tests.factories.plant import AreaFactory, PositionFactory
from tests.factories.records import HourReadingFactory, RepairFactory
from tests.published.cases import case_data

pytestmark = pytest.mark.django_db
BEGAN = datetime(2020, 1, 1, tzinfo=UTC)
DAY, HOUR = timedelta(days=1), timedelta(hours=1)


def rows_of(answer):
    assert answer.status_code == 200
    return list(csv.DictReader(answer.getvalue().decode("utf-8-sig").splitlines()))


@pytest.fixture
def valve_seats():
    """Each engine is a position; days run from the day it went into service."""
    area = AreaFactory()
    for number, unit in enumerate(
        case_data("repairable_systems", "e4_nelson_valve_seat")["data"]["units"]
    ):
        # Histories that begin on different days have their own day zero.
        first = BEGAN + number * DAY
        position = PositionFactory(
            area=area,
            in_service_on=first.date(),
            out_of_service_on=(first + unit["end"] * DAY).date(),
        )
        for age in unit["events"]:
            RepairFactory(position=position, reported_at=first + (age + 0.4) * DAY)


def test_the_file_holds_the_mean_curve_of_the_valve_seats(engineer_client, valve_seats):
    expected = case_data("repairable_systems", "e4_nelson_valve_seat")["expected"]
    rows = rows_of(engineer_client.get("/trend/export.csv", {"confidence": "0.95"}))
    assert sum(int(row["events"]) for row in rows) == 48
    by_day = {float(row["time_on_record"]): row for row in rows}
    for row in expected["rows"]:
        found = by_day[row["last_event"]]
        assert int(found["positions_watched"]) == row["at_risk_at_last_event"]
        assert float(found["mean_per_position"]) == pytest.approx(row["MCF"], abs=1e-6)
        limits = (float(found["low"]), float(found["high"]))
        assert limits == pytest.approx(row["ci95_log"], rel=1e-5)


def test_the_page_prints_the_mean_curve_of_the_valve_seats(
    engineer_client, valve_seats
):
    expected = case_data("repairable_systems", "e4_nelson_valve_seat")["expected"]
    answer = engineer_client.get("/trend/", {"confidence": "0.95"})
    shown = {row[1]["text"]: row for row in answer.context["chart"]["rows"]}
    for row in expected["rows"]:
        cells = shown[f"{row['last_event']:g}"]
        assert cells[4]["text"] == f"{row['MCF']:.4f}"
    assert "41 positions, 48 repairs" in answer.content.decode()


@pytest.mark.parametrize(
    "identifier", ["e1_nist_power_law_time", "e2_mil_hdbk_189_time"]
)
def test_running_hours_give_the_published_growth(engineer_client, identifier):
    case = case_data("repairable_systems", identifier)
    position = PositionFactory(tag="P-1", in_service_on=BEGAN.date())
    end = case["data"]["T"]
    # The meter runs every second hour: calendar time would answer otherwise.
    HourReadingFactory(position=position, read_at=BEGAN, meter_hours=100.0)
    HourReadingFactory(
        position=position, read_at=BEGAN + 2 * end * HOUR, meter_hours=100.0 + end
    )
    for age in case["data"]["event_times"]:
        RepairFactory(position=position, reported_at=BEGAN + 2 * age * HOUR)
    question = {"position": "P-1", "clock": "hours"}
    rows = {
        row["figure"]: row
        for row in rows_of(engineer_client.get("/trend/results.csv", question))
    }
    expected = case["expected"]
    growth = rows["Shape of the power law"]
    assert float(growth["value"]) == pytest.approx(expected["beta_mle"], rel=1e-6)
    limits = (float(growth["low"]), float(growth["high"]))
    assert limits == pytest.approx(expected["beta_ci90_chi2"], rel=1e-6)
    for figure, value, name in (
        ("Shape, corrected for few events", "value", "beta_unbiased"),
        ("Time between repairs now", "value", "MTBF_at_T"),
        ("Cramér-von Mises distance", "value", "cramer_von_mises"),
        ("Laplace test", "value", "laplace_U"),
        ("Laplace test", "chance", "laplace_two_sided_p"),
        ("MIL-HDBK-189 test", "value", "mil_hdbk_189_chi2"),
        ("MIL-HDBK-189 test", "chance", "mil_two_sided_p"),
    ):
        assert float(rows[figure][value]) == pytest.approx(expected[name], rel=1e-5)
    page = engineer_client.get("/trend/", question).content.decode()
    assert re.search(rf"{expected['beta_mle']:.4f}", page)


def test_only_one_test_sees_the_published_growth(engineer_client):
    """NIST 8.2.3.4: the chi-square test sees it, Laplace (p 0.18) does not."""
    case = case_data("repairable_systems", "e1_nist_power_law_time")
    position = PositionFactory(
        tag="P-1",
        in_service_on=BEGAN.date(),
        out_of_service_on=BEGAN.date() + timedelta(days=case["data"]["T"]),
    )
    for age in case["data"]["event_times"]:
        RepairFactory(position=position, reported_at=BEGAN + age * DAY)
    page = engineer_client.get("/trend/", {"position": "P-1"}).content.decode()
    assert "No trend can be told yet: repairs may come slower" in page
    assert "Laplace 0.18, MIL-HDBK-189 0.022" in page


def test_the_as_of_day_cuts_the_curve(engineer_client, valve_seats):
    question = {"end": str(date(2020, 1, 1) + timedelta(days=99))}
    rows = rows_of(engineer_client.get("/trend/export.csv", question))
    assert max(float(row["time_on_record"]) for row in rows) <= 99
