"""What the Costs page is given to show."""

from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics.reports.costs import table as cost_table
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.report import CostReport, CostRow
from analytics.reports.costs.work import Work
from analytics.tables import address_with, in_order, with_usual_sort
from plant.listing import PAGE_SIZE, header_cells

EXPORTS = {
    "Workbook": "analytics:costs_workbook",
    "CSV": "analytics:costs_export",
    "CSV of all cost lines": "analytics:cost_lines_export",
}


def context(report: CostReport, query: QueryDict) -> dict[str, Any]:
    rows = rows_in_order(report, query)
    page = Paginator(rows, PAGE_SIZE).get_page(query.get("page"))
    shown = with_usual_sort(query, cost_table.USUAL_SORT)
    return {
        "report": report,
        "tiles": cost_table.tiles(report),
        "page": page,
        "columns": header_cells(cost_table.columns(report), shown),
        "rows": [cost_table.cells(row, report) for row in page.object_list],
        "totals": cost_table.cells(report.total, report),
        "repairs_url": repairs_address(report),
        "export_urls": [
            {"label": label, "url": address_with(reverse(name), query)}
            for label, name in EXPORTS.items()
        ],
    }


def rows_in_order(report: CostReport, query: QueryDict) -> list[CostRow]:
    keys = cost_table.sort_keys(report)
    return in_order(report.rows, keys, query, cost_table.USUAL_SORT)


def repairs_address(report: CostReport) -> str:
    """The repairs page with the same rows, where its filter can name them."""
    if report.basis is Basis.BOOKING or report.work is Work.OTHER:
        return ""
    scope = report.scope
    asked: dict[str, Any] = {
        "reported_from": scope.window.start,
        "reported_to": scope.window.end,
    }
    if report.work is Work.FAILURES:
        asked["counted_as"] = "failure"
    if scope.site is not None:
        asked["site"] = scope.site.pk
    if scope.area is not None:
        asked["area"] = scope.area.pk
    return f"{reverse('records:repair_list')}?{urlencode(asked)}"
