"""The Bad actors page: units from the records, reasons, ranking and export."""

import csv
import io
import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from analytics.exposure import MONTH_DAYS, Window
from analytics.reports.bad_actors.report import (
    UnitKind,
    bad_actor_report,
    evidence_order,
)
from analytics.reports.bad_actors.table import chance
from analytics.scope import Scope
from plant import display
from records.choices import CostKind
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, RepairFactory
from tests.published.cases import case_data

pytestmark = pytest.mark.django_db
YEAR = Window(date(2024, 1, 1), date(2024, 12, 31))
QUESTION = {"end": "2024-12-31", "months": "12"}


def noon(day):
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def repairs_at(position, size, *, every=100, first=date(2024, 1, 2), **more):
    return [
        RepairFactory(
            position=position,
            reported_at=noon(first + timedelta(days=every * number)),
            **more,
        )
        for number in range(size)
    ]


def fleet(size=20):
    area = AreaFactory(site=SiteFactory(rework_window_days=90))
    return [PositionFactory(area=area, tag=f"P-{n:02d}") for n in range(size)]


def report_of(user, kind=UnitKind.POSITION, window=YEAR):
    return bad_actor_report(Scope(user, window), kind)


def test_the_ten_published_pumps_have_the_published_posterior_means(engineer):
    # Case f1: Gaver and O'Muircheartaigh (1987); 1,000 h are counted here as days.
    case = case_data("pooled_rates", "f1_ten_pumps")
    area = AreaFactory(site=SiteFactory(rework_window_days=0))
    thousand_hours = 1000 / 24
    last = date(2024, 12, 31)
    for number, (failures, exposure) in enumerate(
        zip(
            case["data"]["failures"],
            case["data"]["exposure_thousand_hours"],
            strict=True,
        )
    ):
        days = round(exposure * thousand_hours)
        begun = last - timedelta(days=days - 1)
        position = PositionFactory(area=area, tag=f"G-{number}", in_service_on=begun)
        for event in range(failures):
            day = begun + timedelta(days=(event + 1) * days // (failures + 1))
            RepairFactory(position=position, reported_at=noon(day))
    units = report_of(engineer, window=Window(date(2009, 1, 1), last)).units
    found = {unit.label: unit for unit in units}
    per_thousand_hours = thousand_hours / (12 * MONTH_DAYS)
    for number, mean in enumerate(case["expected"]["posterior_means"]):
        # Whole days stand for hours: exposures differ by up to 1 in 90.
        posterior = found[f"G-{number}"].posterior * per_thousand_hours
        assert posterior == pytest.approx(mean, rel=0.01)


def test_a_planted_bad_actor_is_flagged_with_the_numbers_of_the_model(engineer):
    positions = fleet(40)
    for position in positions[1:11]:
        repairs_at(position, 1)
    repairs_at(positions[0], 8, every=45, first=date(2023, 1, 10))
    repairs_at(positions[0], 9, every=30, first=date(2024, 1, 2))
    report = report_of(engineer, window=Window(date(2022, 1, 1), date(2024, 12, 31)))
    (flagged,) = report.flagged
    assert flagged.label == "P-00"
    assert flagged.reason.startswith(
        f"17 repairs ({flagged.events} separate events, rework merged) in 36.0 months "
        "where pumps like it have 0.3; "
    )


def test_a_flag_comes_with_its_odds_and_a_plain_second_clause(engineer):
    positions = fleet(40)
    repairs_at(positions[0], 10, every=100, first=date(2022, 1, 10))
    for position in positions[1:11]:
        repairs_at(position, 1)
    window = Window(date(2022, 1, 1), date(2024, 12, 31))
    (flagged,) = report_of(engineer, window=window).flagged
    assert re.search(
        r"likely worse than twice its peers \(odds .*hold\), and by chance alone "
        r"(fewer than )?1 in [\d,]+ pumps like it would have as many\.$",
        flagged.reason,
    )


def test_a_near_miss_says_why_it_is_not_flagged(engineer, engineer_client):
    positions = fleet(40)
    for position in positions[:25]:
        repairs_at(position, 1)
    repairs_at(positions[30], 3)
    report = report_of(engineer)
    (near,) = report.near_misses
    assert report.flagged == []
    assert near.label == "P-30"
    assert near.events >= 3
    assert near.events >= 2 * near.expected
    assert near.reason.endswith(
        f"not flagged: among 40 units about {display.number(near.p_value * 40, 2)} "
        "such counts are expected by chance."
    )
    assert near.reason in engineer_client.get("/bad-actors/", QUESTION).content.decode()


def test_evidence_ranks_by_the_chance_that_the_page_shows(engineer, engineer_client):
    positions = fleet(30)
    for size, position in enumerate(positions[:6], start=1):
        repairs_at(position, size, every=60)
    page = engineer_client.get("/bad-actors/", QUESTION)
    assert page.context["columns"][1]["label"] == "By chance"
    units = sorted(report_of(engineer).units, key=evidence_order)
    shown = [(row[0]["text"], row[1]["text"]) for row in page.context["rows"]]
    assert shown == [(unit.label, chance(unit)) for unit in units]
    assert [unit.p_value for unit in units] == sorted(unit.p_value for unit in units)


def test_one_unlucky_pump_is_not_flagged(engineer):
    repairs_at(fleet(30)[3], 1)
    assert report_of(engineer).flagged == []


def test_rework_is_counted_as_a_repair_and_merged_into_its_event(engineer):
    repairs_at(fleet(9)[0], 3, every=60)
    unit = next(unit for unit in report_of(engineer).units if unit.label == "P-00")
    assert (unit.repairs, unit.events) == (3, 2)


def test_rework_of_a_repair_before_the_window_opens_no_event(engineer):
    position = fleet(9)[0]
    repairs_at(position, 2, every=30, first=date(2023, 12, 20))
    unit = next(unit for unit in report_of(engineer).units if unit.label == "P-00")
    assert (unit.repairs, unit.events) == (1, 0)


def test_a_machine_keeps_its_repairs_when_it_moves_between_tags(engineer):
    first, second, *_ = fleet(12)
    machine = PumpFactory(site=first.site, serial_number="SN-MOVED")
    july = noon(date(2024, 7, 1))
    PlacementFactory(pump=machine, position=first, removed_at=july)
    PlacementFactory(pump=machine, position=second, placed_at=july)
    repairs_at(first, 1, pump=machine)
    repairs_at(second, 1, first=date(2024, 10, 1), pump=machine)
    (unit,) = report_of(engineer, UnitKind.MACHINE).units
    assert (unit.label, unit.repairs) == ("SN-MOVED", 2)
    assert unit.place == f"{first.tag}, {second.tag}"
    assert unit.months == pytest.approx(366 / MONTH_DAYS)


def test_a_repair_that_names_no_machine_is_charged_to_none(engineer):
    position = fleet(12)[0]
    placement = PlacementFactory(position=position)
    repairs_at(position, 1)
    repairs_at(position, 1, first=date(2024, 10, 1), pump=placement.pump)
    (unit,) = report_of(engineer, UnitKind.MACHINE).units
    assert unit.repairs == 1


def test_time_of_a_machine_in_the_store_is_no_exposure(engineer):
    position = fleet(12)[0]
    PlacementFactory(position=position, removed_at=noon(date(2024, 1, 31)))
    (unit,) = report_of(engineer, UnitKind.MACHINE).units
    assert unit.months == pytest.approx(30 / MONTH_DAYS)


def test_cost_and_share_stand_beside_the_evidence(engineer):
    positions = fleet(12)
    for position, amount in zip(positions[:2], ("300.00", "100.00"), strict=True):
        (repair,) = repairs_at(position, 1)
        CostLineFactory(repair=repair, amount=Decimal(amount))
        CostLineFactory(
            repair=repair, kind=CostKind.LOST_PRODUCTION, amount=Decimal("7.00")
        )
    report = report_of(engineer)
    first, second = report.costliest
    assert (first.label, second.label) == ("P-00", "P-01")
    (cost,) = first.costs
    assert (cost.repair_cost, cost.lost_production) == (Decimal(300), Decimal(7))
    assert cost.share == pytest.approx(0.75)
    assert first.cost_sentence == (
        "EUR 300.00 of repair cost, 75 % of the total, and "
        "EUR 7.00 of lost production, 50 % of the total."
    )


def test_costs_are_not_shown_without_the_permission():
    user = UserFactory()
    (repair,) = repairs_at(fleet(9)[0], 1)
    CostLineFactory(repair=repair)
    report = report_of(user)
    assert report.currencies == []
    assert report.costliest == []


def test_another_site_is_not_seen_and_is_no_peer():
    here, there = fleet(10), fleet(10)
    repairs_at(there[0], 9, every=30)
    user = UserFactory(sees_all_sites=False)
    user.sites.add(here[0].site)
    report = report_of(user)
    assert len(report.units) == 10
    assert sum(unit.repairs for unit in report.units) == 0


def test_the_export_holds_the_units_of_the_page_in_its_order(engineer_client):
    positions = fleet(12)
    for size, position in enumerate(positions[:3], start=1):
        repairs_at(position, size)
    asked = QUESTION | {"rank": "repairs"}
    answer = engineer_client.get("/bad-actors/export.csv", asked)
    lines = list(csv.reader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))
    page = engineer_client.get("/bad-actors/", asked)
    shown = [[cell["text"] for cell in row] for row in page.context["rows"]]
    assert [line[0] for line in lines[1:4]] == ["P-02", "P-01", "P-00"]
    assert [row[0] for row in shown] == [line[0] for line in lines[1:]]
    place = lines[0].index("events a year, estimate")
    rates = [f"{float(line[place]):.2f}" for line in lines[1:]]
    assert [row[4] for row in shown] == rates


def test_the_page_names_rule_peers_and_method(engineer_client):
    fleet(10)
    text = engineer_client.get("/bad-actors/", QUESTION).content.decode()
    assert "Benjamini-Hochberg" in text
    assert "same broad class of liquid" in text
    assert "gamma-Poisson pooling" in text
    assert "Nothing is flagged" in text


@pytest.mark.parametrize("unit", UnitKind.values)
def test_the_page_stands_on_an_empty_database(engineer_client, unit):
    answer = engineer_client.get("/bad-actors/", {"unit": unit})
    assert "No pump to judge" in answer.content.decode()


def test_the_number_of_queries_stays_when_rows_double(
    engineer_client, django_assert_num_queries
):
    repairs_at(fleet(10)[0], 3)
    with CaptureQueriesContext(connection) as few:
        engineer_client.get("/bad-actors/", QUESTION)
    repairs_at(fleet(10)[0], 3)
    with django_assert_num_queries(len(few)):
        engineer_client.get("/bad-actors/", QUESTION)


def test_the_page_asks_for_a_log_in(client):
    assert client.get("/bad-actors/").status_code == 302
