"""What the MTBR page and the position's panel are given to show."""

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics.charts.mtbr_line import mtbr_line
from analytics.charts.theme import figure_json
from analytics.reports.mtbr import table as mtbr_table
from analytics.reports.mtbr.report import Grouping, MtbrReport, RateLine, RollingPoint
from analytics.tables import Cell, address_with, in_order, with_usual_sort
from analytics.wording import (
    confidence_label,
    interval_sentence,
    open_note,
    sample_text,
    value_text,
    whole,
)
from plant.display import fixed, hours, months, percent
from plant.listing import PAGE_SIZE, header_cells

METHOD = [
    "Exposure is calendar time of positions in service inside the window; a pump in "
    "the store adds none.",
    "A month is 30.4375 days. Intervals are exact (chi-square, time truncated). "
    "Running hours come from meter readings; where there are none, from calendar "
    "time and the running share, and are marked estimated.",
]
TITLE = "Mean time between repairs"
COMPONENT_TITLES = {
    Grouping.PLAN: "Mean time between failures of seals, by piping plan "
    "(component time)",
    Grouping.DESIGNATION: "Mean time between failures of bearings, by designation "
    "(component time)",
}
LEADS = {
    Grouping.PLAN: "Each seal counts for the time it was fitted, and only failures of "
    "seals count. These are not repairs of pumps: do not set them beside an MTBR.",
    Grouping.DESIGNATION: "Each bearing counts for the time it was fitted, and only "
    "failures of bearings count. These are not repairs of pumps: do not set them "
    "beside an MTBR.",
}
OF_COMPONENTS = (
    "Exposure is the time that the components themselves were in service at a "
    "position, and only their own failures count: parts renewed as practice, planned "
    "or upgraded are no failures, and one that failed before it had run is left out. "
    "Repairs of the pump are not counted here."
)


def counting(report: MtbrReport) -> list[str]:
    """What is counted over which time, in words."""
    if report.grouping.is_component:
        return [OF_COMPONENTS, *METHOD[1:]]
    return [*report.scope.rule_in_words(), *METHOD]


def figures(report: MtbrReport) -> Cell:
    """Tiles, chart and counting rule."""
    return {
        "report": report,
        "title": COMPONENT_TITLES.get(report.grouping, TITLE),
        "lead": LEADS.get(report.grouping, ""),
        "tiles": tiles(report),
        "counting": counting(report),
        **rolling(report.rolling),
    }


def panel(report: MtbrReport) -> Cell:
    """What the page of a position shows: tiles and the rule, without the chart."""
    return {
        "report": report,
        "tiles": tiles(report),
        "counting": report.scope.rule_in_words(),
    }


def rolling(points: list[RollingPoint]) -> Cell:
    """The rolling line and the table of its numbers, newest first."""
    if not points:
        return {}
    drawn = mtbr_line(
        [point.window.end for point in points],
        [point.rate.value for point in points],
        [point.rate.low for point in points],
        [point.rate.high for point in points],
        band=confidence_label(points[0].rate.confidence),
    )
    return {
        "figure": figure_json(drawn),
        "rolling_columns": mtbr_table.ROLLING_COLUMNS,
        "rolling_rows": [mtbr_table.rolling_cells(point) for point in reversed(points)],
    }


def lines_in_order(report: MtbrReport, query: QueryDict) -> list[RateLine]:
    return in_order(report.lines, mtbr_table.SORT_KEYS, query, mtbr_table.USUAL_SORT)


def table(report: MtbrReport, query: QueryDict) -> Cell:
    """One page of the table of groups."""
    lines = lines_in_order(report, query)
    page = Paginator(lines, PAGE_SIZE).get_page(query.get("page"))
    shown = with_usual_sort(query, mtbr_table.USUAL_SORT)
    export = address_with(reverse("analytics:mtbr_export"), query)
    return {
        "page": page,
        "columns": header_cells(mtbr_table.columns(report), shown),
        "rows": [mtbr_table.cells(line, report) for line in page.object_list],
        "totals": mtbr_table.cells(report.total, report),
        "export_urls": [{"label": "CSV", "url": export}],
    }


def tiles(report: MtbrReport) -> list[Cell]:
    word, total = mtbr_table.words(report.grouping), report.total
    sample = sample_text(total.running, event="failure", exposure="running hours")
    if total.is_estimated:
        share = total.estimated_hours / total.running.exposure
        sample += f", {percent(share)} of them estimated"
    return [
        {
            "label": word["calendar"],
            "value": value_text(total.calendar, months, none=f"no {word['event']}s"),
            "interval": interval_sentence(total.calendar, fixed, "months"),
            "note": sample_text(
                total.calendar, event=word["event"], exposure=word["exposure"]
            )
            + open_note(total.open_repairs),
        },
        {
            "label": word["running"],
            "value": value_text(total.running, hours, none="no failures"),
            "interval": interval_sentence(total.running, whole, "h"),
            "note": sample,
        },
    ]
