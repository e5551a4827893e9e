"""The Fleet page and the lists behind its figures."""

from typing import Any

from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from analytics.forms.period import FleetForm
from analytics.reports.fleet import likely_page
from analytics.reports.fleet import page as fleet_page
from analytics.reports.fleet import table as fleet_table
from analytics.reports.fleet.likely import likely_failures
from analytics.reports.fleet.report import fleet_report
from analytics.reports.fleet.rows import RowKind, rows_of_kind
from analytics.tables import address_with
from plant.csv_export import csv_response
from plant.listing import Column, header_cells, page_of, rows_sorted
from plant.requests import UserRequest


@require_safe
def fleet(request: UserRequest) -> HttpResponse:
    form = FleetForm(request.GET, user=request.user)
    context = {"form": form}
    if form.is_answerable():
        report = fleet_report(form.scope())
        if not report.all_positions and not form.is_bound:
            empty = fleet_page.empty_state(report)
            return render(request, "analytics/fleet_empty.html", empty)
        context |= fleet_page.context(report, request.GET)
    return render(request, "analytics/fleet.html", context)


@require_safe
def fleet_rows(request: UserRequest, kind: str) -> HttpResponse:
    asked = _kind(kind)
    form = FleetForm(request.GET, user=request.user)
    context = {"form": form, "title": asked.label, "meaning": asked.meaning}
    if form.is_answerable():
        rows, columns = _rows(request, form, asked)
        page = page_of(rows, request.GET)
        export = address_with(f"{request.path}export.csv", request.GET)
        context |= {
            "page": page,
            "columns": header_cells(columns, request.GET),
            "rows": fleet_table.row_cells(page.object_list, asked),
            "export_urls": [{"label": "CSV", "url": export}],
        }
    return render(request, "analytics/fleet_rows.html", context)


@require_safe
def fleet_rows_export(request: UserRequest, kind: str) -> HttpResponseBase:
    asked = _kind(kind)
    form = FleetForm(request.GET, user=request.user)
    if not form.is_answerable():
        context = {"form": form, "title": asked.label}
        return render(request, "analytics/fleet_rows.html", context, status=400)
    rows, columns = _rows(request, form, asked)
    cells = fleet_table.row_cells(rows, asked)
    return csv_response(
        f"{asked}.csv",
        [column.label for column in columns],
        ([cell["text"] for cell in row] for row in cells),
    )


@require_safe
def fleet_likely(request: UserRequest) -> HttpResponse:
    form = FleetForm(request.GET, user=request.user)
    context: dict[str, Any] = {"form": form}
    is_panel = "HX-Request" in request.headers
    if form.is_answerable():
        scope = form.scope()
        export = address_with(reverse("analytics:fleet_likely_export"), request.GET)
        context |= likely_page.context(
            likely_failures(scope), scope, request.GET, is_panel=is_panel
        )
        context["export_urls"] = [{"label": "CSV", "url": export}]
    name = "fleet_likely_parts" if is_panel else "fleet_likely"
    return render(request, f"analytics/{name}.html", context)


@require_safe
def fleet_likely_export(request: UserRequest) -> HttpResponseBase:
    form = FleetForm(request.GET, user=request.user)
    if not form.is_answerable():
        context = {"form": form}
        return render(request, "analytics/fleet_likely.html", context, status=400)
    parts = likely_failures(form.scope()).parts
    rows = map(likely_page.export_row, parts)
    return csv_response("likely-to-fail.csv", likely_page.EXPORT_HEADER, rows)


def _rows(
    request: UserRequest, form: FleetForm, kind: RowKind
) -> tuple[QuerySet[Any], list[Column]]:
    """Rows in the order of the address, newest first unless asked otherwise."""
    columns = fleet_table.columns(kind)
    rows = fleet_table.with_related(rows_of_kind(kind, form.scope()), kind)
    return rows_sorted(rows, columns, request.GET), columns


def _kind(name: str) -> RowKind:
    if name not in RowKind.values:
        raise Http404(f"The Fleet page has no list called {name}.")
    return RowKind(name)
