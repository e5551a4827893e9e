"""The list of repairs with its filters, totals and export."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from django.core.paginator import Paginator
from django.http import HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from plant.access import may, sites_visible
from plant.csv_export import csv_response
from plant.display import count
from plant.listing import PAGE_SIZE, header_cells, rows_sorted
from plant.requests import UserRequest
from records.counting import Rule, rules_by_site
from records.forms.repair_filter import RepairFilterForm
from records.models import Repair
from records.selectors.cost_totals import CostTotals, cost_totals
from records.selectors.findings import findings_by_age
from records.selectors.repair_counts import RepairCounts, repair_counts
from records.selectors.repair_filter import RepairFilter, repairs_filtered
from records.selectors.repairs import with_costs, with_earlier_repair
from records.selectors.tablet_entries import questions_open
from records.tables.repairs import (
    columns_for,
    export_header,
    export_row,
    repair_cells,
    total_rows,
)

if TYPE_CHECKING:
    from django.core.paginator import Page
    from django.db.models import QuerySet

    from records.selectors.repairs import ListedRepair

CHUNK = 500


@require_safe
def repair_list(request: UserRequest) -> HttpResponse:
    form = RepairFilterForm(request.GET or None, user=request.user)
    rules, choice = _rules(request), form.choice()
    rows = repairs_filtered(user=request.user, choice=choice, rules=rules)
    see_costs = may(request.user, "records.see_costs")
    columns = columns_for(see_costs)
    counts = repair_counts(rows, rules)
    page = _page(request, rows_sorted(rows, columns, request.GET), choice, counts)
    totals = cost_totals(rows, choice.of_lines()) if see_costs else []
    context = {
        **{"form": form, "query": request.GET, "page": page},
        "columns": header_cells(columns, request.GET),
        "rows": repair_cells(page.object_list, see_costs),
        "totals": total_rows(totals, see_costs),
        "tiles": _tiles(counts),
        "findings": _findings(request),
        "narrowed": _narrowed(request, choice, form.lines_in_words()),
        **_words(request, rules),
    }
    return render(request, "records/repair_list.html", context)


@require_safe
def repair_export(request: UserRequest) -> StreamingHttpResponse:
    form = RepairFilterForm(request.GET or None, user=request.user)
    choice = form.choice()
    rows = repairs_filtered(user=request.user, choice=choice, rules=_rules(request))
    currencies = _currencies(request, cost_totals(rows, choice.of_lines()))
    listed = _listed(rows_sorted(rows, columns_for(False), request.GET), choice)
    lines = (export_row(r, currencies) for r in listed.iterator(chunk_size=CHUNK))
    return csv_response("repairs.csv", export_header(currencies), lines)


def _currencies(request: UserRequest, totals: Sequence[CostTotals]) -> list[str]:
    if not may(request.user, "records.see_costs"):
        return []
    return [total.currency for total in totals]


def _rules(request: UserRequest) -> dict[int, Rule]:
    return rules_by_site(sites_visible(request.user))


def _listed(rows: "QuerySet[Repair]", choice: RepairFilter) -> "QuerySet[ListedRepair]":
    """What one line of the list shows, fetched with it."""
    joined = rows.select_related("site", "position__area", "pump")
    return with_costs(with_earlier_repair(joined), choice.of_lines())


def _page(
    request: UserRequest,
    rows: "QuerySet[Repair]",
    choice: RepairFilter,
    counts: RepairCounts,
) -> "Page[ListedRepair]":
    """The rows of one page, which alone are fetched with all that their lines show.

    Asked for at once, the database joins every repair of the list before it sorts.
    """
    pages: Any = Paginator(rows.values_list("pk", flat=True), PAGE_SIZE)
    pages.count = counts.listed
    page = pages.get_page(request.GET.get("page"))
    chosen = list(page.object_list)
    found = {
        row.pk: row for row in _listed(Repair.objects.filter(pk__in=chosen), choice)
    }
    page.object_list = [found[pk] for pk in chosen if pk in found]
    shown: Page[ListedRepair] = page
    return shown


def _narrowed(
    request: UserRequest, choice: RepairFilter, lines: str
) -> list[dict[str, str]]:
    """What a link narrowed the list to that no field above it shows."""
    found = [{"text": lines, "url": ""}] if lines else []
    for name, words in (
        ("position", f"Only position {choice.position}." if choice.position else ""),
        ("pump", f"Only pump {choice.pump}." if choice.pump else ""),
        ("no_pump", "Only repairs without a pump on record." if choice.no_pump else ""),
    ):
        if words:
            asked = request.GET.copy()
            del asked[name]
            found.append({"text": words, "url": f"?{asked.urlencode()}"})
    return found


def _tiles(counts: RepairCounts) -> list[dict[str, Any]]:
    return [
        {"label": "In this list", "value": f"{counts.listed:,}"},
        {"label": "Counted as repairs", "value": f"{counts.repairs:,}"},
        {"label": "Counted as failures", "value": f"{counts.failures:,}"},
    ]


def _findings(request: UserRequest) -> dict[str, str] | None:
    """How many findings are still open and since when; None if all are signed."""
    ages = findings_by_age(request.user)
    if not ages.total:
        return None
    url = f"{reverse('records:repair_list')}?findings_open=on"
    return {"text": ages.in_words(), "url": url}


def _questions(request: UserRequest) -> dict[str, str] | None:
    """How many logs of tablets wait for an answer; None if none does."""
    if not may(request.user, "records.log_repair"):
        return None
    waiting = questions_open(request.user).count()
    if not waiting:
        return None
    text = f"{count(waiting, 'log')} from tablets: somebody has to answer."
    return {"text": text, "url": reverse("records:entry_questions")}


def _words(request: UserRequest, rules: dict[int, Rule]) -> dict[str, Any]:
    """The counting rules in words, the ways on, and the export of the same rows."""
    export_url = f"{reverse('records:repair_export')}?{request.GET.urlencode()}"
    tablet = {"label": "Log on a tablet", "url": reverse("records:tablet")}
    new = {"label": "Log a repair", "url": reverse("records:repair_new")}
    return {
        "questions": _questions(request),
        "rules": sorted({rule.in_words() for rule in rules.values()}),
        "reset_url": request.path if request.GET else "",
        "export_urls": [{"label": "CSV", "url": export_url}],
        "actions": (
            [{**tablet, "primary": True}, new]
            if may(request.user, "records.log_repair")
            else []
        ),
    }
