"""What the page and the file of a case show."""

from decimal import Decimal

import pytest

from analytics.reports.upgrades.assumptions import Range, RatioFrom
from analytics.reports.upgrades.exports import export_header, export_rows
from analytics.reports.upgrades.page import upgrade_answer
from analytics.reports.upgrades.report import upgrade_report
from tests.analytics.reports.upgrades.fleet import case_of, fleet_made

pytestmark = pytest.mark.django_db
HALF = {
    "ratio_from": RatioFrom.TYPED,
    "typed_ratio": Range(Decimal("0.5"), Decimal("0.4"), Decimal("0.8")),
    "purchase": Range(Decimal(4000)),
}


def report_of(manager, **typed):
    chosen = fleet_made()[:2]
    return upgrade_report(case_of(chosen, **HALF | typed), manager, chosen)


def texts(rows):
    return [[cell["text"] for cell in row] for row in rows]


def test_repair_and_lost_production_stand_apart_and_their_sum_below(manager):
    report = report_of(manager)
    answer = upgrade_answer(report)
    names = [row[0] for row in texts(answer["saving_rows"])]
    assert names[:2] == ["Repair cost saved a year", "Lost production saved a year"]
    assert len(names) == 3
    total = f"{report.figure('yearly_saving').value:,.0f}"
    assert answer["saving_totals"][1]["text"] == f"EUR\u00a0{total}"


def test_a_running_cost_that_changes_gets_its_line(manager):
    answer = upgrade_answer(report_of(manager, water_change=Range(Decimal(120))))
    rows = texts(answer["saving_rows"])
    assert rows[3][:2] == ["Water saved a year", "EUR\u00a0\u2212120"]


def test_every_figure_has_limits_or_a_reason(manager):
    for figure in report_of(manager).figures:
        assert figure.low is not None or figure.high is not None or figure.reason
        assert figure.value is not None or figure.reason


def test_every_input_names_its_source(manager):
    sources = {
        row[0]: row[3]
        for row in texts(upgrade_answer(report_of(manager))["input_rows"])
    }
    assert sources["Failures a year of one position now"] == "records, n = 12"
    assert sources["Purchase"] == "typed"
    assert sources["Discount rate a year, beyond inflation"] == "default"


def test_elements_of_the_life_cycle_cost_add_up_to_the_totals(manager):
    report = report_of(manager)
    elements = report.result.cost_before.by_element
    assert sum(elements.values()) == pytest.approx(report.figure("cost_before").value)
    answer = upgrade_answer(report)
    assert [row[0] for row in texts(answer["cost_rows"])] == [
        *("Purchase", "Installation", "Energy", "Operation", "Maintenance"),
        *("Downtime", "Environment", "Disposal"),
    ]
    before = f"{report.figure('cost_before').value:,.0f}"
    assert answer["cost_totals"][1]["text"] == f"EUR\u00a0{before}"


def test_the_charts_carry_their_numbers_and_the_months_asked(manager):
    report = report_of(manager)
    chance, cash, tornado = upgrade_answer(report)["charts"]
    at_24 = next(row for row in texts(chance["rows"]) if row[0] == "24")
    assert at_24[1] in report.headline
    assert len(cash["rows"]) == 11
    names = [row[0]["text"] for row in tornado["rows"]]
    assert set(names) == {
        "Failures a year of one position now",
        "Failures after, as share of before",
        "Repair cost of a failure",
        "Lost production of a failure",
    }
    assert names[0] in tornado["reading"]


def test_the_typed_share_beside_the_records_is_only_compared(manager):
    report = report_of(manager)
    assert report.compared is None
    assert upgrade_answer(report)["compared_rows"] == []


def test_a_refused_case_still_shows_what_the_records_gave(manager):
    report = report_of(manager, ratio_from=RatioFrom.FLEET)
    answer = upgrade_answer(report)
    assert "tiles" not in answer
    assert answer["input_rows"]
    assert report.refusals[0] in answer["headline"]


def test_the_file_holds_plain_numbers_of_every_input_and_figure(manager):
    report = report_of(manager)
    rows = export_rows(report)
    assert {len(row) for row in rows} == {len(export_header())}
    figures = {row[1]: row for row in rows if row[0] == "Figure"}
    assert len(figures) == len(report.figures)
    assert figures["Net present value"][2] == report.figure("net_present_value").value
    assert figures["Net present value"][5] == "EUR"
    inputs = [row for row in rows if row[0] == "Input"]
    assert len(inputs) == len(report.inputs)
