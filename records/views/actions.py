"""Actions: the list, one action, the day it was done, why it was dropped."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from plant.access import may, require
from plant.csv_export import csv_response
from plant.forms.service_errors import errors_take
from plant.listing import header_cells, page_of, rows_sorted
from plant.requests import UserRequest
from plant.zones import site_zone
from records.action_choices import ActionState
from records.forms.actions import ActionFilterForm, ChangeForm, DoneForm, DropForm
from records.models import Action
from records.selectors.actions import actions_filtered, actions_visible
from records.services.actions import (
    DECIDE,
    action_change,
    action_done,
    action_drop,
    may_mark_done,
)
from records.stories import actions as stories
from records.tables import actions as tables

CHUNK = 500
question_page = require_http_methods(["GET", "HEAD", "POST"])


def action_of(request: UserRequest, pk: int) -> Action:
    rows = actions_visible(request.user).select_related(
        *("site", "owner", "pump", "finding", "decided_by", "judged_by")
    )
    return get_object_or_404(rows, pk=pk)


@require_safe
def action_list(request: UserRequest) -> HttpResponse:
    form = ActionFilterForm(request.GET or None, user=request.user)
    today = timezone.localdate()
    rows = actions_filtered(user=request.user, choice=form.choice(), today=today)
    see_costs = may(request.user, "records.see_costs")
    columns = tables.columns_for(see_costs)
    page = page_of(rows_sorted(rows, columns, request.GET), request.GET)
    context = {
        "form": form,
        "query": request.GET,
        "page": page,
        "columns": header_cells(columns, request.GET),
        "rows": tables.action_cells(page.object_list, today, see_costs),
        **_ways_on(request),
    }
    return render(request, "records/action_list.html", context)


def _ways_on(request: UserRequest) -> dict[str, Any]:
    export = f"{reverse('records:action_export')}?{request.GET.urlencode()}"
    new = {"label": "Decide an action", "url": reverse("analytics:action_new")}
    worked = {"label": "What worked", "url": reverse("analytics:what_worked")}
    decides = [{**new, "primary": True}] if may(request.user, DECIDE) else []
    return {
        "reset_url": request.path if request.GET else "",
        "export_urls": [{"label": "CSV", "url": export}],
        "actions": [*decides, worked],
    }


@require_safe
def action_export(request: UserRequest) -> StreamingHttpResponse:
    form = ActionFilterForm(request.GET or None, user=request.user)
    today = timezone.localdate()
    rows = actions_filtered(user=request.user, choice=form.choice(), today=today)
    see_costs = may(request.user, "records.see_costs")
    listed = rows_sorted(rows, tables.columns_for(see_costs), request.GET)
    lines = (
        tables.export_row(row, today, see_costs)
        for row in listed.iterator(chunk_size=CHUNK)
    )
    return csv_response("actions.csv", tables.export_header(see_costs), lines)


@require_safe
def action_detail(request: UserRequest, pk: int) -> HttpResponse:
    action = action_of(request, pk)
    see_costs = may(request.user, "records.see_costs")
    with site_zone(action.site):
        today = timezone.localdate()
        context = {
            "action": action,
            "notices": stories.notices(action, today),
            "course": stories.course_entries(action, today),
            "decision": stories.decision_entries(action, see_costs),
            "positions": stories.position_links(action),
            "history": stories.action_history(action),
            "actions": _what_next(request, action),
        }
        return render(request, "records/action_detail.html", context)


def _what_next(request: UserRequest, action: Action) -> list[dict[str, Any]]:
    """What this person may do with it now, by the pages that ask for it."""
    decides, marks = may(request.user, DECIDE), may_mark_done(request.user, action)
    is_open, is_done = (action.state == s for s in (ActionState.OPEN, ActionState.DONE))
    ways = [
        ("Mark it done", "records:action_marking_done", marks),
        ("Give the verdict", "analytics:action_judging", decides and is_done),
        ("Change", "records:action_changing", decides and is_open),
        ("Drop it", "records:action_dropping", decides and is_open),
    ]
    return [
        {"label": label, "url": reverse(name, args=[action.pk]), "primary": place < 2}
        for place, (label, name, may_do) in enumerate(ways)
        if may_do
    ]


@question_page
def action_marking_done(request: UserRequest, pk: int) -> HttpResponse:
    action = action_of(request, pk)
    if action.owner_id != request.user.pk and not may(request.user, DECIDE):
        raise PermissionDenied("Only its owner or an engineer marks it done.")

    def store(form: forms.Form) -> None:
        action_done(by=request.user, action=action, **form.cleaned_data)

    words = {
        "title": "Mark it done",
        "question": "The log begins to compare from the day after. It says nothing "
        "about whether a pump may be started.",
        "button": "It is done",
        "done": "It is marked done.",
    }
    return _question(request, action, DoneForm(request.POST or None), store, words)


@question_page
def action_changing(request: UserRequest, pk: int) -> HttpResponse:
    action = action_of(request, pk)
    require(request.user, DECIDE, site=action.site)

    def store(form: forms.Form) -> None:
        action_change(by=request.user, action=action, **form.cleaned_data)

    words = {
        "title": "Change the action",
        "question": "What was decided and what is expected without it stay as they "
        "are. The change is kept in the history.",
        "button": "Store the change",
        "done": "It is changed.",
    }
    form = ChangeForm(request.POST or None, action=action)
    return _question(request, action, form, store, words)


@question_page
def action_dropping(request: UserRequest, pk: int) -> HttpResponse:
    action = action_of(request, pk)
    require(request.user, DECIDE, site=action.site)

    def store(form: forms.Form) -> None:
        action_drop(by=request.user, action=action, **form.cleaned_data)

    words = {
        "title": "Drop it",
        "question": "It stays on record with the reason.",
        "button": "Drop it",
        "done": "It is dropped.",
    }
    return _question(request, action, DropForm(request.POST or None), store, words)


def _question(
    request: UserRequest,
    action: Action,
    form: forms.Form,
    store: Callable[[forms.Form], None],
    words: dict[str, str],
) -> HttpResponse:
    with site_zone(action.site):
        if request.method == "POST" and form.is_valid():
            try:
                store(form)
            except ValidationError as error:
                errors_take(form, error, {})
            else:
                messages.success(request, words["done"])
                return redirect(action)
        context = {"action": action, "form": form, "words": words}
        return render(request, "records/action_question.html", context)
