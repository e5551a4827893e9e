"""The Life page, its exports, and the lives of one pump."""

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from analytics.forms.life import LifeForm
from analytics.forms.life_views import AgeForm
from analytics.reports.life import exports as life_exports
from analytics.reports.life.page import life_context
from analytics.reports.life.pump_lives import pump_lives_table
from analytics.reports.life.report import LifeReport, life_report
from analytics.reports.life.tabs import question_context
from analytics.samples import end_of_day
from analytics.scope import today
from analytics.tables import address_with
from plant.csv_export import csv_response
from plant.models import Pump
from plant.requests import UserRequest

EXPORTS = {"life_sample": "Lives, CSV", "life_results": "Results, CSV"}


@require_safe
def life(request: UserRequest) -> HttpResponse:
    return _page(request, *_answer(request))


@require_safe
def life_sample(request: UserRequest) -> HttpResponseBase:
    form, own, report = _answer(request)
    if report is None:
        return _page(request, form, own, report, status=400)
    rows = life_exports.sample_rows(report)
    return csv_response("lives.csv", life_exports.SAMPLE_HEADER, rows)


@require_safe
def life_results(request: UserRequest) -> HttpResponseBase:
    form, own, report = _answer(request)
    if report is None:
        return _page(request, form, own, report, status=400)
    rows = life_exports.result_rows(report)
    return csv_response("life-results.csv", life_exports.RESULT_HEADER, rows)


@require_safe
def pump_lives(request: UserRequest, pk: int) -> HttpResponse:
    pump = get_object_or_404(Pump.objects.visible_to(request.user), pk=pk)
    table = pump_lives_table(user=request.user, pump=pump, now=end_of_day(today()))
    is_panel = "HX-Request" in request.headers
    template = "pump_lives_panel" if is_panel else "pump_lives"
    return render(request, f"analytics/{template}.html", {"pump": pump, "lives": table})


def _answer(request: UserRequest) -> tuple[LifeForm, AgeForm, LifeReport | None]:
    form = LifeForm(request.GET or None, user=request.user)
    own = AgeForm(request.GET)
    if not own.is_valid() or (form.is_bound and not form.is_valid()):
        return form, own, None
    question = form.question()
    age = own.cleaned_data["age"]
    return form, own, life_report(user=request.user, question=question, age=age)


def _page(
    request: UserRequest,
    form: LifeForm,
    own: AgeForm,
    report: LifeReport | None,
    status: int = 200,
) -> HttpResponse:
    question = report.question if report else None
    context = question_context("life", request.GET, form, own, question)
    if report is not None:
        context |= life_context(report, request.GET)
        context["choice"] = form.in_words()
        context["forecast_url"] = _address("life_forecast", request)
        context["export_urls"] = [
            {"label": label, "url": _address(name, request)}
            for name, label in EXPORTS.items()
        ]
    return render(request, "analytics/life.html", context, status=status)


def _address(name: str, request: UserRequest) -> str:
    return address_with(reverse(f"analytics:{name}"), request.GET)
