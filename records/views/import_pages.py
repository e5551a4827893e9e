"""Imports to look at: the list, one import with its findings, templates and help."""

from typing import Any

from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from plant.csv_export import csv_response
from plant.listing import header_cells, page_of, rows_sorted
from plant.requests import UserRequest
from records.forms.imports import FleetImportForm, ImportFilterForm
from records.importing import tables
from records.importing.blank_sheets import csv_templates, workbook_template
from records.importing.jobs import imports_visible
from records.importing.layout import SHEETS
from records.models import FleetImport

FAULTS_ON_A_PAGE = 100
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
TEMPLATES = {
    "zip": (csv_templates, "application/zip"),
    "xlsx": (workbook_template, XLSX),
}
STEPS = [{"label": "Import", "url": "/import/"}]

may_import = permission_required("records.import_fleet", raise_exception=True)


def import_of(request: UserRequest, pk: int) -> FleetImport:
    """One of the imports this user may see, else 404."""
    return get_object_or_404(imports_visible(request.user), pk=pk)


@require_safe
@may_import
def import_list(request: UserRequest) -> HttpResponse:
    return list_page(request, FleetImportForm())


def list_page(
    request: UserRequest, form: FleetImportForm, status: int = 200
) -> HttpResponse:
    """Earlier imports, and the form for the next, with its errors if it has any."""
    filter_form = _filter_form(request)
    rows = _listed(request, filter_form)
    page = page_of(rows, request.GET)
    export = f"{reverse('records:import_export')}?{request.GET.urlencode()}"
    context = {
        "form": form,
        "filter_form": filter_form,
        "page": page,
        "query": request.GET,
        "columns": header_cells(tables.LIST_COLUMNS, request.GET),
        "rows": tables.list_cells(page.object_list),
        "reset_url": request.path if request.GET else "",
        "export_urls": [{"label": "CSV", "url": export}],
        "templates": _template_entries(),
    }
    return render(request, "records/import_list.html", context, status=status)


@require_safe
@may_import
def import_export(request: UserRequest) -> StreamingHttpResponse:
    rows = _listed(request, _filter_form(request))
    heading = [column.label for column in tables.LIST_COLUMNS]
    lines = (tables.export_row(row) for row in rows.iterator())
    return csv_response("imports.csv", heading, lines)


def _filter_form(request: UserRequest) -> ImportFilterForm:
    return ImportFilterForm(request.GET or None, states=FleetImport.State.choices)


def _listed(request: UserRequest, form: ImportFilterForm) -> Any:
    # A thousand faults a row are not shown in a list.
    rows = imports_visible(request.user).defer("faults", "notes")
    state = form.state_wanted()
    rows = rows.filter(state=state) if state else rows
    return rows_sorted(rows, tables.LIST_COLUMNS, request.GET)


def _template_entries() -> list[dict[str, str]]:
    words = {
        "xlsx": ("One workbook", "Four sheets and a sheet of notes on every column."),
        "zip": ("Four CSV files", "Headings only, with notes on every column as text."),
    }
    entries = [
        {
            "term": "Template",
            "text": label,
            "url": reverse("records:import_template", args=[kind]),
            "note": note,
        }
        for kind, (label, note) in words.items()
    ]
    help_url = reverse("records:import_columns")
    note = "What each means, its unit, and every allowed word."
    return [
        *entries,
        {"term": "Help", "text": "All columns", "url": help_url, "note": note},
    ]


@require_safe
@may_import
def import_detail(request: UserRequest, pk: int) -> HttpResponse:
    kept = import_of(request, pk)
    faults = Paginator(kept.faults, FAULTS_ON_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "kept": kept,
        "steps": STEPS,
        "query": request.GET,
        "faults": faults,
        "progress": progress_context(kept),
        "subtitle": f"{kept.get_state_display()}. {tables.file_names(kept)}",
        "summary_columns": tables.SUMMARY_COLUMNS,
        "summary_rows": tables.summary_cells(kept),
        "sample_columns": tables.SAMPLE_COLUMNS,
        "sample_rows": tables.sample_cells(kept),
        **_findings(kept, faults.object_list),
    }
    return render(request, "records/import_detail.html", context)


def _findings(kept: FleetImport, faults: Any) -> dict[str, Any]:
    return {
        "fault_columns": tables.FAULT_COLUMNS,
        "fault_rows": tables.fault_cells(faults),
        "faults_sentence": tables.faults_sentence(kept),
        "tally_columns": tables.TALLY_COLUMNS,
        "tally_rows": tables.tally_cells(kept),
        "is_interrupted": tables.is_interrupted(kept),
        "changes_anything": tables.changes_anything(kept),
    }


def progress_context(kept: FleetImport) -> dict[str, Any]:
    """Inputs of components/progress.html."""
    page_url = reverse("records:import_detail", args=[kept.pk])
    is_over = kept.state not in tables.UNDER_WAY or tables.is_interrupted(kept)
    return {
        "url": reverse("records:import_progress", args=[kept.pk]),
        "page_url": page_url,
        "label": kept.get_state_display(),
        "percent": 100 if is_over else tables.percent_of(kept.job),
        "state": "Finished." if is_over else tables.progress_sentence(kept),
        "finished": is_over,
        "result_url": page_url,
        "result_label": "See what was found",
    }


@require_safe
@may_import
def import_progress(request: UserRequest, pk: int) -> HttpResponse:
    """The progress bar alone; when it is over, htmx loads the page anew."""
    progress = progress_context(import_of(request, pk))
    response = render(request, "components/progress.html", progress)
    if progress["finished"]:
        response["HX-Refresh"] = "true"
    return response


@require_safe
@may_import
def import_faults(request: UserRequest, pk: int) -> StreamingHttpResponse:
    kept = import_of(request, pk)
    names = ("sheet", "row", "column", "value", "right")
    lines = ([fault[name] for name in names] for fault in kept.faults)
    return csv_response(f"import-{kept.pk}-faults.csv", tables.FAULT_HEADING, lines)


@require_safe
@may_import
def import_template(request: UserRequest, kind: str) -> HttpResponse:
    if kind not in TEMPLATES:
        raise Http404("No such template.")
    make, content_type = TEMPLATES[kind]
    response = HttpResponse(make(), content_type=content_type)
    response["Content-Disposition"] = f'attachment; filename="fleet-template.{kind}"'
    return response


@require_safe
@may_import
def import_columns(request: UserRequest) -> HttpResponse:
    sheets = [
        {
            "name": sheet.name,
            "meaning": sheet.meaning,
            "rows": tables.help_cells(sheet),
        }
        for sheet in SHEETS.values()
    ]
    context = {"sheets": sheets, "columns": tables.HELP_COLUMNS, "steps": STEPS}
    return render(request, "records/import_columns.html", context)
