"""Upgrade cases written: made, changed, withdrawn, brought back, turned to action."""

from collections.abc import Callable
from functools import cache
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from analytics.forms.upgrade_lists import CaseActionForm, WithdrawForm
from analytics.forms.upgrade_start import first_of_address
from analytics.forms.upgrades import FIELD_OF, CaseForm, first_values
from analytics.reports.upgrade_follow_up.case_page import act_words
from analytics.reports.upgrades.report import UpgradeReport, upgrade_report
from analytics.services.upgrades import (
    upgrade_case_act,
    upgrade_case_change_and_reckon,
    upgrade_case_make_and_reckon,
)
from analytics.views.upgrades import case_of
from plant.access import require
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.zones import site_zone
from records.models import UpgradeCase
from records.selectors.upgrade_cases import upgrade_case_version
from records.services.upgrade_cases import (
    PLAN,
    upgrade_case_bring_back,
    upgrade_case_withdraw,
)

form_page = require_http_methods(["GET", "HEAD", "POST"])
Store = Callable[[Any], UpgradeCase]

FORM = {"template": "upgrade_form", "button": "Work it out and store it"}
NEW = {
    **FORM,
    "title": "New upgrade case",
    "done": "Stored. The answer is below.",
}
CHANGE = {
    **FORM,
    "title": "Change the case",
    "done": "Changed. The history keeps what it was.",
}
WITHDRAW = {
    "template": "upgrade_action",
    "title": "Withdraw the case",
    "question": ["It stays on record and leaves the list."],
    "button": "Withdraw it",
    "done": "It is withdrawn.",
}
BRING_BACK = {
    "template": "upgrade_action",
    "title": "Bring the case back",
    "question": ["It stands in the list again and can be changed."],
    "button": "Bring it back",
    "done": "It is back in the list.",
}
ACT = {
    "template": "upgrade_action",
    "title": "Turn the case into an action",
    "button": "Decide it and freeze the promise",
    "done": "Decided. What the case promises is frozen beside the action.",
}


def _answer(
    request: UserRequest,
    form: forms.Form,
    store: Store,
    page: dict[str, Any],
    case: UpgradeCase | None = None,
) -> HttpResponse:
    """Show the form, or store it and open the case; what is refused comes back."""
    if request.method == "POST" and form.is_valid():
        try:
            stored = store(form)
        except ValidationError as error:
            _refuse(form, error, case, page.get("renewed"))
        else:
            messages.success(request, page["done"])
            return redirect(stored)
    back = case.get_absolute_url() if case else ""
    context = {"form": form, "case": case, "cancel_url": back, **page}
    return render(request, f"analytics/{page['template']}.html", context)


def _refuse(
    form: forms.Form,
    error: ValidationError,
    case: UpgradeCase | None,
    renewed: Callable[[], str] | None,
) -> None:
    """Beside its field; after a stale form, sending again is meant."""
    if getattr(error, "code", None) == "stale" and case is not None:
        data: Any = form.data.copy()  # type: ignore[attr-defined]
        data["version"] = str(upgrade_case_version(case))
        form.data = data
        if renewed is not None and isinstance(form, CaseActionForm):
            form.renew_reason(renewed())
    errors_take(form, error, FIELD_OF)


@form_page
def case_new(request: UserRequest) -> HttpResponse:
    require(request.user, PLAN)
    first = first_of_address(request.GET, request.user)
    form = CaseForm(request.POST or None, user=request.user, initial=first)

    def store(form: CaseForm) -> UpgradeCase:
        site = form.cleaned_data["site"]
        return upgrade_case_make_and_reckon(
            by=request.user, site=site, **form.decision()
        )

    page = {**NEW, "cancel_url": reverse("analytics:upgrade_cases")}
    return _answer(request, form, store, page)


@form_page
def case_changing(request: UserRequest, pk: int) -> HttpResponse:
    case = _planned(request, pk)
    first = {**first_values(case), "version": upgrade_case_version(case)}
    form = CaseForm(request.POST or None, user=request.user, initial=first)
    form.hold_site(case.site)

    def store(form: CaseForm) -> UpgradeCase:
        version = form.cleaned_data["version"]
        return upgrade_case_change_and_reckon(
            by=request.user, case=case, version=version, **form.decision()
        )

    with site_zone(case.site):
        return _answer(request, form, store, CHANGE, case)


@form_page
def case_withdrawing(request: UserRequest, pk: int) -> HttpResponse:
    case = _planned(request, pk)

    def store(form: WithdrawForm) -> UpgradeCase:
        return upgrade_case_withdraw(by=request.user, case=case, **form.cleaned_data)

    return _answer(request, WithdrawForm(request.POST or None), store, WITHDRAW, case)


@form_page
def case_bringing_back(request: UserRequest, pk: int) -> HttpResponse:
    case = _planned(request, pk)

    def store(form: forms.Form) -> UpgradeCase:
        return upgrade_case_bring_back(by=request.user, case=case)

    # A form without fields is bound by the press of its button alone.
    data = {"sent": "yes"} if request.method == "POST" else None
    return _answer(request, forms.Form(data), store, BRING_BACK, case)


@form_page
def case_acting(request: UserRequest, pk: int) -> HttpResponse:
    case = _planned(request, pk)

    @cache
    def report() -> UpgradeReport:
        return upgrade_report(case, request.user)

    def headline() -> str:
        return report().headline

    def store(form: CaseActionForm) -> UpgradeCase:
        return upgrade_case_act(by=request.user, case=case, **form.decision())

    with site_zone(case.site):
        # Worked out only where it is shown: storing works it out by itself.
        first: dict[str, Any] = dict.fromkeys(("reason", "offered"), headline)
        first["version"] = upgrade_case_version(case)
        form = CaseActionForm(request.POST or None, case=case, initial=first)
        page = {**ACT, "question": lambda: act_words(report()), "renewed": headline}
        return _answer(request, form, store, page, case)


def _planned(request: UserRequest, pk: int) -> UpgradeCase:
    """A case in sight of somebody who may plan at its site."""
    case = case_of(request, pk)
    require(request.user, PLAN, site=case.site)
    return case
