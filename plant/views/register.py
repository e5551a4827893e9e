"""The two lists of the register, positions and pumps, and their exports."""

from typing import TYPE_CHECKING, Any

from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from plant.csv_export import csv_response
from plant.forms.filters import PositionFilter, PumpFilter, RegisterFilter
from plant.listing import header_cells, page_of, rows_sorted
from plant.requests import UserRequest
from plant.selectors.positions import positions_list
from plant.selectors.pumps import pumps_list
from plant.tables import positions as position_table
from plant.tables import pumps as pump_table

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from plant.selectors.positions import ListedPosition
    from plant.selectors.pumps import ListedPump


@require_safe
def position_list(request: UserRequest) -> HttpResponse:
    form = PositionFilter(request.GET or None, user=request.user)
    page = page_of(positions_shown(request, form), request.GET)
    on = timezone.localdate()
    return render(
        request,
        "plant/position_list.html",
        {
            **_list_context(request, form, "plant:position_export"),
            "actions": _actions(
                request,
                ("By serial number", "plant:pump_list"),
                ("New position", "plant:position_new"),
                tags_name="plant:position_tags",
            ),
            "page": page,
            "columns": header_cells(position_table.COLUMNS, request.GET),
            "rows": position_table.position_cells(page.object_list, on),
        },
    )


@require_safe
def position_export(request: UserRequest) -> StreamingHttpResponse:
    rows = positions_shown(request, PositionFilter(request.GET, user=request.user))
    cells = (position_table.position_export_row(row) for row in rows.iterator())
    return csv_response("positions.csv", position_table.EXPORT_HEADER, cells)


@require_safe
def pump_list(request: UserRequest) -> HttpResponse:
    form = PumpFilter(request.GET or None, user=request.user)
    page = page_of(pumps_shown(request, form), request.GET)
    return render(
        request,
        "plant/pump_list.html",
        {
            **_list_context(request, form, "plant:pump_export"),
            "actions": _actions(
                request,
                ("By position", "plant:position_list"),
                ("New pump", "plant:pump_new"),
                tags_name="plant:pump_tags",
            ),
            "page": page,
            "columns": header_cells(pump_table.COLUMNS, request.GET),
            "rows": pump_table.pump_cells(page.object_list),
        },
    )


@require_safe
def pump_export(request: UserRequest) -> StreamingHttpResponse:
    rows = pumps_shown(request, PumpFilter(request.GET, user=request.user))
    cells = (pump_table.pump_export_row(row) for row in rows.iterator())
    return csv_response("pumps.csv", pump_table.EXPORT_HEADER, cells)


def positions_shown(
    request: UserRequest, form: PositionFilter
) -> "QuerySet[ListedPosition]":
    rows = positions_list(user=request.user, on=timezone.localdate(), **form.chosen())
    return rows_sorted(rows, position_table.COLUMNS, request.GET)


def pumps_shown(request: UserRequest, form: PumpFilter) -> "QuerySet[ListedPump]":
    rows = pumps_list(user=request.user, **form.chosen())
    return rows_sorted(rows, pump_table.COLUMNS, request.GET)


def _actions(
    request: UserRequest,
    other_list: tuple[str, str],
    entry: tuple[str, str],
    *,
    tags_name: str,
) -> list[dict[str, str]]:
    """The other list, tags of the rows that fit and, for who may, a new entry."""
    may_enter = request.user.has_perm("plant.change_register")
    links = [other_list, entry] if may_enter else [other_list]
    actions = [{"label": label, "url": reverse(name)} for label, name in links]
    tags_url = f"{reverse(tags_name)}?{request.GET.urlencode()}".removesuffix("?")
    actions.insert(1, {"label": "Print tags", "url": tags_url})
    return actions


def _list_context(
    request: UserRequest, form: RegisterFilter, export_name: str
) -> dict[str, Any]:
    export_url = f"{reverse(export_name)}?{request.GET.urlencode()}"
    return {
        "form": form,
        "query": request.GET,
        "reset_url": request.path if request.GET else "",
        "export_urls": [{"label": "CSV", "url": export_url}],
    }
