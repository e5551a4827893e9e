"""Pages that enter and change positions and the duty that holds at them."""

from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.dateparse import parse_date
from django.views.decorators.http import require_http_methods

from plant.forms.position import DutyPeriodForm, OutOfServiceForm, PositionForm
from plant.models import DutyPeriod, Position
from plant.requests import UserRequest
from plant.services.positions import (
    duty_period_set,
    position_change,
    position_register,
    position_take_out,
)
from plant.views.form_page import FormPage, form_answer

form_page = require_http_methods(["GET", "HEAD", "POST"])
engineer_page = permission_required("plant.change_register", raise_exception=True)


def position_of(request: UserRequest, pk: int) -> Position:
    rows = Position.objects.visible_to(request.user)
    return get_object_or_404(rows.select_related("site", "spare_group"), pk=pk)


def steps_to(position: Position) -> list[dict[str, str]]:
    return [
        {"label": "Pumps", "url": reverse("plant:position_list")},
        {"label": position.tag, "url": position.get_absolute_url()},
    ]


@form_page
@engineer_page
def position_new(request: UserRequest) -> HttpResponse:
    page = FormPage(
        title="New position",
        button="Enter the position",
        cancel_url=reverse("plant:position_list"),
        done="The position is in the register.",
    )

    def store(form: PositionForm) -> str:
        position = position_register(by=request.user, **form.cleaned_data)
        return position.get_absolute_url()

    form = PositionForm(request.POST or None, user=request.user)
    return form_answer(request, form, page, store)


@form_page
@engineer_page
def position_edit(request: UserRequest, pk: int) -> HttpResponse:
    position = position_of(request, pk)
    page = FormPage(
        title=f"Change {position.tag}",
        button="Store the change",
        cancel_url=position.get_absolute_url(),
        done="The change is stored.",
        steps=steps_to(position),
    )

    def store(form: PositionForm) -> str:
        position_change(by=request.user, position=position, **form.cleaned_data)
        return position.get_absolute_url()

    form = PositionForm(request.POST or None, user=request.user, position=position)
    return form_answer(request, form, page, store)


@form_page
@engineer_page
def position_out_of_service(request: UserRequest, pk: int) -> HttpResponse:
    position = position_of(request, pk)
    page = FormPage(
        title=f"Take {position.tag} out of service",
        subtitle="Its history stays; from that day on it adds no time in service.",
        button="Store the day",
        cancel_url=position.get_absolute_url(),
        done="The position is marked as out of service.",
        steps=steps_to(position),
    )

    def store(form: OutOfServiceForm) -> str:
        position_take_out(by=request.user, position=position, **form.cleaned_data)
        return position.get_absolute_url()

    initial = {"out_of_service_on": position.out_of_service_on}
    form = OutOfServiceForm(request.POST or None, initial=initial)
    return form_answer(request, form, page, store)


@form_page
@engineer_page
def duty_period(request: UserRequest, pk: int) -> HttpResponse:
    position = position_of(request, pk)
    page = FormPage(
        title=f"Duty of {position.tag}",
        subtitle="What holds from a day on. Seals and bearings fitted before keep the "
        "plan they were fitted under.",
        button="Store the duty",
        cancel_url=position.get_absolute_url(),
        done="The duty is stored.",
        steps=steps_to(position),
        names={"running_share": "running_percent"},
    )

    def store(form: DutyPeriodForm) -> str:
        duty_period_set(by=request.user, position=position, **form.details())
        return position.get_absolute_url()

    form = DutyPeriodForm(request.POST or None, period=_period(request, position))
    return form_answer(request, form, page, store)


def _period(request: UserRequest, position: Position) -> DutyPeriod | None:
    """The entry that `?from=` names, to start from what it holds."""
    try:
        starts_on = parse_date(request.GET.get("from", ""))
    except ValueError:
        return None
    if starts_on is None:
        return None
    return DutyPeriod.objects.filter(position=position, starts_on=starts_on).first()
