"""The data-quality page and the rows behind each of its figures."""

from typing import Any

from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from plant.csv_export import csv_response
from plant.listing import page_of
from plant.requests import UserRequest
from records.forms.data_quality import DataQualityForm
from records.quality.figures import doubtful_rows, quality_figures
from records.quality.measures import BY_KEY, Measure
from records.tables import data_quality as tables


@require_safe
def data_quality(request: UserRequest) -> HttpResponse:
    form = DataQualityForm(request.GET, user=request.user)
    figures = quality_figures(form.scope())
    context = {
        "form": form,
        "columns": tables.FIGURE_COLUMNS,
        "groups": tables.figure_groups(figures, request.GET),
    }
    return render(request, "records/data_quality.html", context)


@require_safe
def data_quality_rows(request: UserRequest, key: str) -> HttpResponseBase:
    measure = BY_KEY.get(key)
    if measure is None:
        raise Http404
    form = DataQualityForm(request.GET, user=request.user)
    rows = doubtful_rows(measure, form.scope())
    columns = tables.ROW_COLUMNS[measure.table]
    if request.GET.get("as") == "csv":
        return _file(measure, rows)
    page = page_of(rows, request.GET)
    context = {
        "measure": measure,
        "steps": [{"label": "Data quality", "url": reverse("records:data_quality")}],
        "columns": columns,
        "rows": tables.row_cells(measure.table, page.object_list),
        "page": page,
        "query": request.GET,
    }
    return render(request, "records/data_quality_rows.html", context)


def _file(measure: Measure, rows: QuerySet[Any]) -> HttpResponseBase:
    header = [str(column["label"]) for column in tables.ROW_COLUMNS[measure.table]]
    cells = tables.row_cells(measure.table, rows.iterator(chunk_size=2_000))
    lines = [[cell["text"] for cell in row] for row in cells]
    return csv_response(f"data-quality-{measure.key}.csv", header, lines)
