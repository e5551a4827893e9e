"""The Trend page, its exports, and the panel on a position's page."""

from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from analytics.exposure import Window
from analytics.forms.period import EARLIEST
from analytics.forms.trend import TrendForm
from analytics.reports.trend import page as trend_page
from analytics.reports.trend import tables as trend_tables
from analytics.reports.trend.question import TrendQuestion, TrendScope
from analytics.reports.trend.report import TrendReport, trend_report
from analytics.scope import today
from plant.csv_export import csv_response
from plant.models import Position
from plant.requests import UserRequest


@require_safe
def trend(request: UserRequest) -> HttpResponse:
    form, report = _answer(request)
    context: dict[str, Any] = {"form": form}
    if report is not None:
        context |= trend_page.context(report, request.GET)
    return render(request, "analytics/trend.html", context)


@require_safe
def trend_export(request: UserRequest) -> HttpResponseBase:
    form, report = _answer(request)
    if report is None:
        return render(request, "analytics/trend.html", {"form": form}, status=400)
    rows = trend_tables.curve_rows(report)
    return csv_response("trend.csv", trend_tables.CURVE_HEADER, rows)


@require_safe
def trend_results(request: UserRequest) -> HttpResponseBase:
    form, report = _answer(request)
    if report is None:
        return render(request, "analytics/trend.html", {"form": form}, status=400)
    rows = trend_tables.result_rows(report)
    return csv_response("trend-results.csv", trend_tables.RESULT_HEADER, rows)


@require_safe
def position_trend(request: UserRequest, pk: int) -> HttpResponse:
    position = get_object_or_404(Position.objects.visible_to(request.user), pk=pk)
    scope = TrendScope(request.user, Window(EARLIEST, today()), position=position)
    report = trend_report(TrendQuestion(scope))
    shown = {"position": position, **trend_page.position_context(report)}
    if "HX-Request" not in request.headers:
        return render(request, "analytics/trend_position.html", shown)
    if "curve" in request.GET:
        return render(request, "analytics/trend_curve.html", shown)
    shown["curve_url"] = f"{request.path}?curve=yes"
    return render(request, "analytics/trend_panel.html", shown)


def _answer(request: UserRequest) -> tuple[TrendForm, TrendReport | None]:
    form = TrendForm(request.GET, user=request.user)
    if not form.is_answerable():
        return form, None
    return form, trend_report(form.question())
