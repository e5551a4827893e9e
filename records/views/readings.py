"""Readings at one position: quick entry, the latest judged, all of them, levels."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from plant.access import may, require
from plant.csv_export import csv_response
from plant.forms.service_errors import errors_take
from plant.listing import page_of
from plant.models import Position
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.readings import ReadingsForm, StrikeForm
from records.forms.warning_levels import WarningLevelForm
from records.models import Reading
from records.selectors.readings import readings_latest
from records.services.readings import (
    ReadingRefused,
    reading_strike,
    round_record,
    warning_level_set,
)
from records.tables import readings as tables

Answer = Callable[[forms.Form], None]


def _position(request: UserRequest, pk: int) -> Position:
    rows = Position.objects.visible_to(request.user).select_related("site", "area")
    return get_object_or_404(rows, pk=pk)


@require_safe
def position_readings(request: UserRequest, pk: int) -> HttpResponse:
    position = _position(request, pk)
    rows = Reading.objects.filter(position=position).select_related(
        "pump", "entered_by"
    )
    page = page_of(rows.order_by("-read_at", "-pk"), request.GET)
    may_log = may(request.user, "records.log_repair")
    with site_zone(position.site):
        context = {
            "position": position,
            "steps": [{"label": position.tag, "url": position.get_absolute_url()}],
            "latest_columns": tables.LATEST_COLUMNS,
            "latest": tables.latest_rows(readings_latest([position])),
            "columns": tables.ALL_COLUMNS,
            "rows": tables.all_rows(list(page.object_list), may_strike=may_log),
            "page": page,
            "query": request.GET,
        }
        return render(request, "records/readings.html", context)


@require_safe
def readings_export(request: UserRequest, pk: int) -> HttpResponseBase:
    position = _position(request, pk)
    rows = Reading.objects.filter(position=position).select_related("pump")
    return csv_response(
        f"readings-{position.tag}.csv",
        tables.EXPORT_HEADER,
        (tables.export_row(row) for row in rows.order_by("read_at").iterator()),
    )


@require_http_methods(["GET", "HEAD", "POST"])
def readings_new(request: UserRequest, pk: int) -> HttpResponse:
    position = _position(request, pk)
    require(request.user, "records.log_repair", site=position.site)
    with site_zone(position.site):
        form = ReadingsForm(request.POST or None)
        if (
            request.method == "POST"
            and form.is_valid()
            and _kept(request, position, form)
        ):
            return redirect("records:readings", pk=position.pk)
        context = {"position": position, "form": form, "steps": _steps(position)}
        return render(request, "records/readings_new.html", context)


def _kept(request: UserRequest, position: Position, form: ReadingsForm) -> bool:
    entries, names = form.entries()
    try:
        count = round_record(
            by=request.user, position=position, entries=entries, **form.round_fields()
        )
    except ReadingRefused as error:
        form.add_error(names[error.index], error)
        return False
    except ValidationError as error:
        errors_take(form, error, {})
        return False
    words = "1 reading is" if count == 1 else f"{count} readings are"
    messages.success(request, f"{words} stored.")
    return True


@require_http_methods(["GET", "HEAD", "POST"])
def reading_striking(request: UserRequest, pk: int) -> HttpResponse:
    rows = Reading.objects.filter(
        position__in=Position.objects.visible_to(request.user)
    )
    reading = get_object_or_404(rows.select_related("position__site"), pk=pk)
    require(request.user, "records.log_repair", site=reading.position.site)
    form = StrikeForm(request.POST or None)

    def store(form: forms.Form) -> None:
        reading_strike(by=request.user, reading=reading, **form.cleaned_data)

    words = {
        "title": "Strike a reading",
        "question": f"{tables.reading_words(reading)}: "
        f"{reading.entered_value} {reading.entered_unit}. It is kept and left out.",
        "button": "Strike it",
        "done": "The reading is left out from now on.",
    }
    return _small_form(request, reading.position, form, store, words)


@require_http_methods(["GET", "HEAD", "POST"])
def warning_levels(request: UserRequest, pk: int) -> HttpResponse:
    position = _position(request, pk)
    require(request.user, "records.change_limits", site=position.site)
    form = WarningLevelForm(request.POST or None)

    def store(form: forms.Form) -> None:
        warning_level_set(by=request.user, position=position, **form.cleaned_data)

    words = {
        "title": "Warning level",
        "question": "A reading beyond it is marked. Leave both ends empty to go back "
        "to the default.",
        "button": "Store the level",
        "done": "The level is stored.",
    }
    return _small_form(request, position, form, store, words)


def _small_form(
    request: UserRequest,
    position: Position,
    form: forms.Form,
    store: Answer,
    words: dict[str, str],
) -> HttpResponse:
    if request.method == "POST" and form.is_valid():
        try:
            store(form)
        except ValidationError as error:
            errors_take(form, error, {})
        else:
            messages.success(request, words["done"])
            return redirect("records:readings", pk=position.pk)
    context: dict[str, Any] = {"position": position, "form": form, "words": words}
    context["steps"] = _steps(position)
    return render(request, "records/reading_form.html", context)


def _steps(position: Position) -> list[dict[str, str]]:
    return [
        {"label": position.tag, "url": position.get_absolute_url()},
        {"label": "Readings", "url": reverse("records:readings", args=[position.pk])},
    ]
