"""An upgrade case as rows of a file: plain numbers, no formatting."""

from typing import Any

from analytics.reports.upgrades.report import UpgradeReport

HEADER = [
    *("Kind", "Name", "Value", "Low, 90 %", "High, 90 %", "Unit", "From"),
    "Method or reason",
]


def export_header() -> list[str]:
    return HEADER


def export_rows(report: UpgradeReport) -> list[list[Any]]:
    """What the case is, its sentence and warnings, its inputs and its figures."""
    case = report.case
    tags = ", ".join(position.tag for position in report.positions)
    said = [
        ("Case", case.title),
        ("Change", case.get_change_made_display()),
        ("Positions", tags),
        ("As of", case.as_of.isoformat()),
        ("Answer", report.headline),
        *(("Refused", words) for words in report.refusals),
        *(("Check", words) for words in report.warnings),
        *(("Ratio", words) for words in report.ratio.sentences),
    ]
    rows: list[list[Any]] = [[kind, words, *[""] * 6] for kind, words in said]
    for line in report.inputs:
        rows.append(
            [
                *("Input", line.label, line.value, line.low, line.high),
                *(_unit(line.unit, report.currency), line.source, line.note),
            ]
        )
    for figure in report.figures:
        words = figure.reason or figure.method
        rows.append(
            [
                *("Figure", figure.label, figure.value, figure.low, figure.high),
                *(_unit(figure.unit, report.currency), "worked out", words),
            ]
        )
    return rows


def _unit(unit: str, currency: str) -> str:
    return currency if unit == "money" else unit
