"""Pages that enter, change, move and retire pumps."""

from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from plant.forms.pump import PumpForm, PumpMoveForm, PumpPlaceForm, PumpRetireForm
from plant.models import Position, Pump, User
from plant.requests import UserRequest
from plant.selectors.pumps import placement_now
from plant.services.placements import pump_place, pump_take_out
from plant.services.pumps import pump_change, pump_register, pump_retire
from plant.views.form_page import FormPage, form_answer
from plant.views.position_forms import engineer_page, form_page, position_of, steps_to
from plant.zones import site_zone

planner_page = permission_required("records.log_repair", raise_exception=True)
MOVE_NAMES = {
    "placed_at": "moved_at",
    "removed_at": "moved_at",
    "position": "destination",
}


def _pump_of(request: UserRequest, pk: int) -> Pump:
    rows = Pump.objects.visible_to(request.user)
    return get_object_or_404(rows.select_related("site"), pk=pk)


def _steps_to(pump: Pump) -> list[dict[str, str]]:
    return [
        {"label": "Pumps by serial number", "url": reverse("plant:pump_list")},
        {"label": pump.serial_number, "url": pump.get_absolute_url()},
    ]


@form_page
@engineer_page
def pump_new(request: UserRequest) -> HttpResponse:
    page = FormPage(
        title="New pump",
        button="Enter the pump",
        cancel_url=reverse("plant:pump_list"),
        done="The pump is in the register; it is in the store until it is placed.",
    )

    def store(form: PumpForm) -> str:
        return pump_register(by=request.user, **form.cleaned_data).get_absolute_url()

    form = PumpForm(request.POST or None, user=request.user)
    return form_answer(request, form, page, store)


@form_page
@engineer_page
def pump_edit(request: UserRequest, pk: int) -> HttpResponse:
    pump = _pump_of(request, pk)
    page = FormPage(
        title=f"Change {pump.serial_number}",
        button="Store the change",
        cancel_url=pump.get_absolute_url(),
        done="The change is stored.",
        steps=_steps_to(pump),
    )

    def store(form: PumpForm) -> str:
        pump_change(by=request.user, pump=pump, **form.cleaned_data)
        return pump.get_absolute_url()

    form = PumpForm(request.POST or None, user=request.user, pump=pump)
    return form_answer(request, form, page, store)


@form_page
@planner_page
def pump_move(request: UserRequest, pk: int) -> HttpResponse:
    pump = _pump_of(request, pk)
    page = FormPage(
        title=f"Move {pump.serial_number}",
        subtitle=f"Times are those of {pump.site}.",
        button="Log the move",
        cancel_url=pump.get_absolute_url(),
        done="The move is logged.",
        steps=_steps_to(pump),
        names=MOVE_NAMES,
    )

    def store(form: PumpMoveForm) -> str:
        _move(request.user, pump, form)
        return pump.get_absolute_url()

    with site_zone(pump.site):
        initial = {"moved_at": timezone.localtime()}
        form = PumpMoveForm(request.POST or None, initial=initial, pump=pump)
        return form_answer(request, form, page, store)


def _move(by: User, pump: Pump, form: PumpMoveForm) -> None:
    position, moved_at = form.position(), form.cleaned_data["moved_at"]
    if position is not None:
        pump_place(by=by, pump=pump, position=position, placed_at=moved_at)
        return
    placement = placement_now(pump)
    if placement is None:
        raise ValidationError({"destination": "It is in the store already."})
    pump_take_out(by=by, placement=placement, removed_at=moved_at)


def _place_page(position: Position) -> FormPage:
    return FormPage(
        title=f"Place a pump at {position.tag}",
        subtitle="A pump that stands there goes to the store at the same moment. "
        f"Times are those of {position.site}.",
        button="Log the move",
        cancel_url=position.get_absolute_url(),
        done="The move is logged.",
        steps=steps_to(position),
        names={"placed_at": "moved_at", "removed_at": "moved_at"},
    )


@form_page
@planner_page
def position_place(request: UserRequest, pk: int) -> HttpResponse:
    position = position_of(request, pk)
    page = _place_page(position)

    def store(form: PumpPlaceForm) -> str:
        pump, placed_at = form.cleaned_data["pump"], form.cleaned_data["moved_at"]
        pump_place(by=request.user, pump=pump, position=position, placed_at=placed_at)
        return position.get_absolute_url()

    with site_zone(position.site):
        initial = {"moved_at": timezone.localtime()}
        form = PumpPlaceForm(request.POST or None, initial=initial, position=position)
        return form_answer(request, form, page, store)


@form_page
@engineer_page
def pump_retirement(request: UserRequest, pk: int) -> HttpResponse:
    pump = _pump_of(request, pk)
    page = FormPage(
        title=f"Retire {pump.serial_number}",
        subtitle="Its history stays. Seal and bearings still in it end with it, as "
        "sound, on the day it left its last position.",
        button="Retire the pump",
        cancel_url=pump.get_absolute_url(),
        done="The pump is retired.",
        steps=_steps_to(pump),
    )

    def store(form: PumpRetireForm) -> str:
        pump_retire(by=request.user, pump=pump, **form.cleaned_data)
        return pump.get_absolute_url()

    initial = {"retired_on": pump.retired_on}
    form = PumpRetireForm(request.POST or None, initial=initial)
    return form_answer(request, form, page, store)
