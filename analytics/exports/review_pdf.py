"""A review on paper: the same figures as its page, which are those frozen."""

from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak

from analytics.exports.paper import HEADING, SMALL, TITLE, paragraph, pdf_of, table
from analytics.exports.review_chart import rolling_chart
from analytics.reports.reviews.sheet import ReviewSheet, SheetUnit
from plant.tags.fonts import fonts_register

ROOM = 60 * mm


def review_pdf(sheet: ReviewSheet) -> bytes:
    """Two to four pages; an open review says on each that it is not frozen."""
    fonts_register()
    story: list[Any] = [
        paragraph(sheet.title, TITLE),
        paragraph(sheet.subtitle),
        paragraph(sheet.state),
    ]
    if sheet.note:
        story.append(paragraph(sheet.note))
    story += [paragraph("Mean time between repairs", HEADING)]
    story += [paragraph(words) for words in sheet.headline]
    if sum(point.value is not None for point in sheet.rolling) > 1:
        drawn = rolling_chart(sheet.rolling)
        story += [drawn, paragraph(sheet.rolling_reading, SMALL)]
    story += [*_heading("Units"), *_units(sheet)]
    if sheet.actions:
        story += [
            *_heading("Actions"),
            table(
                ("Action", "Owner", "Due", "State"),
                sheet.actions,
                (88, 26, 22, 42),
            ),
        ]
    if sheet.costs:
        story += [paragraph("What repairs cost", HEADING)]
        story += [paragraph(words) for words in sheet.costs]
    story += [paragraph("How this is counted", HEADING)]
    story += [paragraph(words, SMALL) for words in sheet.counting]
    return pdf_of(story, title=sheet.title, footer=sheet.footer)


def _heading(text: str) -> list[Any]:
    """Above a table that may run over sheets: begins where a few rows still fit."""
    style = ParagraphStyle("above table", parent=HEADING, keepWithNext=0)
    return [CondPageBreak(ROOM), paragraph(text, style)]


def _units(sheet: ReviewSheet) -> list[Any]:
    if not sheet.units:
        return [paragraph("No unit stands out, and none was under watch.")]
    return [
        table(
            ("Unit", "Repairs", "Events a year, 90 % interval", "Why", "Decided"),
            [_unit(unit) for unit in sheet.units],
            (28, 15, 26, 75, 34),
            numeric=(1, 2),
        )
    ]


def _unit(unit: SheetUnit) -> tuple[str, ...]:
    name = f"{unit.name}\n{unit.place}".strip()
    rate = f"{unit.rate}\n{unit.interval}".strip()
    return name, unit.repairs, rate, unit.why, unit.decided
