"""The costs on paper: two to four pages, the figures of the page, names that wrap."""

import io
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from pypdf import PdfReader

from analytics.exports.cost_pdf import write_cost_pdf
from analytics.exports.cost_pdf_charts import tick_step
from analytics.forms.costs import CostForm
from plant.display import money
from records.choices import Cause, CostKind, FailureMode, Item, Mechanism
from tests.analytics.exports.nasty_ledger import QUESTION, money_tables, nasty_ledger
from tests.factories.plant import AreaFactory, PositionFactory, PumpFactory, SiteFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
MADE_ON = datetime(2024, 12, 31, 12, tzinfo=UTC)


def report_of(user, **asked):
    form = CostForm(QUESTION | asked, user=user)
    assert form.is_answerable(), form.errors
    return form.report()


def pages_of(report):
    content = io.BytesIO()
    write_cost_pdf(content, report, made_on=MADE_ON)
    return [" ".join(page.extract_text().split()) for page in PdfReader(content).pages]


def long_names(count=40):
    """Names as long as the columns allow, in as many groups as a fleet has."""
    for n in range(count):
        site = SiteFactory(name=f"{n} " + "Works of the very long river bank " * 2)
        area = AreaFactory(site=site, name=f"Area {n} behind the tank farm " * 2)
        position = PositionFactory(area=area, tag=f"P-{n}-" + "A" * 30)
        repair = RepairFactory(
            position=position,
            pump=PumpFactory(site=site, serial_number=f"SN-{n}-" + "9" * 40),
            failure_mode=FailureMode.values[n % len(FailureMode.values)],
            item=Item.values[n % len(Item.values)],
            mechanism=Mechanism.values[n % len(Mechanism.values)],
            cause=Cause.values[n % len(Cause.values)],
        )
        for currency in ("EUR", "USD", "GBP", "CHF"):
            CostLineFactory(
                repair=repair, currency=currency, amount=Decimal(123_456_789) + n
            )


def test_it_has_two_to_four_numbered_pages_with_the_figures_of_the_page(manager):
    nasty_ledger()
    report = report_of(manager)
    pages = pages_of(report)
    assert 2 <= len(pages) <= 4
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
    text = " ".join(pages)
    for line in report.comparison.lines:
        if line.kind == "money" and line.values[0] and line.level == 0:
            assert money(line.values[0]) in text
    for table in (report.top_ten[0].lines[:3], report.breakdown("site").rows[:1]):
        for row in table:
            amounts = getattr(row, "amounts", None)
            of_eur = amounts["EUR"] if isinstance(amounts, dict) else amounts
            assert money(of_eur.repair_cost) in text


def test_one_currency_leaves_room_for_every_figure_of_the_comparison(manager):
    for kind in CostKind:
        CostLineFactory(kind=kind, amount=Decimal(f"{len(kind)}1.37"))
    report = report_of(manager)
    text = " ".join(pages_of(report))
    for line in report.comparison.lines:
        assert line.label in text
        if line.kind == "money" and line.values[0]:
            assert money(line.values[0]) in text


def test_long_names_and_many_currencies_still_end_on_the_fourth_page(manager):
    long_names()
    pages = pages_of(report_of(manager))
    assert len(pages) <= 4
    text = " ".join(pages)
    assert "more" in text
    assert "stand in the workbook" in text


def test_marks_in_names_are_shown_and_not_obeyed(manager):
    CostLineFactory(
        repair=RepairFactory(position=PositionFactory(tag="<b>P-1</b> & Co")),
        booked_on=date(2024, 3, 1),
    )
    assert "<b>P-1</b> & Co" in " ".join(pages_of(report_of(manager)))


def test_restated_prices_are_named_and_what_stays_apart_is_listed(manager):
    nasty_ledger()
    money_tables()
    text = " ".join(pages_of(report_of(manager, money="EUR", prices="2024")))
    assert "Restated to prices of 2024" in text
    assert "EUR of 2024" in text
    assert "USD booked in 2024 stays in USD" in text


def test_an_empty_period_makes_a_paper_that_says_so(manager):
    text = " ".join(pages_of(report_of(manager)))
    assert "No cost in these months." in text


def test_credits_below_zero_are_drawn_and_told(manager):
    repair = RepairFactory()
    for amount in ("100.00", "-250.00"):
        CostLineFactory(repair=repair, kind=CostKind.PARTS, amount=Decimal(amount))
    assert "−150.00" in " ".join(pages_of(report_of(manager)))


@pytest.mark.parametrize(
    ("span", "step"), [(0, 1), (3.9, 1), (41, 20), (100, 25), (99_000, 25_000)]
)
def test_ticks_are_round_numbers(span, step):
    assert tick_step(span) == step


def test_the_currency_of_most_positions_is_never_the_one_cut(manager):
    for n in range(9):
        repair = RepairFactory(position=PositionFactory(tag=f"P-{n}"))
        CostLineFactory(repair=repair, currency="SEK", amount=Decimal(1000 + n))
    for currency in ("AUD", "CHF", "EUR", "GBP"):
        CostLineFactory(repair=repair, currency=currency, amount=Decimal(77))
    report = report_of(manager)
    text = " ".join(pages_of(report))
    assert "Highest repair cost by position and failure mode, SEK" in text
    for unit in ("SEK", "AUD", "CHF", "EUR", "GBP"):
        total = report.breakdown("position").total.amounts[unit].repair_cost
        assert f"{unit}: repair cost {money(total)}" in text


def test_a_row_of_two_currencies_counts_its_repairs_in_neither(manager):
    repair = RepairFactory(position=PositionFactory(tag="P-77"))
    for currency in ("EUR", "USD"):
        CostLineFactory(repair=repair, currency=currency, amount=Decimal("12.34"))
    text = " ".join(pages_of(report_of(manager)))
    assert "P-77 EUR – 12.34" in text
    assert "P-77 USD – 12.34" in text
