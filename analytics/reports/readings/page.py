"""Words, figure and table of the readings of one position over time."""

from typing import Any

from django.urls import reverse

from analytics.charts.reading_trend import reading_trend
from analytics.charts.theme import figure_json
from analytics.reports.readings.report import ReadingReport
from plant import display
from records.reading_choices import UNIT_OF_QUANTITY, Quantity

COLUMNS = [
    {"label": "Read on"},
    {"label": "Where"},
    {"label": "Value", "numeric": True},
]
# The table beside the drawing shows the newest; the file holds all.
MOST_ROWS = 100


def context(report: ReadingReport) -> dict[str, Any]:
    if report.quantity is None:
        return {"position": report.position, "empty": _empty(report)}
    unit = UNIT_OF_QUANTITY[report.quantity]
    figure = reading_trend(
        report.series, report.rules, f"{report.quantity.label}, {unit}"
    )
    return {
        "position": report.position,
        "heading": str(report.quantity.label),
        "reading": _sentence(report),
        "figure": figure_json(figure),
        "columns": COLUMNS,
        "rows": _rows(report, unit),
        "others": _others(report),
        "is_cut": report.is_cut,
    }


def _empty(report: ReadingReport) -> str:
    return (
        f"Nothing was read at {report.position.tag} while it ran, so there is no line "
        "to draw."
    )


def _sentence(report: ReadingReport) -> str:
    quantity = report.quantity
    sample = display.count(len(report.rows), "reading")
    words = f"Each mark is one reading while running ({sample}); look for a rise."
    if quantity == Quantity.VIBRATION:
        words += (
            " The rules are zone limits of ISO 10816-7:2009, default, from memory: "
            "above B/C the pump is fit for a limited time only."
        )
    elif report.level is not None:
        words += f" The rule is the warning level ({report.level.source})."
    return words


def _rows(report: ReadingReport, unit: str) -> list[list[dict[str, Any]]]:
    return [
        [
            {"text": display.date_time(row.read_at)},
            {"text": str(row.get_point_display() or "Pump as a whole")},
            {"text": f"{display.number(row.value, 3)} {unit}", "numeric": True},
        ]
        for row in reversed(report.rows[-MOST_ROWS:])
    ]


def _others(report: ReadingReport) -> list[dict[str, str]]:
    here = reverse("analytics:position_readings", args=[report.position.pk])
    return [
        {
            "label": f"{quantity.label} ({count})",
            "url": f"{here}?quantity={quantity.value.replace(' ', '+')}",
        }
        for quantity, count in report.counts.items()
        if quantity != report.quantity
    ]
