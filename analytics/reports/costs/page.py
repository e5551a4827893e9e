"""What the Costs page is given to show."""

from typing import Any

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import NoReverseMatch, reverse

from analytics.reports.costs import comparison_table
from analytics.reports.costs import table as cost_table
from analytics.reports.costs.amounts import CostRow
from analytics.reports.costs.charts import rolling_charts, top_ten_charts
from analytics.reports.costs.notes import method_of
from analytics.reports.costs.report import CostReport
from analytics.tables import address_with, in_order, with_usual_sort
from plant.listing import PAGE_SIZE, header_cells

EXPORTS = {
    "Workbook": "analytics:costs_workbook",
    "PDF": "analytics:costs_pdf",
    "CSV": "analytics:costs_export",
    "CSV of all cost lines": "analytics:cost_lines_export",
}


def context(report: CostReport, query: QueryDict) -> dict[str, Any]:
    rows = rows_in_order(report, query)
    page = Paginator(rows, PAGE_SIZE).get_page(query.get("page"))
    shown = with_usual_sort(query, cost_table.USUAL_SORT)
    comparison = report.comparison
    return {
        "report": report,
        "tiles": cost_table.tiles(report),
        "page": page,
        "columns": header_cells(cost_table.columns(report), shown),
        "rows": [cost_table.cells(row, report) for row in page.object_list],
        "totals": cost_table.total_cells(report),
        "repairs_url": cost_table.all_repairs_url(report),
        "comparison": comparison,
        "comparison_columns": comparison_table.columns(comparison),
        "comparison_days": comparison_table.days_in_words(comparison),
        "comparison_rows": comparison_table.rows(comparison),
        "charts": [*rolling_charts(report), *top_ten_charts(report)],
        "method": [*method_of(report.question), *report.scope.rule_in_words()],
        "export_urls": exports(query),
    }


def exports(query: QueryDict) -> list[dict[str, str]]:
    """Files of the same question, as far as their addresses exist."""
    return [
        {"label": label, "url": address_with(address, query)}
        for label, name in EXPORTS.items()
        if (address := _address(name))
    ]


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""


def rows_in_order(report: CostReport, query: QueryDict) -> list[CostRow]:
    keys = cost_table.sort_keys(report)
    return in_order(report.rows, keys, query, cost_table.USUAL_SORT)
