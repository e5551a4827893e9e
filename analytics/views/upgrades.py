"""Upgrade cases read: the list, one case with its answer, and both as files."""

from typing import Any

from django.http import HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from analytics.forms.upgrade_lists import CaseFilterForm
from analytics.reports.costs.tabs import costs_tabs
from analytics.reports.upgrade_follow_up import list_table, page
from analytics.reports.upgrade_follow_up.case_history import case_history
from analytics.reports.upgrade_follow_up.case_page import (
    case_entries,
    position_links,
    ways_on,
)
from analytics.reports.upgrade_follow_up.reality import follow_up
from analytics.reports.upgrades.exports import export_header, export_rows
from analytics.reports.upgrades.page import upgrade_answer
from analytics.reports.upgrades.report import upgrade_report
from analytics.scope import today
from analytics.tables import address_with
from plant.access import may, require
from plant.csv_export import csv_response
from plant.listing import header_cells, page_of, rows_sorted
from plant.requests import UserRequest
from plant.zones import site_zone
from records.models import UpgradeCase
from records.selectors.upgrade_cases import (
    upgrade_cases_filtered,
    upgrade_cases_visible,
)
from records.services.upgrade_cases import PLAN

READ = "records.see_costs"


def case_of(request: UserRequest, pk: int) -> UpgradeCase:
    require(request.user, READ)
    return get_object_or_404(upgrade_cases_visible(request.user), pk=pk)


@require_safe
def upgrade_cases(request: UserRequest) -> HttpResponse:
    require(request.user, READ)
    form = CaseFilterForm(request.GET or None, user=request.user)
    return _listed(request, form)


def _listed(
    request: UserRequest, form: CaseFilterForm, status: int = 200
) -> HttpResponse:
    rows = upgrade_cases_filtered(user=request.user, choice=form.choice())
    shown = page_of(rows_sorted(rows, list_table.COLUMNS, request.GET), request.GET)
    context = {
        "form": form,
        "query": request.GET,
        "tabs": costs_tabs("upgrade_cases", request.GET),
        "page": shown,
        "columns": header_cells(list_table.COLUMNS, request.GET),
        "rows": list_table.case_cells(shown.object_list),
        **_ways_on(request),
    }
    return render(request, "analytics/upgrade_list.html", context, status=status)


def _ways_on(request: UserRequest) -> dict[str, Any]:
    export = address_with(reverse("analytics:upgrade_cases_export"), request.GET)
    new: dict[str, Any] = {"url": reverse("analytics:upgrade_case_new")}
    new |= {"label": "New case", "primary": True}
    compare = {"label": "Compare", "url": reverse("analytics:upgrade_comparison")}
    return {
        "reset_url": request.path if request.GET else "",
        "export_urls": [{"label": "CSV", "url": export}],
        "actions": [*([new] if may(request.user, PLAN) else []), compare],
        "new_url": new["url"] if may(request.user, PLAN) else "",
    }


@require_safe
def case_list_export(request: UserRequest) -> HttpResponseBase:
    require(request.user, READ)
    form = CaseFilterForm(request.GET or None, user=request.user)
    if form.is_bound and not form.is_valid():
        return _listed(request, form, status=400)
    rows = upgrade_cases_filtered(user=request.user, choice=form.choice())
    listed = rows_sorted(rows, list_table.COLUMNS, request.GET)
    lines = (list_table.export_row(case) for case in listed.iterator(chunk_size=500))
    return csv_response("upgrade-cases.csv", list_table.EXPORT_HEADER, lines)


@require_safe
def upgrade_case(request: UserRequest, pk: int) -> HttpResponse:
    case = case_of(request, pk)
    with site_zone(case.site):
        report = upgrade_report(case, request.user)
        followed = follow_up(case, today())
        context = {
            "case": case,
            "entries": case_entries(case),
            "positions": position_links(case),
            "history": case_history(case),
            "actions": ways_on(case, may_plan=may(request.user, PLAN)),
            "answer": upgrade_answer(report),
            "follow_up": page.context(followed) if followed else None,
        }
        return render(request, "analytics/upgrade_case.html", context)


@require_safe
def case_export(request: UserRequest, pk: int) -> StreamingHttpResponse:
    case = case_of(request, pk)
    report = upgrade_report(case, request.user)
    name = f"upgrade-case-{case.pk}.csv"
    return csv_response(name, export_header(), export_rows(report))
