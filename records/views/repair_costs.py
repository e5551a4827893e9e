"""Cost lines of a repair: a new one, or a better figure for an old one."""

from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from plant.display import money
from plant.requests import UserRequest
from plant.views.form_page import FormPage, form_answer
from plant.zones import site_zone
from records.forms.costs import CostForm
from records.models import Repair
from records.services.costs import cost_line_add, cost_line_replace
from records.views.repair_detail import repair_of
from records.views.repair_forms import form_page

# What a link to the form may fill in; the person still reads and saves it.
FILLED_BY_LINK = ("kind", "amount", "status", "note")

planner_page = permission_required(
    ["records.log_repair", "records.see_costs"], raise_exception=True
)


@form_page
@planner_page
def cost_new(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    page = _page(repair, f"Add a cost to {repair}", "Add the cost")

    def store(form: CostForm) -> str:
        cost_line_add(by=request.user, repair=repair, entry=form.entry())
        return repair.get_absolute_url()

    with site_zone(repair.site):
        form = CostForm(
            request.POST or None,
            initial={n: request.GET[n] for n in FILLED_BY_LINK if n in request.GET},
            currency=repair.site.currency,
        )
        return form_answer(request, form, page, store)


@form_page
@planner_page
def cost_replace(request: UserRequest, pk: int, line_pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    line = get_object_or_404(repair.cost_lines, pk=line_pk)
    title = f"Better figure for {line.get_kind_display().lower()} of {repair}"
    page = _page(repair, title, "Replace the line", money(line.amount, line.currency))

    def store(form: CostForm) -> str:
        cost_line_replace(by=request.user, line=line, entry=form.entry())
        return repair.get_absolute_url()

    with site_zone(repair.site):
        initial = {"kind": line.kind, "currency": line.currency}
        form = CostForm(request.POST or None, initial=initial, currency=line.currency)
        return form_answer(request, form, page, store)


def _page(repair: Repair, title: str, button: str, replaced: str = "") -> FormPage:
    return FormPage(
        title=title,
        subtitle=f"It takes the place of {replaced}; both stay in the ledger."
        if replaced
        else "",
        button=button,
        cancel_url=repair.get_absolute_url(),
        done="The cost is in the ledger.",
        steps=[
            {"label": "Repairs", "url": reverse("records:repair_list")},
            {"label": repair.number, "url": repair.get_absolute_url()},
        ],
    )
