"""The value of a figure stands inside its limits and agrees with every other place."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from analytics.reports.upgrade_follow_up.compare import reckoned_column
from analytics.reports.upgrade_follow_up.compare_page import chance, months
from analytics.reports.upgrade_follow_up.last_figures import listed_figures
from analytics.reports.upgrade_follow_up.promise import promise_record
from analytics.reports.upgrades.assumptions import Range, RatioFrom
from analytics.reports.upgrades.exports import export_rows
from analytics.reports.upgrades.figures import NO_COST
from analytics.reports.upgrades.inputs import too_few_priced
from analytics.reports.upgrades.page import upgrade_answer
from analytics.reports.upgrades.report import upgrade_report
from tests.analytics.reports.upgrades.fleet import AS_OF, case_of, fleet_made

pytestmark = pytest.mark.django_db


def between(least, likely, most):
    return Range(Decimal(likely), Decimal(least), Decimal(most))


# The most likely values stand at the very ends of what was typed.
SKEWED = {
    "purchase": between(10_000, 60_000, 60_000),
    "installation": between(500, 500, 9_000),
    "repair_cost": between(2_000, 2_000, 90_000),
    "lost_production": between(0, 0, 40_000),
    "lead_months": between(0, 0, 20),
    "energy_change": between(-3_000, 100, 100),
    "ratio_from": RatioFrom.TYPED,
    "typed_ratio": between("0.1", "0.9", "0.9"),
}


def report_of(manager, count=1, **typed):
    chosen = fleet_made()[:count]
    return upgrade_report(case_of(chosen, **typed), manager, chosen)


def test_no_value_stands_outside_its_limits(manager):
    report = report_of(manager, **SKEWED)
    limited = [*report.figures, *report.inputs]
    limited = [one for one in limited if one.low is not None and one.value is not None]
    assert len(limited) > 20
    for one in limited:
        high = float("inf") if one.high is None else one.high
        assert one.low <= one.value <= high, one.key


def test_means_are_those_of_the_simulation_and_add_up(manager):
    report = report_of(manager, **SKEWED)
    worth = report.figure("net_present_value")
    drawn = report.result.simulation.net_present_value
    # Three standard errors of the simulated mean, and the part years of the lead.
    assert abs(worth.value - drawn.mean()) < 3 * drawn.std() / 20_000**0.5 + 500
    assert "Mean" in worth.method
    before, after = (
        report.figure(f"cost_{when}").value for when in ("before", "after")
    )
    assert before - after == pytest.approx(worth.value)
    parts = [one.value for one in report.figures if one.key.startswith("saving_")]
    assert sum(parts) == pytest.approx(report.figure("yearly_saving").value)
    assert "Median" in report.figure("simple_payback").method


def test_every_place_tells_the_same_value(manager):
    report = report_of(manager, **SKEWED)
    worth = report.figure("net_present_value").value
    assert listed_figures(report, AS_OF)["net_present_value"] == worth
    promise = promise_record(report, promised_on=AS_OF)
    assert promise["figures"]["net_present_value"]["value"] == worth
    assert reckoned_column(report).figure("net_present_value").value == worth
    assert worth in [row[2] for row in export_rows(report)]
    typed = next(line for line in report.inputs if line.key == "repair_cost")
    assert typed.value == pytest.approx(94_000 / 3)
    assert "Typed: least 2,000, likely 2,000, most 90,000." in typed.note


@pytest.mark.parametrize("count", [1, 2])
def test_a_figure_of_one_input_has_the_limits_of_that_input(manager, count):
    report = report_of(manager, count, **SKEWED)
    before = report.figure("failures_before")
    line = next(one for one in report.inputs if one.key == "failures_per_year")
    assert (before.low, before.high) == (count * line.low, count * line.high)
    assert before.value == pytest.approx(count * line.value)


def test_nothing_spent_is_no_payback(manager):
    free = SKEWED | {"purchase": Range(), "installation": Range()}
    report = report_of(manager, **free)
    assert report.headline.startswith(NO_COST)
    assert "Pays back" not in report.headline
    keys = ("simple_payback", "payback_chance", "discounted_payback_chance")
    for key in keys:
        assert (report.figure(key).value, report.figure(key).reason) == (None, NO_COST)
    assert report.figure("internal_rate").value is None
    charts = [chart["id"] for chart in upgrade_answer(report)["charts"]]
    assert "upgrade-chance" not in charts
    column = reckoned_column(report)
    assert chance(24)(column)["note"] == months("simple_payback")(column)["note"]
    assert "payback_chance" not in listed_figures(report, AS_OF)


def test_scrap_that_brings_money_is_reckoned(manager):
    report = report_of(manager, **SKEWED, disposal=Decimal(-5_000))
    rows = {row[0]["text"]: row for row in upgrade_answer(report)["cost_rows"]}
    # 5,000 in ten years at 8 %.
    assert "2,316" in rows["Disposal"][1]["text"]
    assert report.refusals == []


def test_one_year_is_one_year(manager):
    short = {"horizon_years": 1, "payback_months": 12, "lead_months": Range()}
    dear = {"purchase": Range(Decimal(900_000))}
    report = report_of(manager, **SKEWED | short | dear)
    assert "over 1 year " in report.headline.lower()
    assert "over 1 year," in upgrade_answer(report)["cost_words"]


def test_few_amounts_are_told_in_words(manager):
    money = report_of(manager, **SKEWED).money
    none, one = (_priced(money, count) for count in (0, 1))
    assert none.startswith("No failure of these and like positions has amounts in EUR")
    assert one.startswith("Only 1 failure of these and like positions has amounts")


def _priced(money, count):
    return too_few_priced(replace(money, priced=count), "EUR")


def test_a_position_given_up_saves_nothing_and_is_refused(manager):
    positions = fleet_made()
    positions[1].out_of_service_on = date(2023, 12, 1)
    positions[1].save()
    chosen = positions[:2]
    report = upgrade_report(case_of(chosen, **SKEWED), manager, chosen)
    assert report.result is None
    [said] = report.refusals
    assert "P-02 (since" in said
    assert "P-01" not in said
    # Given up after the day of the case, it was in service on it.
    positions[1].out_of_service_on = date(2024, 1, 1)
    positions[1].save()
    report = upgrade_report(case_of(chosen, **SKEWED), manager, chosen)
    assert report.refusals == []
