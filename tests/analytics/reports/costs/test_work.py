"""Costs of failures beside other work, and repairs that have no cost yet."""

from datetime import date
from decimal import Decimal

import pytest

from analytics.exposure import Window
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.report import CostGrouping
from analytics.reports.costs.table import (
    NO_COST_YET,
    all_repairs_url,
    cells,
    tiles,
)
from analytics.reports.costs.work import Work
from records.choices import Category
from records.selectors.cost_totals import cost_totals
from records.selectors.repair_filter import RepairFilter, repairs_filtered
from tests.analytics.reports.costs.test_report import (
    QUESTION,
    YEAR,
    csv_of,
    report_of,
    workbook_of,
)
from tests.factories.plant import AreaFactory, PositionFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db


def failures_beside_other_work():
    """A failure with its shop work, and planned work; costs 100, 40 and 7."""
    failure = RepairFactory(category=Category.CORRECTIVE)
    planned = RepairFactory(category=Category.PREVENTIVE, position=failure.position)
    shop = RepairFactory(position=failure.position, shop_work_of=failure)
    for repair, amount in ((failure, 100), (shop, 40), (planned, 7)):
        CostLineFactory(repair=repair, amount=Decimal(amount))


@pytest.mark.parametrize("basis", Basis)
def test_failures_and_other_work_make_up_all_repairs(manager, basis):
    failures_beside_other_work()
    window = Window(date(2020, 1, 1), date(2026, 12, 31))
    found = {
        work: report_of(manager, basis=basis, window=window, work=work).total
        for work in Work
    }
    costs = {work: row.amounts_in("EUR").repair_cost for work, row in found.items()}
    assert costs == {Work.ALL: 147, Work.FAILURES: 140, Work.OTHER: 7}
    assert {work: row.repairs for work, row in found.items()} == {
        Work.ALL: 2,
        Work.FAILURES: 1,
        Work.OTHER: 1,
    }


def test_all_repairs_show_what_failures_cost_on_a_line_of_their_own(manager):
    failures_beside_other_work()
    first = tiles(report_of(manager))[0]
    assert (first["value"], first["interval"]) == (
        "147.00",
        "of it failures: EUR\u00a0140.00",
    )


def test_failures_reconcile_with_the_repairs_page_and_its_shop_work(manager):
    failures_beside_other_work()
    report = report_of(manager, work=Work.FAILURES)
    assert "counted_as=failure+work" in all_repairs_url(report)
    choice = RepairFilter(
        reported_from=YEAR.start, reported_to=YEAR.end, counted_as="failure work"
    )
    listed = repairs_filtered(user=manager, choice=choice, rules=report.scope.rules)
    (of_page,) = cost_totals(listed)
    assert of_page.repair_cost == report.total.amounts_in("EUR").repair_cost == 140


def test_files_carry_the_work_that_was_counted(manager_client):
    failures_beside_other_work()
    asked = QUESTION | {"work": "failures", "by": "position"}
    page = manager_client.get("/costs/", asked)
    assert "Only failures by the counting rule" in page.content.decode()
    assert all("work=failures" in link["url"] for link in page.context["export_urls"])
    answer = manager_client.get("/costs/export.csv", asked)
    assert "costs-failures.csv" in answer["Content-Disposition"]
    assert csv_of(manager_client, "/costs/export.csv", asked)[-1][2] == "140.00"
    assert len(csv_of(manager_client, "/costs/lines.csv", asked)) == 3
    _, values = workbook_of(manager_client, asked)
    notes = dict(values["Notes"].iter_rows(min_row=2, values_only=True))
    assert notes["Work counted"].startswith("Only failures")
    assert values["Summary"]["E7"].value == 140


def test_a_repair_without_a_cost_line_has_a_dash_and_one_of_nothing_has_zero(
    manager, manager_client
):
    area = AreaFactory()
    bare, free = (PositionFactory(area=area, tag=tag) for tag in ("P-1", "P-2"))
    RepairFactory(position=bare)
    CostLineFactory(repair=RepairFactory(position=free), amount=Decimal(0))
    report = report_of(manager, by=CostGrouping.POSITION)
    first, second = (cells(row, report)[2] for row in report.rows)
    assert (first["text"], first["note"]) == ("–", NO_COST_YET)
    assert (second["text"], second["note"]) == ("0.00", "")
    asked = QUESTION | {"by": "position"}
    _, of_bare, of_free, _ = csv_of(manager_client, "/costs/export.csv", asked)
    assert (of_bare[2], of_free[2]) == ("", "0.00")
    _, values = workbook_of(manager_client, asked)
    assert [values["By position"][cell].value for cell in ("C2", "C3")] == [None, 0]
