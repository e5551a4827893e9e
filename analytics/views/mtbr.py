"""The MTBR page, its export, and the panel on a position's page."""

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from analytics.exposure import window_of_months
from analytics.forms.mtbr import MtbrForm
from analytics.reports.mtbr import page as mtbr_page
from analytics.reports.mtbr import table as mtbr_table
from analytics.reports.mtbr.report import mtbr_report, position_report
from analytics.scope import Scope, today
from plant.csv_export import csv_response
from plant.models import Position
from plant.requests import UserRequest


@require_safe
def mtbr(request: UserRequest) -> HttpResponse:
    form = MtbrForm(request.GET, user=request.user)
    context = {"form": form}
    if form.is_answerable():
        report = mtbr_report(form.scope(), form.grouping())
        context |= mtbr_page.figures(report) | mtbr_page.table(report, request.GET)
    return render(request, "analytics/mtbr.html", context)


@require_safe
def mtbr_export(request: UserRequest) -> HttpResponseBase:
    form = MtbrForm(request.GET, user=request.user)
    if not form.is_answerable():
        return render(request, "analytics/mtbr.html", {"form": form}, status=400)
    report = mtbr_report(form.scope(), form.grouping())
    lines = [*mtbr_page.lines_in_order(report, request.GET), report.total]
    return csv_response(
        "mtbr.csv",
        mtbr_table.export_header(report),
        [mtbr_table.export_row(line, report) for line in lines],
    )


@require_safe
def position_mtbr(request: UserRequest, pk: int) -> HttpResponse:
    position = get_object_or_404(Position.objects.visible_to(request.user), pk=pk)
    scope = Scope(request.user, window_of_months(today(), 12))
    report = position_report(scope, position)
    is_panel = "HX-Request" in request.headers
    return render(
        request,
        f"analytics/{'mtbr_panel' if is_panel else 'mtbr_position'}.html",
        {"position": position, **mtbr_page.panel(report)},
    )
