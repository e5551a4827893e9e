"""The page on which the checks of a repair are typed or corrected."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from plant.access import may
from plant.requests import UserRequest
from plant.zones import site_zone
from records.check_words import stiffness_of
from records.choices import RepairState
from records.forms.checks import CheckSheet
from records.models import Repair
from records.services.checks import checks_correct, checks_set
from records.views.repair_detail import repair_of


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("records.log_repair", raise_exception=True)
def repair_checks(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    refusal = _refusal(request, repair)
    if refusal:
        messages.error(request, refusal)
        return redirect(repair)
    with site_zone(repair.site):
        data = request.POST if request.method == "POST" else None
        sheet = CheckSheet(repair, data, is_correction=repair.is_signed)
        if data is not None and sheet.is_valid() and _stored(request, sheet):
            messages.success(request, f"The checks of {repair} are stored.")
            return redirect(repair)
        context = {
            "repair": repair,
            "sheet": sheet,
            "stiffness": stiffness_of(repair.pump),
        }
        return render(request, "records/repair_checks.html", context)


def _refusal(request: UserRequest, repair: Repair) -> str:
    """Why this person cannot change these checks now; blank if that is possible."""
    if repair.state == RepairState.VOID:
        return f"{repair} is void: {repair.void_reason}"
    if repair.is_signed and not may(request.user, "records.correct_repair"):
        return f"{repair} is signed. An engineer corrects its checks, with a reason."
    return ""


def _stored(request: UserRequest, sheet: CheckSheet) -> bool:
    try:
        if sheet.repair.is_signed:
            checks_correct(
                by=request.user,
                repair=sheet.repair,
                checks=sheet.entries(),
                **sheet.form.cleaned_data,
            )
        else:
            checks_set(
                by=request.user,
                repair=sheet.repair,
                checks=sheet.entries(),
                **sheet.form.cleaned_data,
            )
    except ValidationError as error:
        sheet.refuse(error)
        return False
    return True
