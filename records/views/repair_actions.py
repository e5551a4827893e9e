"""Signing, voiding and dropping: one question each, answered with a button."""

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from plant.access import may
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.repair_entry import TICK_OR_MEND
from records.forms.repairs import ReasonForm, SignForm
from records.models import Repair
from records.selectors.repairs import repair_is_own_draft, repair_version
from records.services.component_rows import components_now
from records.services.half_done import AsIsAsked, questions_of
from records.services.repair_checks import missing_to_sign
from records.services.repair_voids import repair_drop, repair_void
from records.services.repairs import repair_sign
from records.views.repair_detail import repair_of

question_page = require_http_methods(["GET", "HEAD", "POST"])


@question_page
@permission_required("records.log_repair", raise_exception=True)
def repair_signing(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    form = SignForm(
        request.POST or None,
        initial={"version": repair_version(repair)},
        questions=questions_of(repair, *components_now(repair)),
    )
    with site_zone(repair.site):
        if request.method == "POST" and form.is_valid():
            answer = _signed(request, repair, form)
            if answer is not None:
                return answer
        context = {"repair": repair, "form": form, "missing": missing_to_sign(repair)}
        return render(request, "records/repair_sign.html", context)


def _signed(
    request: UserRequest, repair: Repair, form: SignForm
) -> HttpResponse | None:
    """The way back to the repair; None when it still asks something."""
    try:
        repair_sign(by=request.user, repair=repair, **form.cleaned_data)
    except AsIsAsked:
        form.add_error("as_is", TICK_OR_MEND)
        return None
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, f"{repair} is signed.")
    return redirect(repair)


@question_page
@permission_required("records.void_repair", raise_exception=True)
def repair_voiding(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    return _struck(request, repair, repair_void, "void")


@question_page
@permission_required("records.log_repair", raise_exception=True)
def repair_dropping(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    own = repair_is_own_draft(repair, request.user)
    if not own and not may(request.user, "records.void_repair"):
        raise PermissionDenied("Only its author or an engineer drops a draft.")
    return _struck(request, repair, repair_drop, "drop")


def _struck(
    request: UserRequest, repair: Repair, strike: Callable[..., Repair], page: str
) -> HttpResponse:
    """Ask for the reason, then make the repair void."""
    form = ReasonForm(request.POST or None)
    with site_zone(repair.site):
        if request.method == "POST" and form.is_valid():
            try:
                strike(by=request.user, repair=repair, **form.cleaned_data)
            except ValidationError as error:
                errors_take(form, error, {})
            else:
                messages.success(request, f"{repair} is void.")
                return redirect(repair)
        context = {"repair": repair, "form": form}
        return render(request, f"records/repair_{page}.html", context)
