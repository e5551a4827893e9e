"""Which position and pump a new repair is about, from the address."""

from dataclasses import dataclass

from django.http import Http404
from django.shortcuts import get_object_or_404

from plant.models import Position, Pump
from plant.requests import UserRequest
from plant.selectors.pumps import pump_now_at
from records.selectors.repairs import last_position_of


@dataclass(frozen=True, slots=True)
class Place:
    position: Position
    pump: Pump | None


def place_asked(request: UserRequest) -> Place | None:
    """What `?position=` and `?pump=` name; None without either.

    A position alone means the pump that stands there now; a pump alone the position
    where it stands or stood last.
    """
    position_pk, pump_pk = (_number(request, name) for name in ("position", "pump"))
    pump = position = None
    if pump_pk is not None:
        pumps = Pump.objects.visible_to(request.user).select_related("site")
        pump = get_object_or_404(pumps, pk=pump_pk)
        position = last_position_of(pump)
    if position_pk is not None:
        positions = Position.objects.visible_to(request.user).select_related("site")
        position = get_object_or_404(positions, pk=position_pk)
        pump = pump or pump_now_at(position.pk)
    if position is None:
        return None
    return Place(position, pump)


def _number(request: UserRequest, name: str) -> int | None:
    value = request.GET.get(name, "")
    if not value:
        return None
    if not (value.isascii() and value.isdigit() and len(value) < 19):
        raise Http404(f"{name} is a number.")
    return int(value)
