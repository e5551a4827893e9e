"""Amounts told in another currency or in the prices of another year."""

from datetime import date
from decimal import Decimal

import pytest

from analytics.exposure import Window
from analytics.money.treatment import MoneyTreatment
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.report import cost_report
from analytics.reports.costs.table import cells, export_row
from analytics.reports.costs.work import Work
from analytics.scope import Scope
from records.models import ExchangeRate, PriceLevel
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
WINDOW = Window(date(2024, 1, 1), date(2024, 12, 31))
RATES = {(2024, "USD", "EUR"): Decimal("0.9")}
LEVELS = {("EUR", 2023): Decimal(100), ("EUR", 2024): Decimal(105)}
RESTATED = MoneyTreatment("EUR", 2024, RATES, LEVELS)


def told(user, treatment, by=CostGrouping.POSITION):
    return cost_report(Scope(user, WINDOW), Basis.EVENT, by, Work.ALL, treatment)


@pytest.fixture
def ledger(db):
    """100 EUR of 2024, 200 EUR of 2023, 10 USD of 2024, 7 USD of 2022."""
    repair = RepairFactory()
    for amount, currency, year in (
        (100, "EUR", 2024),
        (200, "EUR", 2023),
        (10, "USD", 2024),
        (7, "USD", 2022),
    ):
        CostLineFactory(
            repair=repair,
            amount=Decimal(amount),
            currency=currency,
            booked_on=date(year, 6, 1),
        )
    return repair


def test_amounts_are_restated_by_the_year_of_booking(ledger, manager):
    report = told(manager, RESTATED)
    found = {unit: a.repair_cost for unit, a in report.total.amounts.items()}
    assert found == {"EUR of 2024": 100 + 200 * Decimal("1.05") + 9, "USD": 7}
    assert report.currencies == ["EUR of 2024", "USD"]


@pytest.mark.parametrize("by", CostGrouping)
def test_every_grouping_and_the_comparison_are_told_alike(ledger, manager, by):
    report = told(manager, RESTATED, by)
    assert report.total.amounts_in("EUR of 2024").repair_cost == 319
    assert report.comparison.line("repair", "EUR of 2024").values[0] == 319
    assert report.failures["EUR of 2024"].repair_cost == 319
    assert report.rolling[0].months[-10].repair == 319


def test_what_found_no_rate_is_listed_with_its_years(ledger, manager):
    warnings = told(manager, RESTATED).warnings
    assert warnings[:2] == [
        "USD booked in 2022 stays in USD: no rate into EUR is on record. It is listed "
        "apart and never added.",
        "USD booked in 2022 stays nominal: no price level of USD for that year or for "
        "2024 is on record. It is listed apart and never added.",
    ]
    assert "Amounts in EUR of 2024 and USD are kept apart" in warnings[2]


def test_nominal_amounts_as_booked_are_what_was_booked(ledger, manager):
    report = told(manager, None)
    found = {unit: a.repair_cost for unit, a in report.total.amounts.items()}
    assert found == {"EUR": Decimal("300.00"), "USD": Decimal("17.00")}
    assert report.question.money_in_words.startswith("Nominal amounts")


def test_a_restated_figure_opens_no_list_of_booked_amounts(ledger, manager):
    report = told(manager, RESTATED)
    _, count, amount, *_ = cells(report.rows[0], report)
    assert count["url"].startswith("/repairs/?")
    assert (amount["text"], amount["url"]) == ("319.00", "")


def test_thirds_are_rounded_only_where_they_are_shown(manager):
    for _ in range(3):
        CostLineFactory(amount=Decimal("1.00"), currency="USD")
    report = told(
        manager, MoneyTreatment("EUR", None, {(2024, "EUR", "USD"): Decimal(3)})
    )
    row = report.total
    assert row.amounts_in("EUR").repair_cost.quantize(Decimal("1e-20")) == 1
    assert export_row(report.rows[0], report)[2] == Decimal("0.33")


def test_the_page_offers_what_the_tables_hold_and_labels_both(ledger, manager_client):
    ExchangeRate.objects.create(
        year=2024, currency="USD", into="EUR", rate=Decimal("0.9")
    )
    for year, level in ((2023, 100), (2024, 105)):
        PriceLevel.objects.create(currency="EUR", year=year, level=Decimal(level))
    days = {"start": "2024-01-01", "end": "2024-12-31"}
    nominal = manager_client.get("/costs/", days)
    assert "Nominal amounts, each in the currency" in nominal.content.decode()
    asked = days | {"money": "EUR", "prices": "2024"}
    page = manager_client.get("/costs/", asked)
    assert "Restated to prices of 2024" in page.content.decode()
    assert page.context["report"].currencies == ["EUR of 2024", "USD"]
    refused = manager_client.get("/costs/", days | {"prices": "1950"})
    assert "report" not in refused.context
