"""The page of the findings at teardown, which often follow days after the hand-back."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from plant.access import may
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.zones import site_zone
from records.choices import RepairState
from records.forms.findings import FindingsForm
from records.forms.repair_entry import TICK_OR_MEND
from records.models import Repair
from records.selectors.findings import are_findings_closed
from records.services.findings import findings_correct, findings_set
from records.services.half_done import AsIsAsked
from records.views.repair_detail import repair_of


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("records.log_repair", raise_exception=True)
def repair_findings(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    refusal = _refusal(request, repair)
    if refusal:
        messages.error(request, refusal)
        return redirect(repair)
    closed = are_findings_closed(repair)
    # Choosing an item only brings its patterns to the front; nothing is stored.
    stores = request.method == "POST" and "narrow" not in request.POST
    with site_zone(repair.site):
        form = FindingsForm(request.POST or None, repair=repair, is_correction=closed)
        if stores and form.is_valid() and _stored(request, repair, form, closed):
            return redirect(repair)
        context = {"repair": repair, "form": form, "is_checked": stores}
        return render(request, "records/repair_findings.html", context)


def _refusal(request: UserRequest, repair: Repair) -> str:
    """Why this person cannot change these findings now; blank if that is possible."""
    if repair.state == RepairState.VOID:
        return f"{repair} is void: {repair.void_reason}"
    if are_findings_closed(repair) and not may(request.user, "records.correct_repair"):
        return (
            f"The findings of {repair} are signed or imported. An engineer corrects "
            "them, with a reason."
        )
    return ""


def _stored(
    request: UserRequest, repair: Repair, form: FindingsForm, closed: bool
) -> bool:
    signs = "sign" in request.POST
    try:
        if closed:
            findings_correct(by=request.user, repair=repair, **form.findings())
        else:
            findings_set(by=request.user, repair=repair, sign=signs, **form.findings())
    except AsIsAsked as asked:
        form.ask_as_is(asked.questions)
        form.add_error("as_is", TICK_OR_MEND)
        return False
    except ValidationError as error:
        errors_take(form, error, {})
        return False
    done = "signed" if signs and not closed else "stored"
    messages.success(request, f"The findings of {repair} are {done}.")
    return True
