"""The Bad actors page and its export."""

from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from analytics.forms.bad_actors import BadActorForm
from analytics.reports.bad_actors import page as bad_actor_page
from analytics.reports.bad_actors import table as bad_actor_table
from analytics.reports.bad_actors.report import UnitKind, bad_actor_report
from analytics.reports.upgrade_follow_up.case_page import new_case_ways
from plant.csv_export import csv_response
from plant.requests import UserRequest


@require_safe
def bad_actors(request: UserRequest) -> HttpResponse:
    form = BadActorForm(request.GET, user=request.user)
    context: dict[str, Any] = {"form": form}
    if form.is_answerable():
        report = bad_actor_report(form.scope(), form.kind())
        context |= bad_actor_page.context(report, form.ranking(), request.GET)
        if form.kind() is UnitKind.POSITION:
            flagged = [unit.key for unit in report.flagged]
            context["actions"] = new_case_ways(request.user, flagged)
    return render(request, "analytics/bad_actors.html", context)


@require_safe
def bad_actors_export(request: UserRequest) -> HttpResponseBase:
    form = BadActorForm(request.GET, user=request.user)
    if not form.is_answerable():
        return render(request, "analytics/bad_actors.html", {"form": form}, status=400)
    report = bad_actor_report(form.scope(), form.kind())
    units = bad_actor_page.units_in_order(report, form.ranking(), request.GET)
    return csv_response(
        "bad-actors.csv",
        bad_actor_table.export_header(report),
        [bad_actor_table.export_row(unit, report) for unit in units],
    )
