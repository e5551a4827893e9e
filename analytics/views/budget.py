"""The Budget page and its file."""

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from analytics.forms.budget import BudgetForm
from analytics.reports.budget import exports
from analytics.reports.budget import page as budget_page
from analytics.reports.costs.tabs import costs_tabs
from plant.access import require
from plant.csv_export import csv_response
from plant.requests import UserRequest


@require_safe
def budget(request: UserRequest) -> HttpResponse:
    require(request.user, "records.see_costs")
    form = BudgetForm(request.GET, user=request.user)
    context = {"form": form, "tabs": costs_tabs("budget", request.GET)}
    if form.is_answerable():
        context |= budget_page.context(form.report(), request.GET)
    return render(request, "analytics/budget.html", context)


@require_safe
def budget_export(request: UserRequest) -> HttpResponseBase:
    require(request.user, "records.see_costs")
    form = BudgetForm(request.GET, user=request.user)
    if not form.is_answerable():
        context = {"form": form, "tabs": costs_tabs("budget", request.GET)}
        return render(request, "analytics/budget.html", context, status=400)
    rows = exports.export_rows(form.report())
    return csv_response("budget.csv", exports.EXPORT_HEADER, rows)
