"""The Life page, its exports, and the lives of one pump."""

from typing import Any

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from analytics import life_exports
from analytics.forms.life import LifeForm
from analytics.life_page import life_context
from analytics.life_report import LifeReport, life_report
from analytics.pump_lives import pump_lives_table
from analytics.tables import address_with
from plant.csv_export import csv_response
from plant.models import Pump
from plant.requests import UserRequest

EXPORTS = {"life_sample": "Lives, CSV", "life_results": "Results, CSV"}


@require_safe
def life(request: UserRequest) -> HttpResponse:
    form, report = _answer(request)
    context: dict[str, Any] = {"form": form}
    if report is not None:
        context |= life_context(report, request.GET)
        context["choice"] = form.in_words()
        context["export_urls"] = [
            {
                "label": label,
                "url": address_with(reverse(f"analytics:{name}"), request.GET),
            }
            for name, label in EXPORTS.items()
        ]
    return render(request, "analytics/life.html", context)


@require_safe
def life_sample(request: UserRequest) -> HttpResponseBase:
    form, report = _answer(request)
    if report is None:
        return render(request, "analytics/life.html", {"form": form}, status=400)
    rows = life_exports.sample_rows(report)
    return csv_response("lives.csv", life_exports.SAMPLE_HEADER, rows)


@require_safe
def life_results(request: UserRequest) -> HttpResponseBase:
    form, report = _answer(request)
    if report is None:
        return render(request, "analytics/life.html", {"form": form}, status=400)
    rows = life_exports.result_rows(report)
    return csv_response("life-results.csv", life_exports.RESULT_HEADER, rows)


@require_safe
def pump_lives(request: UserRequest, pk: int) -> HttpResponse:
    pump = get_object_or_404(Pump.objects.visible_to(request.user), pk=pk)
    table = pump_lives_table(user=request.user, pump=pump, now=timezone.now())
    is_panel = "HX-Request" in request.headers
    template = "pump_lives_panel" if is_panel else "pump_lives"
    return render(request, f"analytics/{template}.html", {"pump": pump, "lives": table})


def _answer(request: UserRequest) -> tuple[LifeForm, LifeReport | None]:
    form = LifeForm(request.GET or None, user=request.user)
    if form.is_bound and not form.is_valid():
        return form, None
    question = form.question(timezone.now())
    return form, life_report(user=request.user, question=question)
