"""The charts of the Costs page, each with the table of its numbers."""

from typing import Any

from analytics.charts.pareto import pareto
from analytics.charts.rolling_costs import rolling_costs
from analytics.charts.theme import figure_json
from analytics.reports.costs.groupings import page_of_row, short_names
from analytics.reports.costs.links import money_url, row_money_url
from analytics.reports.costs.periods import A_DAY
from analytics.reports.costs.report import CostReport
from analytics.reports.costs.rolling import Rolling, RollingMonth
from analytics.reports.costs.top_ten import TopLine, TopTen
from analytics.tables import Cell
from plant.display import count, money, percent
from records.choices import CostKind
from records.selectors.repair_filter import REPAIR_COST

LOST = CostKind.LOST_PRODUCTION.value


def top_ten_charts(report: CostReport) -> list[Cell]:
    return [_top_ten(report, top) for top in report.top_ten]


def rolling_charts(report: CostReport) -> list[Cell]:
    return [_rolling(report, rolling) for rolling in report.rolling]


def _top_ten(report: CostReport, top: TopTen) -> Cell:
    figure = pareto(
        [short_names(line.row.names, top.grouping) for line in top.lines],
        [float(line.amounts.repair_cost) for line in top.lines],
        [float(line.amounts.lost_production) for line in top.lines],
        [line.running_share for line in top.lines],
        top.unit,
    )
    size = len(top.lines)
    named = count(size, top.grouping.label.lower() + "," + _rows_named(top))
    return {
        "id": f"top-ten-{_slug(top.unit)}",
        "heading": f"Highest repair cost, {top.unit}",
        "reading": (
            f"The {named} with the highest repair cost make "
            f"{percent(top.lines[-1].running_share)} of all repair cost in {top.unit}; "
            "lost production stands beside it and is not added."
        ),
        "figure": figure_json(figure),
        "columns": [
            {"label": top.grouping.label},
            *(
                {"label": label, "numeric": True}
                for label in (
                    f"Repair cost, {top.unit}",
                    "Share of all",
                    "Share so far",
                    f"Lost production, {top.unit}",
                )
            ),
        ],
        "rows": [*(_top_cells(report, top, line) for line in top.lines), *_rest(top)],
    }


def _rows_named(top: TopTen) -> str:
    return f"rows by {top.grouping.label.lower()}"


def _top_cells(report: CostReport, top: TopTen, line: TopLine) -> list[Cell]:
    key, grouping = line.row.key, top.grouping

    def amount(value: Any, kind: str) -> Cell:
        url = row_money_url(report.question, grouping, key, cost_kind=kind)
        return {"text": money(value), "numeric": True, "url": url if value else ""}

    return [
        {"text": ", ".join(line.row.names), "url": page_of_row(grouping, key)},
        amount(line.amounts.repair_cost, REPAIR_COST),
        {"text": percent(line.share, 1), "numeric": True},
        {"text": percent(line.running_share, 1), "numeric": True},
        amount(line.amounts.lost_production, LOST),
    ]


def _rest(top: TopTen) -> list[list[Cell]]:
    if not top.rest_rows:
        return []
    share = 1 - top.lines[-1].running_share
    return [
        [
            {"text": f"All others, {count(top.rest_rows, 'row')}"},
            {"text": money(top.rest.repair_cost), "numeric": True},
            {"text": percent(share, 1), "numeric": True},
            {"text": percent(1.0), "numeric": True},
            {"text": money(top.rest.lost_production), "numeric": True},
        ]
    ]


def _rolling(report: CostReport, rolling: Rolling) -> Cell:
    months, unit = rolling.months, rolling.unit
    figure = rolling_costs(
        [month.label for month in months],
        [
            [float(month.repair) for month in months],
            [float(month.production) for month in months],
        ],
        [
            [float(month.repair_12) for month in months],
            [float(month.production_12) for month in months],
        ],
        unit,
    )
    end = months[-1].window.end
    is_whole = (end + A_DAY).day == 1
    cut = "" if is_whole else f" The last month runs to {end} only."
    return {
        "id": f"rolling-{_slug(unit)}",
        "heading": f"24 months of cost, {unit}",
        "reading": (
            "Below, what each calendar month cost; above, the twelve months that end "
            f"with it. A rising line is a lasting rise, a high bar alone is not."
            f"{cut}"
        ),
        "figure": figure_json(figure),
        "columns": [
            {"label": "Month"},
            *(
                {"label": label, "numeric": True}
                for label in (
                    f"Repair cost, {unit}",
                    "In 12 months",
                    f"Lost production, {unit}",
                    "In 12 months",
                )
            ),
        ],
        "rows": [_month_cells(report, month) for month in reversed(months)],
    }


def _month_cells(report: CostReport, month: RollingMonth) -> list[Cell]:
    def amount(value: Any, kind: str = "") -> Cell:
        url = money_url(report.question, month.window, cost_kind=kind) if kind else ""
        return {"text": money(value), "numeric": True, "url": url if value else ""}

    return [
        {"text": month.label},
        amount(month.repair, REPAIR_COST),
        amount(month.repair_12),
        amount(month.production, LOST),
        amount(month.production_12),
    ]


def _slug(unit: str) -> str:
    return unit.lower().replace(" ", "-")
