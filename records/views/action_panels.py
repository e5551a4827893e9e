"""Actions of one position, as a part of its page or a page of its own."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from plant.access import may
from plant.models import Position
from plant.requests import UserRequest
from plant.zones import site_zone
from records.selectors.actions import actions_about
from records.services.actions import DECIDE
from records.tables.actions import PANEL_COLUMNS, panel_cells

SHOWN = 10


@require_safe
def position_actions(request: UserRequest, pk: int) -> HttpResponse:
    visible = Position.objects.visible_to(request.user).select_related("site")
    position = get_object_or_404(visible, pk=pk)
    rows = actions_about(user=request.user, position=position)
    new = f"{reverse('analytics:action_new')}?position={position.pk}"
    every = f"{reverse('records:action_list')}?{urlencode({'text': position.tag})}"
    alone = "panel" if request.htmx else "page"  # type: ignore[attr-defined]
    with site_zone(position.site):
        context = {
            "of": position,
            "columns": PANEL_COLUMNS,
            "rows": panel_cells(rows[:SHOWN], timezone.localdate()),
            "list_url": every if rows.count() > SHOWN else "",
            "new_url": new if may(request.user, DECIDE) else "",
        }
        return render(request, f"records/action_{alone}.html", context)
