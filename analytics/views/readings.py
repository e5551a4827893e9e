"""Readings of one position over time: a page, and the panel that other pages show."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from analytics.reports.readings import page as readings_page
from analytics.reports.readings.report import reading_report
from plant.models import Position
from plant.requests import UserRequest
from plant.zones import site_zone


@require_safe
def position_readings(request: UserRequest, pk: int) -> HttpResponse:
    rows = Position.objects.visible_to(request.user).select_related("site")
    position = get_object_or_404(rows, pk=pk)
    is_panel = "HX-Request" in request.headers
    with site_zone(position.site):
        report = reading_report(position, request.GET.get("quantity", ""))
        return render(
            request,
            f"analytics/{'readings_panel' if is_panel else 'readings_position'}.html",
            readings_page.context(report),
        )
