"""What changes an import: sending files, storing them, forgetting them."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from plant.requests import UserRequest
from records.forms.imports import FleetImportForm
from records.importing.jobs import import_confirm, import_discard, import_keep
from records.tasks import fleet_import_check, fleet_import_store
from records.views.import_pages import import_of, list_page, may_import


@require_POST
@may_import
def import_new(request: UserRequest) -> HttpResponse:
    form = FleetImportForm(request.POST, request.FILES)
    if not form.is_valid():
        return list_page(request, form, status=422)
    kept = import_keep(
        by=request.user, files=form.cleaned_data["sheets"], options=form.options()
    )
    fleet_import_check.enqueue(kept.pk)
    return redirect("records:import_detail", pk=kept.pk)


@require_POST
@may_import
def import_store(request: UserRequest, pk: int) -> HttpResponse:
    kept = import_of(request, pk)
    try:
        import_confirm(by=request.user, fleet_import=kept)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        fleet_import_store.enqueue(kept.pk, request.user.pk)
    return redirect("records:import_detail", pk=kept.pk)


@require_POST
@may_import
def import_forget(request: UserRequest, pk: int) -> HttpResponse:
    kept = import_of(request, pk)
    try:
        import_discard(by=request.user, fleet_import=kept)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("records:import_detail", pk=pk)
    messages.success(request, "The import and its files are forgotten.")
    return redirect("records:import_list")
