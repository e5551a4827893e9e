"""What the Budget page is given to show."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics.money.mean_cost import LEAST_AMOUNTS
from analytics.reports.budget import table
from analytics.reports.budget.figures import (
    amount,
    amounts,
    component_words,
    is_priced,
    money_lines,
    whole,
)
from analytics.reports.budget.parts import LEAST_FAILURES
from analytics.reports.budget.report import BudgetReport, PartBudget
from analytics.reports.costs.tabs import costs_tabs
from analytics.tables import Cell, address_with
from plant.display import NO_VALUE, count, date, fixed, money, number, percent
from plant.listing import PAGE_SIZE, header_cells


def context(report: BudgetReport, query: QueryDict) -> dict[str, Any]:
    areas = Paginator(report.areas, PAGE_SIZE).get_page(query.get("page"))
    export_url = address_with(reverse("analytics:budget_export"), query)
    return {
        "report": report,
        "tabs": costs_tabs("budget", query),
        "tiles": tiles(report),
        "sentences": sentences(report),
        "areas": areas,
        "area_columns": header_cells(table.area_columns(report), query),
        "area_rows": [table.area_row(line, report) for line in areas.object_list],
        "area_totals": table.area_row(report.total, report) if report.total else [],
        "part_columns": header_cells(table.PART_COLUMNS, query),
        "part_rows": [table.part_row(part, report) for part in report.parts],
        "cost_columns": header_cells(table.cost_columns(report), query),
        "cost_rows": table.cost_rows(report),
        "method": method(report),
        "export_urls": [{"label": "CSV", "url": export_url}],
    }


def tiles(report: BudgetReport) -> list[Cell]:
    """Failures, what to buy, and both kinds of money, for all areas asked for."""
    total = report.total
    if total is None:
        return []
    limits = percent(report.scope.confidence)
    sure = f"enough with a chance of {percent(report.service_level)}"
    found = [
        {
            "label": "Failures",
            "value": fixed(total.all.failures, 0),
            "interval": f"{limits}: {whole(total.all.failures_interval)}",
            "note": f"{fixed(total.seals.failures, 0)} of seals, "
            f"{fixed(total.bearings.failures, 0)} of bearings, the rest of other items",
        },
        {
            "label": "Seals to buy",
            "value": number(total.seals.to_buy),
            "note": f"{fixed(total.seals.parts, 0)} expected to go; {sure}",
        },
        {
            "label": "Bearings to buy",
            "value": number(total.bearings.to_buy),
            "note": f"{fixed(total.bearings.parts, 0)} expected to go, failed or "
            f"renewed with other work; {sure}",
        },
    ]
    for label, line, costs in money_lines(report, total):
        shown = is_priced(costs)
        found.append(
            {
                "label": label,
                "value": amount(line.cost, report.currency) if shown else NO_VALUE,
                "interval": f"{limits}: {amounts(line.cost_interval)}" if shown else "",
                "note": "of failures; what is renewed with them is in it"
                if shown
                else "too few amounts on record",
            }
        )
    return found


def sentences(report: BudgetReport) -> list[str]:
    """For which days this is, how sure, and what is not in it."""
    first = report.scope.window.end + timedelta(days=1)
    last = report.scope.window.end + timedelta(days=365)
    said = [
        f"From {date(first)} to {date(last)}. Limits hold "
        f"{percent(report.scope.confidence)} of the time, with the doubt about lives, "
        "rates and mean costs and with chance.",
        *_without_life(report),
        *_without_money(report),
    ]
    warned = [part.demand.part for part in report.parts if part.demand.warnings]
    if warned:
        said.append(
            f"The limits of {', '.join(warned)} rest on few failures and are a little "
            "too narrow."
        )
    return said


def _without_life(report: BudgetReport) -> Iterator[str]:
    """Failures and parts of which no age in service tells."""
    counted = [part for part in report.parts if part.counted]
    if counted:
        names = " and ".join(
            f"{number(one.counted)} of {_item(one)}" for one in counted
        )
        yield (
            f"Without a life on record: {count(_sum(counted), 'failure')} ({names}) "
            f"from {date(report.seen.start)} to {date(report.seen.end)}. They go on at "
            "the rate at which they came, and each is taken to need one part."
        )
    if report.without_life:
        yield (
            "Not forecast from their age: "
            f"{count(report.without_life, 'part')} in service of a component "
            f"of which fewer than {number(LEAST_FAILURES)} have failed on record. "
            "Failures counted at their positions go on at their rate."
        )
    if report.unusable:
        yield (
            f"Not forecast from their age: {count(report.unusable, 'part')} in service "
            "whose age is not known, over all areas of the sites. Failures counted at "
            "their positions go on at their rate."
        )


def _item(part: PartBudget) -> str:
    return component_words(part.demand.component).lower()


def _sum(parts: list[PartBudget]) -> int:
    return sum(part.counted for part in parts)


def _without_money(report: BudgetReport) -> Iterator[str]:
    if not report.currency:
        yield (
            "The sites have several currencies: choose one site to see money. Amounts "
            "in different currencies are never added."
        )
        return
    if report.money.mixed:
        sums = ", ".join(
            money(amount, currency)
            for currency, amount in report.money.elsewhere.items()
        )
        yield (
            f"Not in the mean cost: {count(report.money.mixed, 'failure')} with "
            f"amounts in other currencies than {report.currency} ({sums}), whatever "
            f"they cost in {report.currency} beside."
        )
    if report.without_cost:
        names = ", ".join(component_words(name).lower() for name in report.without_cost)
        yield (
            f"Without money: failures of {names}, with fewer than "
            f"{number(LEAST_AMOUNTS)} amounts in {report.currency} on record."
        )


def method(report: BudgetReport) -> list[str]:
    seen = f"{date(report.seen.start)} to {date(report.seen.end)}"
    return [
        "Seals and bearings: the Weibull life of each part with its piping plan, from "
        "all lives of the sites asked for, applied to the age of each one in service "
        "and to how much it runs; what fails is replaced by a new one that may fail "
        f"again. A part with fewer than {number(LEAST_FAILURES)} failures takes the "
        "life of all parts of its component, marked so.",
        "Renewed with other work: parts taken out sound, rejected, planned, damaged by "
        "others or for a reason nobody gave, counted from "
        f"{seen}, come again at that rate (negative binomial limits; where few or none "
        "were seen they lean on the rate of all parts of the component). They are "
        "bought; their money lies in the repair they are renewed with.",
        f"Other failures: {count(report.others_seen, 'failure')} of other items from "
        f"{seen}, by area, at that rate; the limits of an area with few lean on the "
        "rate of all areas of the sites asked for.",
        "Failures of seals and bearings without a life on record: those in the same "
        "days at positions where no such part is forecast from its age, and, where one "
        "is, those since its first life on record whose repair is closed and took no "
        "part out. They are counted like other failures.",
        "Money: the mean repair cost of a failure of the same item in the same days, "
        "shop work included, nominal, times the failures. Lost production is the mean "
        "of what was entered for them and stands apart.",
        "To buy is the smallest number that covers the year with the chance asked "
        "for; what lies in the store is not known here and not taken off. Numbers to "
        "buy and limits of areas do not add up to those of all, and each amount is "
        "rounded by itself. An area is reckoned with all areas of the sites asked for "
        "and has the same figures alone and beside them.",
        *report.scope.rule_in_words(),
    ]
