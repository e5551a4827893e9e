"""Cases side by side, as a page and as a file."""

from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from analytics.forms.upgrade_lists import CompareForm
from analytics.reports.costs.tabs import costs_tabs
from analytics.reports.upgrade_follow_up import compare_page
from analytics.reports.upgrade_follow_up.compare import Comparison, comparison
from analytics.tables import address_with
from analytics.views.upgrades import READ
from plant.access import require
from plant.csv_export import csv_response
from plant.requests import UserRequest
from records.selectors.upgrade_cases import cases_chosen


def _compared(request: UserRequest, form: CompareForm) -> Comparison:
    chosen = cases_chosen(user=request.user, keys=form.cleaned_data["case"])
    return comparison(chosen, form.cleaned_data["months"], request.user)


@require_safe
def upgrade_comparison(request: UserRequest) -> HttpResponse:
    require(request.user, READ)
    form = CompareForm(request.GET, user=request.user)
    context: dict[str, Any] = {
        "form": form,
        "tabs": costs_tabs("upgrade_cases", request.GET),
    }
    if form.is_bound and form.is_valid():
        export = reverse("analytics:upgrade_comparison_export")
        context |= compare_page.context(_compared(request, form))
        context["actions"] = [
            {"label": "CSV", "url": address_with(export, request.GET)}
        ]
    return render(request, "analytics/upgrade_compare.html", context)


@require_safe
def comparison_export(request: UserRequest) -> HttpResponseBase:
    require(request.user, READ)
    form = CompareForm(request.GET, user=request.user)
    if not (form.is_bound and form.is_valid()):
        context = {"form": form, "tabs": costs_tabs("upgrade_cases", request.GET)}
        return render(request, "analytics/upgrade_compare.html", context, status=400)
    rows = compare_page.export_rows(_compared(request, form))
    header = compare_page.EXPORT_HEADER
    return csv_response("upgrade-cases-compared.csv", header, rows)
