"""Limits of checks: what holds, and the site's own to add, change and remove."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from plant.access import may, sites_visible
from plant.csv_export import csv_response
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.views.form_page import FormPage, form_answer
from records.forms.limits import LimitFilterForm, LimitForm
from records.forms.repairs import ReasonForm
from records.models import CheckLimit
from records.selectors.limit_rows import LimitRow, limit_changes, limit_rows
from records.services.check_limits import check_limit_remove, check_limit_set
from records.tables import limits as tables

form_page = require_http_methods(["GET", "HEAD", "POST"])
CHANGED = "It holds from now on. Checks made before keep the limit they had."
limits_page = permission_required("records.change_limits", raise_exception=True)


@require_safe
def limit_list(request: UserRequest) -> HttpResponse:
    form = LimitFilterForm(request.GET or None, user=request.user)
    may_change = may(request.user, "records.change_limits")
    new = {"label": "Add a limit", "url": reverse("records:limit_new"), "primary": True}
    export_url = f"{reverse('records:limit_export')}?{request.GET.urlencode()}"
    context = {
        "form": form,
        "columns": tables.columns_for(may_change),
        "rows": tables.limit_cells(_chosen(request, form), may_change),
        "change_columns": tables.CHANGE_COLUMNS,
        "changes": tables.change_cells(limit_changes(user=request.user)),
        "actions": [new] if may_change else [],
        "reset_url": request.path if request.GET else "",
        "export_urls": [{"label": "CSV", "url": export_url}],
    }
    return render(request, "records/limits.html", context)


@require_safe
def limit_export(request: UserRequest) -> StreamingHttpResponse:
    form = LimitFilterForm(request.GET or None, user=request.user)
    rows = (tables.export_row(row) for row in _chosen(request, form))
    return csv_response("limits.csv", tables.EXPORT_HEADER, rows)


@form_page
@limits_page
def limit_new(request: UserRequest) -> HttpResponse:
    def store(form: LimitForm) -> str:
        check_limit_set(by=request.user, **form.cleaned_data)
        return reverse("records:limit_list")

    page = _page("Add a limit", "Add the limit", "The limit holds from now on.")
    form = LimitForm(request.POST or None, user=request.user)
    return form_answer(request, form, page, store)


@form_page
@limits_page
def limit_edit(request: UserRequest, pk: int) -> HttpResponse:
    limit = _limit(request, pk)

    def store(form: LimitForm) -> str:
        check_limit_set(by=request.user, limit=limit, **form.cleaned_data)
        return reverse("records:limit_list")

    page = _page(f"Change: {limit}", "Store the limit", CHANGED)
    form = LimitForm(request.POST or None, user=request.user, limit=limit)
    return form_answer(request, form, page, store)


@form_page
@limits_page
def limit_removal(request: UserRequest, pk: int) -> HttpResponse:
    limit = _limit(request, pk)
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            check_limit_remove(by=request.user, limit=limit, **form.cleaned_data)
        except ValidationError as error:
            errors_take(form, error, {})
        else:
            messages.success(request, "The limit is removed; the next one holds again.")
            return redirect("records:limit_list")
    back_url = reverse("records:limit_list")
    context = {"limit": limit, "form": form, "back_url": back_url}
    return render(request, "records/limits_remove.html", context)


def _chosen(request: UserRequest, form: LimitFilterForm) -> list[LimitRow]:
    site, kind = form.choice()
    return limit_rows(user=request.user, site=site, kind=kind)


def _limit(request: UserRequest, pk: int) -> CheckLimit:
    """A limit of one of the user's sites; elsewhere there is none."""
    rows = CheckLimit.objects.filter(site__in=sites_visible(request.user))
    return get_object_or_404(rows.select_related("site"), pk=pk)


def _page(title: str, button: str, done: str) -> FormPage:
    return FormPage(
        title=title,
        button=button,
        done=done,
        cancel_url=reverse("records:limit_list"),
        steps=[{"label": "Limits", "url": reverse("records:limit_list")}],
    )
