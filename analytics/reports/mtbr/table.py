"""Columns, cells and export rows of the MTBR page."""

import math
from typing import Any

from django.urls import reverse

from analytics.reports.mtbr.report import Grouping, MtbrReport, RateLine, RollingPoint
from analytics.tables import Cell, SortKeys
from analytics.wording import (
    confidence_label,
    exposure_text,
    limits_text,
    mean_text,
    sample_text,
    whole,
)
from plant.display import date, fixed, number
from plant.listing import Column

USUAL_SORT = "name"
SORT_KEYS: SortKeys = {
    "name": lambda line: line.label.casefold(),
    "units": lambda line: line.units,
    "months": lambda line: line.calendar.exposure,
    "repairs": lambda line: line.calendar.events,
    "mtbr": lambda line: line.calendar.value or math.inf,
    "hours": lambda line: line.running.exposure,
    "failures": lambda line: line.running.events,
    "mtbf": lambda line: line.running.value or math.inf,
}


def words(grouping: Grouping) -> dict[str, str]:
    """What is counted and over which time, by kind of group."""
    if grouping.is_component:
        return {
            "units": "Components",
            "event": "failure",
            "exposure": "component-months",
            "calendar": "Calendar MTBF",
            "running": "Running MTBF",
        }
    return {
        "units": "Positions",
        "event": "repair",
        "exposure": "position-months",
        "calendar": "MTBR",
        "running": "MTBF",
    }


def columns(report: MtbrReport) -> list[Column]:
    word = words(report.grouping)
    limits = confidence_label(report.scope.confidence)
    return [
        Column(report.grouping.label, "name"),
        Column(word["units"], "units", numeric=True),
        Column(word["exposure"].capitalize(), "months", numeric=True),
        Column(f"{word['event'].capitalize()}s", "repairs", numeric=True),
        Column(f"{word['calendar']}, months", "mtbr", numeric=True),
        Column(f"{limits}, months", numeric=True),
        Column("Running hours", "hours", numeric=True),
        Column("Failures", "failures", numeric=True),
        Column(f"{word['running']}, hours", "mtbf", numeric=True),
        Column(f"{limits}, hours", numeric=True),
    ]


def cells(line: RateLine, report: MtbrReport) -> list[Cell]:
    word = words(report.grouping)
    open_note = f"{line.open_repairs} open or unsigned" if line.open_repairs else ""
    sample = sample_text(line.calendar, event=word["event"], exposure=word["exposure"])
    return [
        {"text": line.label, "url": _url(line, report.grouping)},
        _numeric(number(line.units)),
        _numeric(exposure_text(line.calendar.exposure)),
        _numeric(number(line.calendar.events), note=open_note),
        _numeric(
            mean_text(line.calendar, fixed),
            note="" if line.calendar.events else sample,
        ),
        _numeric(limits_text(line.calendar, fixed)),
        _numeric(
            fixed(line.running.exposure, 0),
            flag="estimated" if line.is_estimated else "",
        ),
        _numeric(number(line.running.events)),
        _numeric(mean_text(line.running, whole)),
        _numeric(limits_text(line.running, whole)),
    ]


def _numeric(text: str, **more: Any) -> Cell:
    return {"text": text, "numeric": True, **more}


def _url(line: RateLine, grouping: Grouping) -> str:
    if grouping is Grouping.POSITION and line.key:
        return reverse("plant:position_detail", args=[line.key])
    return ""


def export_header(report: MtbrReport) -> list[str]:
    word = words(report.grouping)
    return [
        report.grouping.label,
        word["units"],
        word["exposure"],
        f"{word['event']}s",
        "open or unsigned",
        f"{word['calendar']}, months",
        "low, months",
        "high, months",
        "running hours",
        "of these estimated",
        "failures",
        f"{word['running']}, hours",
        "low, hours",
        "high, hours",
        "confidence",
        "from",
        "to",
    ]


def export_row(line: RateLine, report: MtbrReport) -> list[Any]:
    """Unrounded numbers of the line that the page shows rounded."""
    calendar, running, window = line.calendar, line.running, report.scope.window
    return [
        line.label,
        line.units,
        calendar.exposure,
        calendar.events,
        line.open_repairs,
        calendar.value,
        calendar.low,
        calendar.high,
        running.exposure,
        line.estimated_hours,
        running.events,
        running.value,
        running.low,
        running.high,
        calendar.confidence,
        window.start,
        window.end,
    ]


ROLLING_COLUMNS: list[Cell] = [
    {"label": "12 months to"},
    {"label": "Position-months", "numeric": True},
    {"label": "Repairs", "numeric": True},
    {"label": "MTBR, months", "numeric": True},
    {"label": "Interval, months", "numeric": True},
]


def rolling_cells(point: RollingPoint) -> list[Cell]:
    rate = point.rate
    return [
        {"text": date(point.window.end)},
        _numeric(exposure_text(rate.exposure)),
        _numeric(number(rate.events)),
        _numeric(mean_text(rate, fixed)),
        _numeric(limits_text(rate, fixed)),
    ]
