"""The pages of one position and of one pump."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from plant.models import Position, Pump
from plant.requests import UserRequest
from plant.stories.position import position_story
from plant.stories.pump import pump_story
from plant.zones import site_zone


@require_safe
def position_detail(request: UserRequest, pk: int) -> HttpResponse:
    rows = Position.objects.visible_to(request.user)
    position = get_object_or_404(
        rows.select_related("site", "area", "spare_group"), pk=pk
    )
    may_change = request.user.has_perm("plant.change_register")
    with site_zone(position.site):
        story = position_story(position, timezone.now(), may_change=may_change)
        return render(request, "plant/position_detail.html", story)


@require_safe
def pump_detail(request: UserRequest, pk: int) -> HttpResponse:
    rows = Pump.objects.visible_to(request.user)
    pump = get_object_or_404(rows.select_related("site"), pk=pk)
    may_change = request.user.has_perm("plant.change_register")
    with site_zone(pump.site):
        story = pump_story(pump, timezone.now(), may_change=may_change)
        return render(request, "plant/pump_detail.html", story)
