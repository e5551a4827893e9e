"""The cost workbook: at once when it is short, else in the background."""

from tempfile import TemporaryFile

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from analytics.exports.cost_workbook import write_cost_workbook
from analytics.forms.costs import CostForm
from analytics.reports.costs.report import CostReport
from analytics.tables import address_with
from analytics.tasks import WORKBOOK_KIND, workbook_order, workbook_path
from plant.access import require
from plant.display import count
from plant.models import Job
from plant.requests import UserRequest

# So many cost lines are written in a second or two.
LINES_AT_ONCE = 20_000
SENTENCES = {
    Job.State.WAITING: "Waiting for its turn.",
    Job.State.RUNNING: "Writing the cost lines.",
    Job.State.DONE: "Ready.",
}


@require_http_methods(["GET", "HEAD", "POST"])
def costs_workbook(request: UserRequest) -> HttpResponseBase:
    require(request.user, "records.see_costs")
    form = CostForm(request.GET, user=request.user)
    if not form.is_answerable():
        return render(request, "analytics/costs.html", {"form": form}, status=400)
    report = form.report()
    lines = report.lines.count()
    if request.method == "POST":
        question = dict(request.GET.items())
        job = workbook_order(by=request.user, question=question, lines=lines)
        return redirect("analytics:costs_workbook_job", pk=job.pk)
    if lines <= LINES_AT_ONCE:
        return _workbook(report)
    here = address_with(request.path, request.GET)
    back = address_with(reverse("analytics:costs"), request.GET)
    context = {"action": here, "cancel_url": back, "size": count(lines, "cost line")}
    return render(request, "analytics/costs_workbook.html", context)


def _workbook(report: CostReport) -> FileResponse:
    content = TemporaryFile()  # noqa: SIM115, the response closes it
    write_cost_workbook(content, report, made_on=timezone.localtime())
    content.seek(0)
    name = f"costs{report.file_suffix}.xlsx"
    return FileResponse(content, as_attachment=True, filename=name)


@require_safe
def costs_workbook_job(request: UserRequest, pk: int) -> HttpResponse:
    job = _own_job(request, pk)
    here = reverse("analytics:costs_workbook_job", args=[pk])
    ready = job.state == Job.State.DONE
    context = {
        "url": here,
        "page_url": here,
        "label": "Cost workbook",
        "percent": 100 * job.done // job.total if job.total else None,
        "state": SENTENCES.get(Job.State(job.state), job.message),
        "finished": job.is_over,
        "result_url": reverse("analytics:costs_workbook_file", args=[pk])
        if ready
        else "",
        "result_label": "Download the workbook",
    }
    is_panel = "HX-Request" in request.headers
    template = "components/progress" if is_panel else "analytics/costs_workbook_job"
    return render(request, f"{template}.html", context)


@require_safe
def costs_workbook_file(request: UserRequest, pk: int) -> FileResponse:
    job = _own_job(request, pk)
    path = workbook_path(job)
    if job.state != Job.State.DONE or not default_storage.exists(path):
        raise Http404("The workbook is not there; make it anew on the Costs page.")
    content = default_storage.open(path)
    return FileResponse(content, as_attachment=True, filename="costs.xlsx")


def _own_job(request: UserRequest, pk: int) -> Job:
    """A job of the user; costs of others' sites must not be had by its number."""
    require(request.user, "records.see_costs")
    return get_object_or_404(Job, pk=pk, kind=WORKBOOK_KIND, asked_by=request.user)
