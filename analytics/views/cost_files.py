"""The files of costs: at once when they are short, else in the background."""

from collections.abc import Callable
from tempfile import TemporaryFile
from urllib.parse import urlencode

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from analytics.exports.cost_files import COST_FILES, LINES, PDF, WORKBOOK, CostFile
from analytics.exports.cost_jobs import (
    is_interrupted,
    is_ready_for,
    own_jobs,
    sentence_of,
)
from analytics.exports.one_state import one_state
from analytics.forms.costs import CostForm
from analytics.tables import address_with
from analytics.tasks import cost_file_order, workbook_path
from plant.access import require
from plant.display import count
from plant.models import Job, User
from plant.requests import UserRequest

# So many cost lines are written in a second or two.
LINES_AT_ONCE = 20_000
ADDRESSES = {
    WORKBOOK.kind: "analytics:costs_workbook",
    PDF.kind: "analytics:costs_pdf",
    LINES.kind: "analytics:cost_lines_export",
}


def _file_view(file: CostFile) -> Callable[[UserRequest], HttpResponseBase]:
    def view(request: UserRequest) -> HttpResponseBase:
        return _answer(request, file)

    view.__name__ = file.kind.replace(" ", "_")
    return require_http_methods(["GET", "HEAD", "POST"])(view)


costs_workbook = _file_view(WORKBOOK)
costs_pdf = _file_view(PDF)
cost_lines_csv = _file_view(LINES)


def _answer(request: UserRequest, file: CostFile) -> HttpResponseBase:
    require(request.user, "records.see_costs")
    form = CostForm(request.GET, user=request.user)
    if not form.is_answerable():
        return render(request, "analytics/costs.html", {"form": form}, status=400)
    lines = form.report().lines.count()
    if request.method == "POST":
        question = dict(request.GET.items())
        job = cost_file_order(file, by=request.user, question=question, lines=lines)
        return redirect("analytics:costs_workbook_job", pk=job.pk)
    if lines <= LINES_AT_ONCE:
        return _at_once(file, form)
    context = {
        "action": address_with(request.path, request.GET),
        "cancel_url": address_with(reverse("analytics:costs"), request.GET),
        "size": count(lines, "cost line"),
        "file": file,
    }
    return render(request, "analytics/costs_workbook.html", context)


def _at_once(file: CostFile, form: CostForm) -> FileResponse:
    content = TemporaryFile()  # noqa: SIM115, the response closes it
    with one_state():
        report = form.report()
        file.write(content, report, made_on=timezone.localtime())
    content.seek(0)
    name = f"{file.stem}{report.file_suffix}.{file.ending}"
    return FileResponse(content, as_attachment=True, filename=name)


@require_safe
def costs_workbook_job(request: UserRequest, pk: int) -> HttpResponse:
    job = _own_job(request, pk)
    here = reverse("analytics:costs_workbook_job", args=[pk])
    is_over = job.is_over or is_interrupted(job)
    context = {
        "url": here,
        "page_url": here,
        "label": COST_FILES[job.kind].label,
        "percent": min(100, 100 * job.done // job.total) if job.total else None,
        "state": sentence_of(job, request.user),
        "finished": is_over,
        **(_way_on(job, request.user) if is_over else {}),
    }
    is_panel = "HX-Request" in request.headers
    template = "components/progress" if is_panel else "analytics/costs_workbook_job"
    return render(request, f"{template}.html", context)


def _way_on(job: Job, user: User) -> dict[str, str]:
    """The file, or the way to make it anew."""
    noun = COST_FILES[job.kind].noun
    if is_ready_for(job, user):
        address = reverse("analytics:costs_workbook_file", args=[job.pk])
        return {"result_url": address, "result_label": f"Download the {noun}"}
    address = f"{reverse(ADDRESSES[job.kind])}?{urlencode(job.question)}"
    return {"result_url": address, "result_label": f"Make the {noun} anew"}


@require_safe
def costs_workbook_file(request: UserRequest, pk: int) -> FileResponse:
    job = _own_job(request, pk)
    path = workbook_path(job)
    if not is_ready_for(job, request.user) or not default_storage.exists(path):
        raise Http404("The file is not there; make it anew on the Costs page.")
    file = COST_FILES[job.kind]
    content = default_storage.open(path)
    name = f"{file.stem}.{file.ending}"
    return FileResponse(content, as_attachment=True, filename=name)


def _own_job(request: UserRequest, pk: int) -> Job:
    """A job of the user; costs of others' sites must not be had by its number."""
    require(request.user, "records.see_costs")
    return get_object_or_404(own_jobs(request.user), pk=pk)
