"""Sheets of printed tags for a selection of the register, and where a tag leads."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from plant.forms.filters import PositionFilter, PumpFilter, RegisterFilter
from plant.listing import page_of
from plant.models import Position, Pump
from plant.requests import UserRequest
from plant.stories.tags import position_tag_story, pump_tag_story
from plant.tags.codes import TagKind, code_read
from plant.tags.labels import Label, position_labels, pump_labels
from plant.tags.layout import SHEETS
from plant.tags.rows import TickRow, position_ticks, pump_ticks
from plant.tags.selection import filters_of, rows_chosen, sheet_chosen
from plant.views.register import positions_shown, pumps_shown
from plant.zones import site_zone

if TYPE_CHECKING:
    from django.db.models import QuerySet


@dataclass(frozen=True, slots=True)
class Tagged:
    """One of the two registers, as its pages of tags need it."""

    noun: str
    title: str
    subtitle: str
    form: type[RegisterFilter]
    rows: "Callable[[UserRequest, Any], QuerySet[Any]]"
    ticks: Callable[[Any], list[TickRow]]
    labels: Callable[[Any, Callable[[str], str]], list[Label]]
    page_name: str
    list_name: str
    list_label: str
    other: tuple[str, str]


POSITIONS = Tagged(
    noun="position",
    title="Tags of positions",
    subtitle="One for every place; it stays there while pumps come and go",
    form=PositionFilter,
    rows=positions_shown,
    ticks=position_ticks,
    labels=position_labels,
    page_name="plant:position_tags",
    list_name="plant:position_list",
    list_label="Pumps",
    other=("Tags of pumps", "plant:pump_tags"),
)
PUMPS = Tagged(
    noun="pump",
    title="Tags of pumps",
    subtitle="One for every machine; it goes with it to the store and to other places",
    form=PumpFilter,
    rows=pumps_shown,
    ticks=pump_ticks,
    labels=pump_labels,
    page_name="plant:pump_tags",
    list_name="plant:pump_list",
    list_label="Pumps by serial number",
    other=("Tags of positions", "plant:position_tags"),
)


@require_safe
def position_tags(request: UserRequest) -> HttpResponse:
    return _page(request, POSITIONS)


@require_safe
def pump_tags(request: UserRequest) -> HttpResponse:
    return _page(request, PUMPS)


@require_safe
def position_tags_file(request: UserRequest) -> HttpResponse:
    return _file(request, POSITIONS)


@require_safe
def pump_tags_file(request: UserRequest) -> HttpResponse:
    return _file(request, PUMPS)


@require_safe
def position_tag(request: UserRequest, code: str) -> HttpResponse:
    rows = Position.objects.visible_to(request.user).select_related("site", "area")
    position = get_object_or_404(rows, pk=_pk_of(TagKind.POSITION, code))
    with site_zone(position.site):
        story = position_tag_story(position, user=request.user)
        return render(request, "plant/tags_leads.html", story)


@require_safe
def pump_tag(request: UserRequest, code: str) -> HttpResponse:
    rows = Pump.objects.visible_to(request.user).select_related("site")
    pump = get_object_or_404(rows, pk=_pk_of(TagKind.PUMP, code))
    with site_zone(pump.site):
        story = pump_tag_story(pump, user=request.user)
        return render(request, "plant/tags_leads.html", story)


def _page(request: UserRequest, tagged: Tagged) -> HttpResponse:
    form = tagged.form(request.GET or None, user=request.user)
    page = page_of(tagged.rows(request, form), request.GET)
    context = {
        **_words(request, tagged),
        "form": form,
        "page": page,
        "query": request.GET,
        "ticks": tagged.ticks(page.object_list),
        "sheets": SHEETS.values(),
        "sheet": sheet_chosen(request.GET),
        "reset_url": request.path if request.GET else "",
        "host": request.build_absolute_uri("/"),
    }
    return render(request, "plant/tags.html", context)


def _words(request: UserRequest, tagged: Tagged) -> dict[str, Any]:
    """What differs between the two pages, and the filters that go on from them."""
    kept = filters_of(request.GET)
    back = f"{reverse(tagged.list_name)}?{kept.urlencode()}".removesuffix("?")
    label, other = tagged.other
    return {
        "title": tagged.title,
        "subtitle": tagged.subtitle,
        "heading": f"{tagged.noun.capitalize()}s",
        "empty_text": f"No {tagged.noun} fits. Clear the filters or enter one.",
        "steps": [{"label": tagged.list_label, "url": back}],
        "actions": [{"label": label, "url": reverse(other)}],
        "kept": [(name, value) for name, values in kept.lists() for value in values],
        "file_url": reverse(f"{tagged.page_name}_file"),
    }


def _file(request: UserRequest, tagged: Tagged) -> HttpResponse:
    # Reportlab takes a moment to load; only whoever prints waits for it.
    from plant.tags.pdf import sheets_pdf

    form = tagged.form(request.GET, user=request.user)
    try:
        rows = rows_chosen(tagged.rows(request, form), request.GET, tagged.noun)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
        kept = filters_of(request.GET).urlencode()
        return redirect(f"{reverse(tagged.page_name)}?{kept}")
    labels = tagged.labels(rows, request.build_absolute_uri)
    pdf = sheets_pdf(labels, sheet_chosen(request.GET))
    name = f'attachment; filename="{tagged.noun}-tags.pdf"'
    headers = {"Content-Disposition": name}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


def _pk_of(kind: TagKind, ending: str) -> int:
    code = code_read(f"{kind}{ending}")
    if code is None:
        raise Http404("No tag carries this code.")
    return code.pk
