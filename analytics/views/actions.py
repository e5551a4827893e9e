"""Deciding, judging, and what worked: pages of actions that need statistics."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from analytics.forms.actions import JudgingForm, WorkedForm, first_values
from analytics.reports.actions import since, worked_table
from analytics.reports.actions.kept import figures_version
from analytics.reports.actions.worked import worked
from analytics.reports.reviews.way_back import deciding_address
from analytics.scope import today
from analytics.services.actions import (
    action_decide_and_freeze,
    action_judge_and_freeze,
)
from analytics.tables import address_with
from plant.access import may, require
from plant.csv_export import csv_response
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.actions import FIELD_OF_SERVICE, ActionForm
from records.models import Action
from records.selectors.actions import actions_visible
from records.services.actions import DECIDE

question_page = require_http_methods(["GET", "HEAD", "POST"])


def _action(request: UserRequest, pk: int) -> Action:
    rows = actions_visible(request.user).select_related("site", "judged_by")
    return get_object_or_404(rows, pk=pk)


@question_page
def action_new(request: UserRequest) -> HttpResponse:
    require(request.user, DECIDE)
    first = first_values(request.GET, request.user)
    form = ActionForm(request.POST or None, user=request.user, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            action = action_decide_and_freeze(by=request.user, **form.decision())
        except ValidationError as error:
            errors_take(form, error, FIELD_OF_SERVICE)
        else:
            messages.success(request, "Decided. What to expect without it is frozen.")
            return redirect(
                deciding_address(request.user, request.GET, action)
                or action.get_absolute_url()
            )
    back = deciding_address(request.user, request.GET)
    context = {"form": form, "cancel_url": back or reverse("records:action_list")}
    return render(request, "analytics/action_new.html", context)


@require_safe
def action_judgement(request: UserRequest, pk: int) -> HttpResponse:
    action = _action(request, pk)
    is_panel = "HX-Request" in request.headers
    with site_zone(action.site):
        context = since.context(since.judgement_shown(action, today()))
        name = "action_panel" if is_panel else "action_judgement"
        return render(request, f"analytics/{name}.html", context)


@question_page
def action_judging(request: UserRequest, pk: int) -> HttpResponse:
    action = _action(request, pk)
    require(request.user, DECIDE, site=action.site)
    with site_zone(action.site):
        shown = since.judgement_shown(action, today())
        version = figures_version(shown.found)
        form = JudgingForm(request.POST or None, initial={"seen": version})
        if request.method == "POST" and _judge(request, action, form, version):
            return redirect(action)
        context = {**since.context(shown), "form": form}
        return render(request, "analytics/action_judging.html", context)


def _judge(
    request: UserRequest, action: Action, form: JudgingForm, version: str
) -> bool:
    """Store the verdict, or tell the form why not."""
    if not form.is_valid():
        return False
    try:
        action_judge_and_freeze(by=request.user, action=action, **form.cleaned_data)
    except ValidationError as error:
        errors_take(form, error, {})
        form.show_newest(version)
        return False
    messages.success(request, "The verdict is stored, with the figures it rests on.")
    return True


@require_safe
def what_worked(request: UserRequest) -> HttpResponse:
    form = WorkedForm(request.GET or None, user=request.user)
    context: dict[str, Any] = {"form": form}
    if form.is_answerable():
        found = worked(request.user, today(), form.chosen_site())
        context |= worked_table.context(found, may(request.user, "records.see_costs"))
        export = address_with(reverse("analytics:what_worked_export"), request.GET)
        context["export_urls"] = [{"label": "CSV", "url": export}]
    return render(request, "analytics/action_worked.html", context)


@require_safe
def what_worked_export(request: UserRequest) -> HttpResponseBase:
    form = WorkedForm(request.GET or None, user=request.user)
    if not form.is_answerable():
        page = "analytics/action_worked.html"
        return render(request, page, {"form": form}, status=400)
    found = worked(request.user, today(), form.chosen_site())
    rows = [worked_table.export_row(line) for line in found.lines]
    return csv_response("what-worked.csv", worked_table.EXPORT_HEADER, rows)
