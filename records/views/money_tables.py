"""Rates of exchange and price levels: read by all who see costs, kept by few."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from plant.access import may
from plant.csv_export import csv_response
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.views.form_page import FormPage, form_answer
from records.forms.money_tables import ExchangeRatesForm, PriceLevelsForm
from records.forms.repairs import ReasonForm
from records.models import ExchangeRate, PriceLevel
from records.selectors.money_tables import figure_changes
from records.services.money_tables import (
    KEEP,
    exchange_rates_set,
    money_figure_remove,
    price_levels_set,
)
from records.tables import money_tables as tables

form_page = require_http_methods(["GET", "HEAD", "POST"])
readers = permission_required("records.see_costs", raise_exception=True)
keepers = permission_required(KEEP, raise_exception=True)
NEW = {
    "Add rates of exchange": "records:exchange_rates_new",
    "Add price levels": "records:price_levels_new",
}
DONE = "Stored. Reports restate with these figures from now on."


@require_safe
@readers
def money_tables(request: UserRequest) -> HttpResponse:
    may_keep = may(request.user, KEEP)
    removal = [tables.REMOVE] if may_keep else []
    context = {
        "rate_columns": [*tables.RATE_COLUMNS, *removal],
        "rates": tables.rate_cells(ExchangeRate.objects.all(), may_keep),
        "level_columns": [*tables.LEVEL_COLUMNS, *removal],
        "levels": tables.level_cells(list(PriceLevel.objects.all()), may_keep),
        "change_columns": tables.CHANGE_COLUMNS,
        "changes": tables.change_cells(figure_changes()),
        "actions": [
            {"label": label, "url": reverse(name)} for label, name in NEW.items()
        ]
        if may_keep
        else [],
    }
    return render(request, "records/money_tables.html", context)


@require_safe
@readers
def money_tables_export(request: UserRequest) -> StreamingHttpResponse:
    rows = tables.export_rows(ExchangeRate.objects.all(), PriceLevel.objects.all())
    return csv_response("rates-and-price-levels.csv", tables.EXPORT_HEADER, rows)


@form_page
@keepers
def exchange_rates_new(request: UserRequest) -> HttpResponse:
    def store(form: ExchangeRatesForm) -> str:
        facts = dict(form.cleaned_data)
        exchange_rates_set(by=request.user, rates=facts.pop("figures"), **facts)
        return reverse("records:money_tables")

    page = _page("Rates of exchange", "Store the rates")
    return form_answer(request, ExchangeRatesForm(request.POST or None), page, store)


@form_page
@keepers
def price_levels_new(request: UserRequest) -> HttpResponse:
    def store(form: PriceLevelsForm) -> str:
        facts = dict(form.cleaned_data)
        price_levels_set(by=request.user, levels=facts.pop("figures"), **facts)
        return reverse("records:money_tables")

    page = _page("Price levels", "Store the levels")
    return form_answer(request, PriceLevelsForm(request.POST or None), page, store)


@form_page
@keepers
def exchange_rate_removal(request: UserRequest, pk: int) -> HttpResponse:
    return _removal(request, get_object_or_404(ExchangeRate, pk=pk))


@form_page
@keepers
def price_level_removal(request: UserRequest, pk: int) -> HttpResponse:
    return _removal(request, get_object_or_404(PriceLevel, pk=pk))


def _removal(request: UserRequest, figure: Any) -> HttpResponse:
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            money_figure_remove(by=request.user, figure=figure, **form.cleaned_data)
        except ValidationError as error:
            errors_take(form, error, {})
        else:
            messages.success(request, "Removed. What needed it stands apart again.")
            return redirect("records:money_tables")
    back_url = reverse("records:money_tables")
    context = {"figure": figure, "form": form, "back_url": back_url}
    return render(request, "records/money_tables_remove.html", context)


def _page(title: str, button: str) -> FormPage:
    home = reverse("records:money_tables")
    return FormPage(
        title=title,
        button=button,
        done=DONE,
        cancel_url=home,
        steps=[{"label": "Rates and price levels", "url": home}],
    )
