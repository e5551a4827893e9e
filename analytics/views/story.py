"""The pump's story: of a position, and of one machine wherever it stood."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from analytics.reports.story import page
from analytics.reports.story.report import story
from analytics.reports.story.subject import position_subject, pump_subject
from plant.models import Position, Pump
from plant.requests import UserRequest


@require_safe
def position_story(request: UserRequest, pk: int) -> HttpResponse:
    rows = Position.objects.visible_to(request.user).select_related("area", "site")
    position = get_object_or_404(rows, pk=pk)
    subject = position_subject(
        user=request.user, position=position, as_of=timezone.now()
    )
    return render(request, "analytics/story.html", page.context(story(subject)))


@require_safe
def pump_story(request: UserRequest, pk: int) -> HttpResponse:
    rows = Pump.objects.visible_to(request.user).select_related("site")
    pump = get_object_or_404(rows, pk=pk)
    subject = pump_subject(user=request.user, pump=pump, as_of=timezone.now())
    return render(request, "analytics/story.html", page.context(story(subject)))
