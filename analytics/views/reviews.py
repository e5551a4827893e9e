"""The pages of the monthly review."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Count
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from analytics.exports.review_mail import review_send
from analytics.exports.review_pdf import review_pdf
from analytics.forms.actions import chosen_row
from analytics.forms.reviews import DecisionForm, NoteForm, ReviewOpenForm, SendForm
from analytics.models import Review, ReviewState
from analytics.models.review import Decision
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews import page as review_page
from analytics.reports.reviews.current import sheet_for
from analytics.reports.reviews.differences import review_differences
from analytics.reports.reviews.sheet import SheetUnit
from analytics.reports.reviews.units import unit_key
from analytics.services.review_checks import decision_version
from analytics.services.reviews import (
    review_close,
    review_decide,
    review_note,
    review_open,
)
from plant.access import may, require
from plant.csv_export import csv_response
from plant.forms.service_errors import errors_take
from plant.listing import page_of
from plant.models import Position, Pump
from plant.requests import UserRequest
from plant.zones import site_zone
from records.models import Action

KEEP = "analytics.keep_review"
form_page = require_http_methods(["GET", "HEAD", "POST"])


def _review(request: UserRequest, pk: int) -> Review:
    rows = Review.objects.visible_to(request.user)
    return get_object_or_404(rows.select_related("site", "closed_by"), pk=pk)


@form_page
def review_list(request: UserRequest) -> HttpResponse:
    may_keep = may(request.user, KEEP)
    form = ReviewOpenForm(request.POST or None, user=request.user) if may_keep else None
    if request.method == "POST":
        require(request.user, KEEP)
        review = _opened(request, form)
        if review is not None:
            return redirect(review)
    rows = Review.objects.visible_to(request.user).annotate(decided=Count("decisions"))
    rows = rows.order_by("-month", "site__name")
    page = page_of(rows.select_related("site", "opened_by", "closed_by"), request.GET)
    context = {
        "form": form,
        "page": page,
        "query": request.GET,
        "columns": review_page.LIST_COLUMNS,
        "rows": review_page.list_rows(page.object_list),
    }
    return render(request, "analytics/review_list.html", context)


def _opened(request: UserRequest, form: ReviewOpenForm | None) -> Review | None:
    if form is None or not form.is_valid():
        return None
    try:
        return review_open(by=request.user, **form.cleaned_data)
    except ValidationError as error:
        errors_take(form, error, {})
        return None


@require_safe
def review_detail(request: UserRequest, pk: int) -> HttpResponse:
    review = _review(request, pk)
    with site_zone(review.site):
        sheet = sheet_for(review, request.user)
        may_keep = may(request.user, KEEP)
        context = review_page.context(review, sheet, may_keep=may_keep)
        if review.state == ReviewState.CLOSED:
            differences = review_differences(review, request.user)
            context["differences"] = review_page.difference_rows(differences.rows)
            context["unnamed"] = differences.unnamed
            context["difference_columns"] = review_page.DIFFERENCE_COLUMNS
        return render(request, "analytics/review_detail.html", context)


@require_safe
def review_paper(request: UserRequest, pk: int) -> HttpResponse:
    review = _review(request, pk)
    with site_zone(review.site):
        content = review_pdf(sheet_for(review, request.user))
    name = f"review-{review.month:%Y-%m}.pdf"
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


@require_safe
def review_export(request: UserRequest, pk: int) -> HttpResponseBase:
    review = _review(request, pk)
    with site_zone(review.site):
        units = sheet_for(review, request.user).units
    rows = [review_page.export_row(unit) for unit in units]
    name = f"review-{review.month:%Y-%m}.csv"
    return csv_response(name, review_page.EXPORT_HEADER, rows)


@form_page
def review_deciding(
    request: UserRequest, pk: int, kind: str, unit_pk: int
) -> HttpResponse:
    review = _review(request, pk)
    require(request.user, KEEP, site=review.site)
    if review.state == ReviewState.CLOSED:
        return _closed_already(request, review)
    unit = _unit(review, kind, unit_pk)
    listed = _listed(request, review, unit_key(UnitKind(kind), unit_pk))
    first = {**_first(listed, review, unit), **_chosen(request, review)}
    form = DecisionForm(
        request.POST or None, unit=unit, user=request.user, initial=first
    )
    evidence = listed.figures if listed else {}

    def store() -> None:
        _decide(request, form, review=review, unit=unit, evidence=evidence)

    more = review_page.deciding(review, unit, kind, listed)
    return _small_page(request, review, form, store, "review_decide", more)


def _decide(request: UserRequest, form: DecisionForm, **about: Any) -> None:
    try:
        review_decide(by=request.user, **about, **form.cleaned_data)
    except ValidationError as error:
        if getattr(error, "code", None) == "stale":
            form.show_newest(decision_version(about["review"], about["unit"]))
        raise


def _closed_already(request: UserRequest, review: Review) -> HttpResponse:
    messages.error(request, f"{review} is closed; what it says never changes.")
    return redirect(review)


def _listed(request: UserRequest, review: Review, key: str) -> SheetUnit | None:
    with site_zone(review.site):
        sheet = sheet_for(review, request.user)
    return next((row for row in sheet.units if row.key == key), None)


def _unit(review: Review, kind: str, pk: int) -> Position | Pump:
    if kind == UnitKind.POSITION:
        return get_object_or_404(Position, site=review.site, pk=pk)
    if kind == UnitKind.MACHINE:
        return get_object_or_404(Pump, site=review.site, pk=pk)
    raise Http404


def _chosen(request: UserRequest, review: Review) -> dict[str, Any]:
    """The action that was decided on the way, and that something is done."""
    rows = Action.objects.filter(site=review.site)
    action = chosen_row(rows, request.GET.get("action", ""))
    return {"decision": Decision.ACT, "action": action.pk} if action else {}


def _first(
    listed: SheetUnit | None, review: Review, unit: Position | Pump
) -> dict[str, Any]:
    seen = {"seen": decision_version(review, unit)}
    if listed is None or listed.decision is None:
        return seen
    row = listed.decision
    names = {"decision": "decision", "note": "note", "action": "action_pk"}
    return {**seen, **{field: row[name] for field, name in names.items()}}


@form_page
def review_noting(request: UserRequest, pk: int) -> HttpResponse:
    review = _review(request, pk)
    require(request.user, KEEP, site=review.site)
    if review.state == ReviewState.CLOSED:
        return _closed_already(request, review)
    form = NoteForm(request.POST or None, initial={"note": review.note})

    def store() -> None:
        review_note(by=request.user, review=review, **form.cleaned_data)

    return _small_page(request, review, form, store, "review_note", {})


@form_page
def review_sending(request: UserRequest, pk: int) -> HttpResponse:
    review = _review(request, pk)
    require(request.user, KEEP, site=review.site)
    form = SendForm(request.POST or None, site=review.site)

    def store() -> None:
        with site_zone(review.site):
            sent = review_send(review, list(form.cleaned_data["people"]))
        messages.success(request, f"Sent to {', '.join(sent)}.")

    return _small_page(request, review, form, store, "review_send", {})


@form_page
def review_closing(request: UserRequest, pk: int) -> HttpResponse:
    review = _review(request, pk)
    require(request.user, KEEP, site=review.site)
    if review.state == ReviewState.CLOSED:
        return _closed_already(request, review)
    if request.method == "POST":
        try:
            with site_zone(review.site):
                review_close(by=request.user, review=review)
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
        else:
            messages.success(request, f"{review} is closed.")
        return redirect(review)
    return render(request, "analytics/review_close.html", {"review": review})


def _small_page(
    request: UserRequest,
    review: Review,
    form: Any,
    store: Any,
    template: str,
    more: dict[str, Any],
) -> HttpResponse:
    if request.method == "POST" and form.is_valid():
        try:
            store()
        except ValidationError as error:
            errors_take(form, error, {})
        else:
            return redirect(review)
    context = {"review": review, "form": form, **more}
    context["steps"] = review_page.steps_to(review)
    return render(request, f"analytics/{template}.html", context)
