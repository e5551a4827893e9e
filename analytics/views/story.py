"""The pump's story: of a position, and of one machine wherever it stood."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from analytics.reports.story import page
from analytics.reports.story.report import story
from analytics.reports.story.subject import position_subject, pump_subject
from analytics.reports.upgrade_follow_up.case_page import new_case_ways
from analytics.samples import end_of_day
from analytics.scope import today
from plant.models import Position, Pump
from plant.requests import UserRequest


@require_safe
def position_story(request: UserRequest, pk: int) -> HttpResponse:
    rows = Position.objects.visible_to(request.user).select_related("area", "site")
    position = get_object_or_404(rows, pk=pk)
    as_of = end_of_day(today())
    subject = position_subject(user=request.user, position=position, as_of=as_of)
    context = page.context(story(subject))
    context["actions"] = new_case_ways(request.user, [position.pk])
    return render(request, "analytics/story.html", context)


@require_safe
def pump_story(request: UserRequest, pk: int) -> HttpResponse:
    rows = Pump.objects.visible_to(request.user).select_related("site")
    pump = get_object_or_404(rows, pk=pk)
    subject = pump_subject(user=request.user, pump=pump, as_of=end_of_day(today()))
    return render(request, "analytics/story.html", page.context(story(subject)))
