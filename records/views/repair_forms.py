"""The pages on which a repair is typed: a new one, a draft, a correction."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from plant.access import may
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.repair_entry import RepairEntry
from records.models import Repair
from records.services.repair_checks import refuse_unless_draft, refuse_unless_signed
from records.services.repairs import repair_correct, repair_log, repair_update_draft
from records.stories.repair_form import form_context
from records.views.repair_detail import repair_of
from records.views.repair_place import place_asked

form_page = require_http_methods(["GET", "HEAD", "POST"])
planner_page = permission_required("records.log_repair", raise_exception=True)
engineer_page = permission_required("records.correct_repair", raise_exception=True)


@form_page
@planner_page
def repair_new(request: UserRequest) -> HttpResponse:
    place = place_asked(request)
    if place is None:
        return redirect("records:repair_find")
    where: dict[str, Any] = {"position": place.position, "pump": place.pump}

    def store(entry: RepairEntry) -> Repair:
        return repair_log(by=request.user, sign=entry.signs, **where, **entry.fields())

    with site_zone(place.position.site):
        asks_costs = may(request.user, "records.see_costs")
        data = request.POST or None
        entry = RepairEntry(**where, data=data, asks_costs=asks_costs)
        return _answer(request, entry, store)


@form_page
@planner_page
def repair_edit(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)

    def store(entry: RepairEntry) -> Repair:
        return repair_update_draft(
            by=request.user, repair=repair, sign=entry.signs, **entry.fields()
        )

    with site_zone(repair.site):
        if request.method != "POST":
            try:
                refuse_unless_draft(repair)
            except ValidationError as error:
                return _back(request, repair, error)
        asks_costs = may(request.user, "records.see_costs")
        entry = RepairEntry.of(repair, request.POST or None, asks_costs=asks_costs)
        return _answer(request, entry, store)


@form_page
@engineer_page
def repair_correction(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)

    def store(entry: RepairEntry) -> Repair:
        return repair_correct(by=request.user, repair=repair, **entry.fields())

    with site_zone(repair.site):
        try:
            refuse_unless_signed(repair)
        except ValidationError as error:
            return _back(request, repair, error)
        entry = RepairEntry.of(repair, request.POST or None, is_correction=True)
        return _answer(request, entry, store)


def _answer(
    request: UserRequest, entry: RepairEntry, store: Callable[[RepairEntry], Repair]
) -> HttpResponse:
    """Show the form, or store it; whatever is refused comes back as it was typed."""
    if request.method == "POST" and entry.is_valid():
        try:
            repair = store(entry)
        except ValidationError as error:
            entry.refuse(error)
        else:
            done = "signed" if repair.is_signed else "stored as a draft"
            messages.success(request, f"{repair} is {done}.")
            return redirect(repair)
    return render(request, "records/repair_form.html", form_context(entry))


def _back(request: UserRequest, repair: Repair, error: ValidationError) -> HttpResponse:
    messages.error(request, " ".join(error.messages))
    return redirect(repair)
