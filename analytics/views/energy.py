"""Energy and wear: all positions, one position, and both as files."""

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from analytics.exposure import window_of_months
from analytics.forms.energy import EnergyForm, MotorForm, RenewalForm
from analytics.reports.energy import page as energy_page
from analytics.reports.energy import position_page, rounds_table
from analytics.reports.energy import table as energy_table
from analytics.reports.energy.position import PositionEnergy, position_energy
from analytics.reports.energy.report import energy_report
from analytics.scope import Scope, today
from plant.access import require
from plant.csv_export import csv_response
from plant.models import Position
from plant.requests import UserRequest
from plant.zones import site_zone


@require_safe
def energy(request: UserRequest) -> HttpResponse:
    require(request.user, "records.see_costs")
    form = EnergyForm(request.GET, user=request.user)
    context = {"form": form}
    if form.is_answerable():
        report = energy_report(form.scope(), form.motor_efficiency())
        context |= energy_page.context(report, request.GET)
    return render(request, "analytics/energy.html", context)


@require_safe
def energy_export(request: UserRequest) -> HttpResponseBase:
    require(request.user, "records.see_costs")
    form = EnergyForm(request.GET, user=request.user)
    if not form.is_answerable():
        return render(request, "analytics/energy.html", {"form": form}, status=400)
    report = energy_report(form.scope(), form.motor_efficiency())
    return csv_response(
        "energy-and-wear.csv",
        energy_table.EXPORT_HEADER,
        [
            energy_table.export_row(line, report)
            for line in energy_page.lines_in_order(report, request.GET)
        ],
    )


def _about(request: UserRequest, pk: int) -> tuple[PositionEnergy, MotorForm]:
    """The judgement of a position that the user may see, or 404."""
    require(request.user, "records.see_costs")
    rows = Position.objects.visible_to(request.user).select_related("site", "area")
    position = get_object_or_404(rows, pk=pk)
    motor = MotorForm(request.GET, user=request.user)
    scope = Scope(
        user=request.user,
        window=window_of_months(today(), 12),
        position=position,
        confidence=motor.chosen_confidence(),
    )
    return position_energy(scope, motor.motor_efficiency()), motor


@require_safe
def energy_position(request: UserRequest, pk: int) -> HttpResponse:
    about, motor = _about(request, pk)
    asked = RenewalForm(request.GET, about=about)
    with site_zone(about.line.position.site):
        context = position_page.context(about, motor, asked, request.GET)
        return render(request, "analytics/energy_position.html", context)


@require_safe
def energy_rounds_export(request: UserRequest, pk: int) -> HttpResponseBase:
    about, _motor = _about(request, pk)
    return csv_response(
        f"hydraulic-rounds-{about.line.position.tag}.csv",
        rounds_table.EXPORT_HEADER,
        rounds_table.export_rows(about),
    )
