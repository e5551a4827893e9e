"""Lost production: the page, its file, and the panel of a repair."""

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from analytics.forms.lost_production import LostProductionForm
from analytics.reports.lost_production import page as loss_page
from analytics.reports.lost_production import table as loss_table
from analytics.reports.lost_production.of_repair import repair_panel
from plant.access import require
from plant.csv_export import csv_response
from plant.requests import UserRequest
from plant.zones import site_zone
from records.views.repair_detail import repair_of


@require_safe
def lost_production(request: UserRequest) -> HttpResponse:
    require(request.user, "records.see_costs")
    form = LostProductionForm(request.GET, user=request.user)
    context = {"form": form}
    if form.is_answerable():
        context |= loss_page.context(form.report(), request.GET, form.shown())
    return render(request, "analytics/lost_production.html", context)


@require_safe
def lost_production_export(request: UserRequest) -> HttpResponseBase:
    require(request.user, "records.see_costs")
    form = LostProductionForm(request.GET, user=request.user)
    if not form.is_answerable():
        context = {"form": form}
        return render(request, "analytics/lost_production.html", context, status=400)
    report = form.report()
    rows = loss_page.rows_shown(report, request.GET, form.shown())
    return csv_response(
        "lost-production.csv",
        loss_table.EXPORT_HEADER,
        loss_table.export_rows(report.losses, rows),
    )


@require_safe
def repair_lost_production(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    require(request.user, "records.see_costs", site=repair.site)
    is_panel = "HX-Request" in request.headers
    name = "lost_production_panel" if is_panel else "lost_production_repair"
    with site_zone(repair.site):
        context = repair_panel(repair, request.user)
        return render(request, f"analytics/{name}.html", context)
