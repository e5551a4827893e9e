"""Repairs of one position or pump, as a part of its page or a page of its own."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from plant.models import Position, Pump
from plant.requests import UserRequest
from plant.zones import site_zone
from records.models import Repair
from records.models.repair import RepairQuerySet
from records.selectors.repairs import with_earlier_repair
from records.tables.repairs import COLUMNS, repair_cells

SHOWN = 10
HEADS = [{"label": c.label, "numeric": c.numeric} for c in COLUMNS]


@require_safe
def position_repairs(request: UserRequest, pk: int) -> HttpResponse:
    rows = Position.objects.visible_to(request.user).select_related("site")
    position = get_object_or_404(rows, pk=pk)
    context = {"hours_url": reverse("records:hours", args=[position.pk])}
    repairs = Repair.objects.filter(position=position)
    return _panel(request, position, position.tag, repairs, context)


@require_safe
def pump_repairs(request: UserRequest, pk: int) -> HttpResponse:
    rows = Pump.objects.visible_to(request.user).select_related("site")
    pump = get_object_or_404(rows, pk=pk)
    repairs = Repair.objects.filter(pump=pump)
    return _panel(request, pump, pump.serial_number, repairs, {})


def _panel(
    request: UserRequest,
    of: Position | Pump,
    name: str,
    repairs: RepairQuerySet,
    context: dict[str, Any],
) -> HttpResponse:
    rows = repairs.not_void().select_related("site", "position", "pump")
    newest = with_earlier_repair(rows).order_by("-reported_at", "-pk")[:SHOWN]
    every = f"{reverse('records:repair_list')}?{urlencode({'text': name})}"
    alone = "panel" if request.htmx else "page"  # type: ignore[attr-defined]
    with site_zone(of.site):
        cells = repair_cells(newest, see_costs=False)
        context |= {"of": of, "columns": HEADS, "rows": cells, "shown": SHOWN}
        context |= {"count": rows.count(), "list_url": every}
        return render(request, f"records/repair_{alone}.html", context)
