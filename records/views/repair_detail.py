"""The page of one repair."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from plant.requests import UserRequest
from plant.zones import site_zone
from records.models import Repair
from records.stories.repair import repair_story


def repair_of(request: UserRequest, pk: int) -> Repair:
    """A repair at one of the user's sites; elsewhere there is none."""
    rows = Repair.objects.visible_to(request.user).select_related(
        "site", "position__site", "pump__site", "signed_by", "shop_work_of"
    )
    return get_object_or_404(rows, pk=pk)


@require_safe
def repair_detail(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    with site_zone(repair.site):
        story = repair_story(repair, request.user)
        return render(request, "records/repair_detail.html", story)
