"""Pages that keep what a pump did as new: its acceptance points."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse

from plant.forms.acceptance_points import AcceptancePointForm
from plant.models import AcceptancePoint, Pump
from plant.requests import UserRequest
from plant.services.acceptance_points import (
    acceptance_point_add,
    acceptance_point_change,
    acceptance_point_remove,
)
from plant.tables.acceptance_points import point_in_words
from plant.views.form_page import FormPage, form_answer
from plant.views.position_forms import engineer_page, form_page


def _point_of(request: UserRequest, pk: int) -> AcceptancePoint:
    rows = AcceptancePoint.objects.filter(
        pump__in=Pump.objects.visible_to(request.user)
    )
    return get_object_or_404(rows.select_related("pump__site"), pk=pk)


def _page(pump: Pump, title: str, done: str) -> FormPage:
    return FormPage(
        title=title,
        subtitle="Flow, head and power measured together. Wear is judged against "
        "these points, between the lowest and the highest flow.",
        button="Store the point",
        cancel_url=pump.get_absolute_url(),
        done=done,
        steps=_steps(pump),
    )


def _steps(pump: Pump) -> list[dict[str, str]]:
    return [
        {"label": "Pumps by serial number", "url": reverse("plant:pump_list")},
        {"label": pump.serial_number, "url": pump.get_absolute_url()},
    ]


@form_page
@engineer_page
def acceptance_point_new(request: UserRequest, pk: int) -> HttpResponse:
    rows = Pump.objects.visible_to(request.user).select_related("site")
    pump = get_object_or_404(rows, pk=pk)
    page = _page(
        pump, f"New acceptance point of {pump.serial_number}", "The point is stored."
    )

    def store(form: AcceptancePointForm) -> str:
        acceptance_point_add(by=request.user, pump=pump, **form.cleaned_data)
        return pump.get_absolute_url()

    return form_answer(request, AcceptancePointForm(request.POST or None), page, store)


@form_page
@engineer_page
def acceptance_point_edit(request: UserRequest, pk: int) -> HttpResponse:
    point = _point_of(request, pk)
    pump = point.pump
    page = _page(
        pump, f"Change an acceptance point of {pump.serial_number}", "It is changed."
    )

    def store(form: AcceptancePointForm) -> str:
        acceptance_point_change(by=request.user, point=point, **form.cleaned_data)
        return pump.get_absolute_url()

    form = AcceptancePointForm(request.POST or None, point=point)
    return form_answer(request, form, page, store)


@form_page
@engineer_page
def acceptance_point_removal(request: UserRequest, pk: int) -> HttpResponse:
    point = _point_of(request, pk)
    pump = point.pump
    if request.method == "POST":
        acceptance_point_remove(by=request.user, point=point)
        messages.success(request, "The point is removed.")
        return redirect(pump.get_absolute_url())
    context = {
        "pump": pump,
        "steps": _steps(pump),
        "question": point_in_words(point),
    }
    return render(request, "plant/acceptance_point_remove.html", context)
