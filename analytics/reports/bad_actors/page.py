"""What the Bad actors page is given to show."""

from collections.abc import Sequence
from typing import Any

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics import peers
from analytics.charts.pareto import pareto
from analytics.charts.rates import rate_plot
from analytics.charts.theme import figure_json
from analytics.forms.bad_actors import Ranking
from analytics.reports.bad_actors import flag_rows, table
from analytics.reports.bad_actors import rule as bad_actors
from analytics.reports.bad_actors.pareto import CostRank, fewest_for
from analytics.reports.bad_actors.report import BadActorReport, Unit
from analytics.reports.bad_actors.section_rows import section_context
from analytics.reports.bad_actors.sections import sections_of
from analytics.tables import Cell, address_with, in_order, with_usual_sort
from plant.display import fixed, interval, money, number, percent
from plant.listing import PAGE_SIZE, header_cells

DRAWN = 15
LISTED = 20
MOST_COST = 0.8
METHOD = [
    "Estimate: gamma-Poisson pooling over the peers, which pulls a rate that "
    "rests on few events towards theirs; its interval leaves out the error of "
    "the pool itself and, in simulation, holds the true rate in 81 to 89 % of cases "
    "instead of 90 %. Where the counts of a group differ no more than by chance, each "
    "rate and its interval are averaged over the spreads that this leaves possible, as "
    "like counts do not prove like pumps. The chance of being worse than twice the "
    "peers comes from one free-form distribution of relative rates over the whole "
    "fleet. Where rates "
    "spread smoothly it is too sure: in simulation, of units said to be 80 % sure to "
    "be worse, 61 to 71 % were. Read it as an order, not as a promise.",
    "Rework within the window of the site after a hand-back is merged into its "
    "event before rates are estimated; the column of repairs counts it.",
]


def context(report: BadActorReport, ranking: Ranking, query: QueryDict) -> Cell:
    units = units_in_order(report, ranking, query)
    page = Paginator(units, PAGE_SIZE).get_page(query.get("page"))
    shown = with_usual_sort(query, table.USUAL_SORTS[ranking])
    export = address_with(reverse("analytics:bad_actors_export"), query)
    near = report.near_misses
    return {
        "report": report,
        "reason_columns": [{"label": report.kind.label}, {"label": "Why"}],
        "flag_columns": flag_rows.flag_columns(report),
        "flagged": flag_rows.flag_rows(report),
        "recovered": flag_rows.recovered_rows(report),
        "gone": ", ".join(report.gone),
        "near_misses": [_reason(unit, unit.reason, report) for unit in near[:LISTED]],
        "more_near_misses": max(0, len(near) - LISTED),
        "costliest": [
            _reason(unit, unit.cost_sentence, report) for unit in report.costliest
        ],
        **section_context(report, sections_of(report), query),
        "rate_chart": _rate_chart(report),
        "cost_charts": [_cost_chart(report, name) for name in report.currencies],
        "page": page,
        "columns": header_cells(table.columns(report), shown),
        "rows": [table.cells(unit, report) for unit in page.object_list],
        "export_urls": [{"label": "CSV", "url": export}],
        "rule": [bad_actors.RULE_IN_WORDS, bad_actors.BY_CHANCE_IN_WORDS],
        "counting": [
            bad_actors.METHOD_IN_WORDS,
            peers.RULE_IN_WORDS,
            *METHOD,
            *report.scope.rule_in_words(),
        ],
    }


def units_in_order(
    report: BadActorReport, ranking: Ranking, query: QueryDict
) -> list[Unit]:
    by_evidence = in_order(report.units, table.SORT_KEYS, QueryDict(), "evidence")
    return in_order(by_evidence, table.SORT_KEYS, query, table.USUAL_SORTS[ranking])


def _reason(unit: Unit, sentence: str, report: BadActorReport) -> list[Cell]:
    url = table.address(unit, report.kind)
    return [
        {"text": unit.label, "url": url, "note": unit.place},
        {"text": sentence},
    ]


def _rate_chart(report: BadActorReport) -> Cell | None:
    units = in_order(report.units, table.SORT_KEYS, QueryDict(), "evidence")
    units = [unit for unit in units if unit.events and unit.posterior > 0][:DRAWN]
    if not units:
        return None
    figure = rate_plot(
        [unit.label for unit in units],
        [unit.raw_rate for unit in units],
        [unit.posterior for unit in units],
        [unit.low for unit in units],
        [unit.high for unit in units],
        [table.peer_rate(unit) for unit in units],
    )
    return {
        "figure": figure_json(figure),
        "columns": _heads(report.kind.label, "As counted", "Estimate", "Interval"),
        "rows": [
            _cells(
                unit.label,
                fixed(unit.raw_rate, 2),
                fixed(unit.posterior, 2),
                interval(unit.low, unit.high, table.two_places),
            )
            for unit in units
        ],
    }


def _cost_chart(report: BadActorReport, currency: str) -> Cell:
    units = {unit.key: unit for unit in report.units}
    ranks = list(report.ranks[currency].values())
    costs = [
        (units[rank.key].label, cost, rank.so_far)
        for rank in ranks[:DRAWN]
        if (cost := table.cost_in(units[rank.key], currency))
    ]
    figure = pareto(
        [label for label, _cost, _so_far in costs],
        [float(cost.repair_cost) for _label, cost, _so_far in costs],
        [float(cost.lost_production) for _label, cost, _so_far in costs],
        [so_far for _label, _cost, so_far in costs],
        currency,
    )
    return {
        "id": f"cost-{currency}",
        "heading": f"Cost by {report.kind.label.lower()}, {currency}",
        "reading": _pareto_reading(ranks, len(report.units)),
        "figure": figure_json(figure),
        "columns": _heads(
            report.kind.label, "Repair cost", "Lost production", "Share so far"
        ),
        "rows": [
            _cells(
                label,
                money(cost.repair_cost),
                money(cost.lost_production),
                table.so_far(so_far),
            )
            for label, cost, so_far in costs
        ],
    }


def _pareto_reading(ranks: Sequence[CostRank], size: int) -> str:
    most = number(fewest_for(ranks, MOST_COST))
    return (
        f"Highest cost first; {most} of {number(size)} units make "
        f"{percent(MOST_COST)} of all repair cost. The line shows how much "
        "the units up to there make together."
    )


def _heads(*labels: str) -> list[Cell]:
    return [
        {"label": label, "numeric": place > 0} for place, label in enumerate(labels)
    ]


def _cells(*texts: Any) -> list[Cell]:
    return [{"text": text, "numeric": place > 0} for place, text in enumerate(texts)]
