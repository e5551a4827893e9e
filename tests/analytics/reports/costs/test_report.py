"""Costs: added up once, by one function, for page, CSV and workbook."""

import csv
import io
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext
from openpyxl import load_workbook

from analytics.exports.cost_lines import HEADER
from analytics.exposure import Window
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.report import Amounts, CostGrouping, cost_report
from analytics.reports.costs.table import export_header, export_row
from analytics.reports.costs.work import Work
from analytics.scope import Scope
from records.choices import CostKind, CostStatus, FailureMode, RepairState
from records.models.repair import Repair
from records.selectors.cost_totals import cost_totals
from tests.factories.plant import AreaFactory, PositionFactory, UserFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
YEAR = Window(date(2024, 1, 1), date(2024, 12, 31))
QUESTION = {"start": "2024-01-01", "end": "2024-12-31"}
SHEET = "By position and failure mode"


def report_of(
    user,
    basis=Basis.EVENT,
    by=CostGrouping.POSITION_MODE,
    window=YEAR,
    work=Work.ALL,
):
    return cost_report(Scope(user, window), basis, by, work)


def total(user, currency="EUR", **more):
    return report_of(user, **more).total.amounts_in(currency)


def a_small_ledger():
    """Two positions, two failure modes, every kind of cost."""
    area = AreaFactory()
    for tag, mode, amount in (
        ("P-1", FailureMode.ELP, "100.10"),
        ("P-1", FailureMode.VIB, "200.20"),
        ("P-2", FailureMode.ELP, "0.07"),
    ):
        position = area.positions.filter(tag=tag).first()
        position = position or PositionFactory(area=area, tag=tag)
        repair = RepairFactory(position=position, failure_mode=mode)
        for kind, status in (
            (CostKind.LABOUR, CostStatus.BOOKED),
            (CostKind.PARTS, CostStatus.ESTIMATE),
            (CostKind.LOST_PRODUCTION, CostStatus.ESTIMATE),
            (CostKind.ENVIRONMENT_SAFETY, CostStatus.BOOKED),
        ):
            CostLineFactory(
                repair=repair, kind=kind, status=status, amount=Decimal(amount)
            )


def test_repair_cost_lost_production_and_environment_stay_apart(manager):
    a_small_ledger()
    assert total(manager) == Amounts(
        repair_estimate=Decimal("300.37"),
        repair_booked=Decimal("300.37"),
        production_estimate=Decimal("300.37"),
        environment_booked=Decimal("300.37"),
    )


def test_totals_are_those_of_the_repairs_page(manager):
    a_small_ledger()
    (of_repairs,) = cost_totals(Repair.objects.all())
    found = total(manager)
    assert found.repair_cost == of_repairs.repair_cost
    assert found.lost_production == of_repairs.lost_production
    assert found.environment_safety == of_repairs.environment_safety


def test_rows_are_positions_with_their_failure_modes(manager):
    a_small_ledger()
    rows = report_of(manager).rows
    assert [(row.names, row.repairs) for row in rows] == [
        (("P-1", "ELP process liquid leaks out"), 1),
        (("P-1", "VIB abnormal vibration"), 1),
        (("P-2", "ELP process liquid leaks out"), 1),
    ]


@pytest.mark.parametrize("by", CostGrouping.values)
def test_every_grouping_has_the_same_total(manager, by):
    a_small_ledger()
    report = report_of(manager, by=CostGrouping(by))
    assert report.total.amounts == report_of(manager).total.amounts
    assert report.total.repairs == 3


def test_a_replaced_line_is_not_added_up(manager):
    estimate = CostLineFactory(amount=Decimal(50), status=CostStatus.ESTIMATE)
    CostLineFactory(repair=estimate.repair, amount=Decimal(80), replaces=estimate)
    assert total(manager).repair_cost == Decimal(80)


def test_a_void_repair_costs_nothing_and_does_not_count(manager):
    repair = RepairFactory(
        state=RepairState.VOID,
        void_reason="entered twice",
        signed_at=datetime(2024, 3, 2, tzinfo=UTC),
    )
    CostLineFactory(repair=repair)
    report = report_of(manager)
    assert (report.rows, report.currencies) == ([], [])


def test_shop_work_is_charged_to_its_position_and_is_no_other_repair(manager):
    stoppage = RepairFactory()
    shop = RepairFactory(position=stoppage.position, shop_work_of=stoppage)
    CostLineFactory(repair=shop, amount=Decimal(40))
    (row,) = report_of(manager).rows
    assert row.repairs == 1
    assert row.amounts_in("EUR").repair_cost == Decimal(40)


def test_currencies_are_never_added_together(manager):
    repair = RepairFactory()
    CostLineFactory(repair=repair, amount=Decimal(10))
    CostLineFactory(repair=repair, amount=Decimal(20), currency="USD")
    report = report_of(manager)
    assert report.currencies == ["EUR", "USD"]
    assert total(manager, "EUR").repair_cost == Decimal(10)
    assert total(manager, "USD").repair_cost == Decimal(20)
    assert report.warnings[0].startswith("Amounts in EUR and USD are kept apart")


def test_the_booking_day_puts_a_cost_into_another_period(manager):
    repair = RepairFactory(reported_at=datetime(2024, 12, 20, 8, tzinfo=UTC))
    CostLineFactory(repair=repair, amount=Decimal(9), booked_on=date(2025, 1, 15))
    next_year = Window(date(2025, 1, 1), date(2025, 12, 31))
    assert total(manager).repair_cost == 9
    assert total(manager, basis=Basis.BOOKING).repair_cost == 0
    assert total(manager, basis=Basis.BOOKING, window=next_year).repair_cost == 9
    assert total(manager, window=next_year).repair_cost == 0
    assert "1 cost line booked after the end of the period, included here." in (
        report_of(manager).warnings
    )


