"""What the page of lost production is given to show."""

from decimal import Decimal

import pandas as pd
from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics.reports.costs.tabs import costs_tabs
from analytics.reports.lost_production import questions as register
from analytics.reports.lost_production import table as loss_table
from analytics.reports.lost_production.outcome import Outcome
from analytics.reports.lost_production.report import LostProductionReport
from analytics.reports.lost_production.words import Stoppage, Words
from analytics.tables import Cell, address_with, with_usual_sort
from plant.display import NO_VALUE, count, money, number
from plant.listing import PAGE_SIZE, header_cells

ENTERED = "entered"
SHOWN = [
    ("", "All stoppages"),
    (ENTERED, "With an entered figure"),
    *[(outcome.value, outcome.label) for outcome in Outcome],
]


def context(report: LostProductionReport, query: QueryDict, show: str) -> Cell:
    found = report.losses
    rows = rows_shown(report, query, show)
    page = Paginator(range(len(rows)), PAGE_SIZE).get_page(query.get("page"))
    words = Words(found)
    listed = Stoppage.of(rows.iloc[list(page.object_list)])
    asked = register.questions(found, report.rows.assign(row=report.rows.index))
    export = address_with(reverse("analytics:lost_production_export"), query)
    return {
        "report": report,
        "tabs": costs_tabs("lost_production", query),
        "tiles": tiles(report, query),
        "page": page,
        "columns": header_cells(
            loss_table.COLUMNS, with_usual_sort(query, loss_table.USUAL_SORT)
        ),
        "rows": [loss_table.cells(stoppage, words) for stoppage in listed],
        "question_columns": register.COLUMNS,
        "question_rows": register.question_cells(asked[: register.MOST_SHOWN]),
        "more_questions": len(asked) - register.MOST_SHOWN,
        "export_urls": [{"label": "CSV", "url": export}],
    }


def rows_shown(
    report: LostProductionReport, query: QueryDict, show: str
) -> pd.DataFrame:
    rows = report.rows
    if show == ENTERED:
        rows = rows[rows["has_figure"]]
    elif show:
        rows = rows[rows["outcome"] == show]
    return loss_table.in_order(report.losses, rows, query.get("sort", ""))


def tiles(report: LostProductionReport, query: QueryDict) -> list[Cell]:
    return [
        *_entered(report),
        *_worked_out(report),
        {
            "label": "Stoppages with a loss",
            "value": number(report.with_a_loss),
            "note": f"entered or worked out, of {count(len(report.rows), 'stoppage')} "
            "in the period",
        },
        _counted(
            report, query, Outcome.COVERED, "enough others could run all the time"
        ),
        _counted(
            report, query, Outcome.UNPRICED, "nobody has said what an hour costs there"
        ),
    ]


def _entered(report: LostProductionReport) -> list[Cell]:
    """As on the Costs page: the ledger of repairs reported in the period."""
    note = "in the ledger of repairs reported in the period, as on the Costs page"
    if not report.entered:
        return [{"label": "Entered", "value": NO_VALUE, "note": f"nothing {note}"}]
    return [
        {
            "label": "Entered",
            "value": money(total.lost_production),
            "unit": total.currency,
            "note": note,
        }
        for total in report.entered
    ]


def _worked_out(report: LostProductionReport) -> list[Cell]:
    worked_out = report.worked_out
    label = "Worked out where nothing was entered"
    amounts = worked_out.amounts or {"": Decimal(0)}
    return [
        {
            "label": label,
            "value": money(amount) if currency else NO_VALUE,
            "unit": currency,
            "note": f"from {count(worked_out.stoppages, 'stoppage')}; not in the "
            "ledger and in no other total",
        }
        for currency, amount in amounts.items()
    ]


def _counted(
    report: LostProductionReport, query: QueryDict, outcome: Outcome, note: str
) -> Cell:
    here = reverse("analytics:lost_production")
    return {
        "label": outcome.label,
        "value": number(report.counted_as(outcome)),
        "note": note,
        "url": address_with(here, query, show=outcome.value),
    }
