"""Readings of the running-hour meter at one position."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from plant import display
from plant.access import may, require
from plant.forms.service_errors import errors_take
from plant.listing import page_of
from plant.models import Position
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.hours import HourReadingForm
from records.models import HourReading
from records.services.hours import hours_record

COLUMNS = [
    {"label": "Read on"},
    {"label": "Meter shows", "numeric": True},
    {"label": "Meter"},
]


@require_http_methods(["GET", "HEAD", "POST"])
def position_hours(request: UserRequest, pk: int) -> HttpResponse:
    rows = Position.objects.visible_to(request.user).select_related("site")
    position = get_object_or_404(rows, pk=pk)
    with site_zone(position.site):
        form = HourReadingForm(request.POST or None)
        if request.method == "POST":
            require(request.user, "records.log_repair", site=position.site)
            if form.is_valid() and _stored(request, position, form):
                return redirect("records:hours", pk=position.pk)
        return _page(request, position, form)


def _stored(request: UserRequest, position: Position, form: HourReadingForm) -> bool:
    try:
        hours_record(by=request.user, position=position, **form.cleaned_data)
    except ValidationError as error:
        errors_take(form, error, {})
        return False
    messages.success(request, "The reading is stored.")
    return True


def _page(
    request: UserRequest, position: Position, form: HourReadingForm
) -> HttpResponse:
    readings = HourReading.objects.filter(position=position).order_by("-read_at")
    page = page_of(readings, request.GET)
    context = {
        "position": position,
        "steps": [{"label": position.tag, "url": position.get_absolute_url()}],
        "form": form if may(request.user, "records.log_repair") else None,
        "page": page,
        "query": request.GET,
        "columns": COLUMNS,
        "rows": [_row(reading) for reading in page.object_list],
    }
    return render(request, "records/hour_readings.html", context)


def _row(reading: HourReading) -> list[dict[str, object]]:
    return [
        {"text": display.date_time(reading.read_at)},
        {"text": display.hours(reading.meter_hours), "numeric": True},
        {"text": "new or reset" if reading.is_new_meter else "same as before"},
    ]
