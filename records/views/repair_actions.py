"""Signing and voiding: one question each, answered with a button."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.repairs import ReasonForm, SignForm
from records.selectors.repairs import repair_version
from records.services.repair_checks import missing_to_sign
from records.services.repairs import repair_sign, repair_void
from records.views.repair_detail import repair_of

question_page = require_http_methods(["GET", "HEAD", "POST"])


@question_page
@permission_required("records.log_repair", raise_exception=True)
def repair_signing(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    initial = {"version": repair_version(repair)}
    form = SignForm(request.POST or None, initial=initial)
    with site_zone(repair.site):
        if request.method == "POST" and form.is_valid():
            try:
                repair_sign(by=request.user, repair=repair, **form.cleaned_data)
            except ValidationError as error:
                messages.error(request, " ".join(error.messages))
            else:
                messages.success(request, f"{repair} is signed.")
            return redirect(repair)
        context = {"repair": repair, "form": form, "missing": missing_to_sign(repair)}
        return render(request, "records/repair_sign.html", context)


@question_page
@permission_required("records.void_repair", raise_exception=True)
def repair_voiding(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    form = ReasonForm(request.POST or None)
    with site_zone(repair.site):
        if request.method == "POST" and form.is_valid():
            try:
                repair_void(by=request.user, repair=repair, **form.cleaned_data)
            except ValidationError as error:
                errors_take(form, error, {})
            else:
                messages.success(request, f"{repair} is void.")
                return redirect(repair)
        context = {"repair": repair, "form": form}
        return render(request, "records/repair_void.html", context)
