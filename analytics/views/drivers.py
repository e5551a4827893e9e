"""The page on what drives life, and its export."""

from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from analytics.forms.drivers import DriversForm
from analytics.reports.drivers import page as drivers_page
from analytics.reports.drivers.report import DriversReport, drivers_report
from plant.csv_export import csv_response
from plant.requests import UserRequest


@require_safe
def life_drivers(request: UserRequest) -> HttpResponse:
    form, report = _answer(request)
    context: dict[str, Any] = {"form": form}
    if report is not None:
        form.show_taken(report.taken)
        context |= drivers_page.context(report, request.GET)
    return render(request, "analytics/drivers.html", context)


@require_safe
def life_drivers_export(request: UserRequest) -> HttpResponseBase:
    form, report = _answer(request)
    if report is None:
        return render(request, "analytics/drivers.html", {"form": form}, status=400)
    rows = drivers_page.export_rows(report)
    return csv_response("life-drivers.csv", drivers_page.HEADER, rows)


def _answer(request: UserRequest) -> tuple[DriversForm, DriversReport | None]:
    form = DriversForm(request.GET, user=request.user)
    if not form.is_answerable():
        return form, None
    return form, drivers_report(user=request.user, question=form.question())
