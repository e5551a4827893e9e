"""The Costs page and its tables as files."""

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from analytics.forms.costs import CostForm
from analytics.reports.costs import page as cost_page
from analytics.reports.costs import table as cost_table
from analytics.reports.costs.tabs import costs_tabs
from plant.access import require
from plant.csv_export import csv_response
from plant.requests import UserRequest


@require_safe
def costs(request: UserRequest) -> HttpResponse:
    require(request.user, "records.see_costs")
    form = CostForm(request.GET, user=request.user)
    context = {"form": form, "tabs": costs_tabs("costs", request.GET)}
    if form.is_answerable():
        context |= cost_page.context(form.report(), request.GET)
    return render(request, "analytics/costs.html", context)


@require_safe
def costs_export(request: UserRequest) -> HttpResponseBase:
    require(request.user, "records.see_costs")
    form = CostForm(request.GET, user=request.user)
    if not form.is_answerable():
        return render(request, "analytics/costs.html", {"form": form}, status=400)
    report = form.report()
    rows = [*cost_page.rows_in_order(report, request.GET), report.total]
    return csv_response(
        f"costs{report.file_suffix}.csv",
        cost_table.export_header(report),
        [cost_table.export_row(row, report) for row in rows],
    )