def test_repairs_without_cost_or_failure_mode_are_told(manager):
    RepairFactory()
    assert report_of(manager).warnings == [
        "1 repair without any cost line yet.",
        "1 repair open or unsigned; cost may still come.",
        "1 failure without a failure mode.",
    ]


def test_a_manager_of_one_site_sees_no_cost_of_another(manager):
    here = CostLineFactory(amount=Decimal(1))
    CostLineFactory(amount=Decimal(1000))
    manager.sees_all_sites = False
    manager.save()
    manager.sites.add(here.repair.site)
    for basis in Basis:
        assert total(manager, basis=basis).repair_cost == Decimal(1)


def test_without_the_permission_the_report_is_refused():
    with pytest.raises(PermissionDenied):
        report_of(UserFactory())


def csv_of(client, address, asked):
    answer = client.get(address, asked)
    return list(csv.reader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))


def workbook_of(client, asked):
    answer = client.get("/costs/workbook/", asked)
    content = io.BytesIO(b"".join(answer.streaming_content))
    return load_workbook(content), load_workbook(content, data_only=True)


def test_page_csv_and_workbook_hold_the_same_amounts(manager, manager_client):
    a_small_ledger()
    report = report_of(manager)
    expected = [export_row(row, report) for row in [*report.rows, report.total]]
    lines = csv_of(manager_client, "/costs/export.csv", QUESTION)
    assert lines[0] == export_header(report)
    assert lines[1:] == [[str(cell) for cell in row] for row in expected]
    _, values = workbook_of(manager_client, QUESTION)
    sheet = [list(row) for row in values[SHEET].iter_rows(values_only=True)]
    in_cents = [
        [round(Decimal(cell), 2) if isinstance(cell, float) else cell for cell in row]
        for row in sheet[1 : len(expected) + 1]
    ]
    assert [row[3] for row in in_cents] == [row[3] for row in expected]
    assert [[cell or "" for cell in row[:3]] for row in in_cents] == [
        row[:3] for row in expected
    ]
    page = manager_client.get("/costs/", QUESTION)
    shown = [cell["text"] for cell in page.context["totals"]]
    assert shown == ["All", "", "3", "600.74", "300.37", "300.37"]


def test_the_lines_of_the_workbook_add_up_to_its_breakdown(manager, manager_client):
    a_small_ledger()
    _, values = workbook_of(manager_client, QUESTION)
    rows = values["Cost lines"].iter_rows(min_row=2, values_only=True)
    kind, amount = HEADER.index("Kind of cost"), HEADER.index("Amount")
    amounts = [
        Decimal(str(row[amount])) for row in rows if row[kind] in ("Labour", "Parts")
    ]
    assert sum(amounts) == total(manager).repair_cost


def test_totals_of_the_workbook_are_live_sums(manager_client):
    a_small_ledger()
    formulas, _ = workbook_of(manager_client, QUESTION)
    assert formulas[SHEET]["D5"].value == "=SUM(D2:D4)"


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|x"])
def test_text_never_becomes_a_formula(manager_client, start):
    position = PositionFactory(tag=start)
    CostLineFactory(repair=RepairFactory(position=position, number=start), note=start)
    formulas, _ = workbook_of(manager_client, QUESTION)
    row = formulas["Cost lines"][2]
    for column in map(HEADER.index, ("Repair", "Position", "Note")):
        assert (row[column].value, row[column].data_type) == (start, "s")
    assert csv_of(manager_client, "/costs/export.csv", QUESTION)[1][0] == f"'{start}"
    assert csv_of(manager_client, "/costs/lines.csv", QUESTION)[1][5] == f"'{start}"


def test_the_notes_sheet_says_period_rule_and_warnings(manager_client):
    RepairFactory()
    _, values = workbook_of(manager_client, QUESTION)
    notes = dict(values["Notes"].iter_rows(min_row=2, values_only=True))
    assert notes["Period"] == "2024-01-01 to 2024-12-31"
    assert "every repair, except adjust" in notes["Counting rule"]
    assert notes["Check"] == "1 failure without a failure mode."


def test_heads_are_frozen_and_amounts_have_two_decimals(manager_client):
    a_small_ledger()
    formulas, _ = workbook_of(manager_client, QUESTION)
    assert formulas[SHEET].freeze_panes == "A2"
    assert formulas["Cost lines"].freeze_panes == "A2"
    assert formulas["Cost lines"]["Q2"].number_format == "#,##0.00"
    assert formulas["Cost lines"]["A2"].number_format == "yyyy-mm-dd"


def test_an_empty_period_makes_a_page_and_a_workbook(manager_client):
    page = manager_client.get("/costs/", QUESTION)
    assert "No repair was reported" in page.content.decode()
    _, values = workbook_of(manager_client, QUESTION)
    assert values["Summary"]["A9"].value == "Repairs"
    assert values["Summary"]["C9"].value == 0


def test_the_number_of_queries_stays_when_rows_double(
    manager_client, django_assert_num_queries
):
    a_small_ledger()
    with CaptureQueriesContext(connection) as few:
        manager_client.get("/costs/", QUESTION)
    a_small_ledger()
    with django_assert_num_queries(len(few)):
        manager_client.get("/costs/", QUESTION)
