"""A review on paper: the same figures as its page, which are those frozen."""

from typing import Any

from reportlab.graphics.charts.lineplots import LinePlot
from reportlab.graphics.shapes import Drawing, String
from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak

from analytics.charts.theme import ACCENT, SOFT_INK
from analytics.exports.paper import HEADING, SMALL, TITLE, paragraph, pdf_of, table
from analytics.reports.reviews.sheet import ReviewSheet, SheetUnit
from plant.tags.fonts import PLAIN, fonts_register

ROOM = 60 * mm
CHART_WIDTH, CHART_HEIGHT = 178 * mm, 46 * mm
UPRIGHT, ACROSS = "Mean time between repairs, months", "The 12 months to"


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
    points = [
        (point.end[:7], point.value)
        for point in sheet.rolling
        if point.value is not None
    ]
    if len(points) > 1:
        story += [_rolling(points), paragraph(sheet.rolling_reading, SMALL)]
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


def _rolling(points: list[tuple[str, float]]) -> Drawing:
    """Rolling mean time between repairs, months on the upright axis."""
    drawing = Drawing(CHART_WIDTH, CHART_HEIGHT)
    plot = LinePlot()
    plot.x, plot.y = 12 * mm, 9 * mm
    plot.width, plot.height = CHART_WIDTH - 16 * mm, CHART_HEIGHT - 15 * mm
    plot.data = [list(enumerate(value for _, value in points))]
    plot.lines[0].strokeColor = colors.HexColor(ACCENT)
    plot.lines[0].strokeWidth = 1.2
    labels = [label for label, _ in points]
    plot.xValueAxis.valueSteps = list(range(0, len(labels), 6))
    plot.xValueAxis.labelTextFormat = lambda place: labels[int(place)]
    plot.yValueAxis.valueMin = 0
    for axis in (plot.xValueAxis, plot.yValueAxis):
        axis.labels.fontName = PLAIN
        axis.labels.fontSize = 6.5
    drawing.add(plot)
    words = {"fontName": PLAIN, "fontSize": 6.5, "fillColor": colors.HexColor(SOFT_INK)}
    drawing.add(String(0, CHART_HEIGHT - 2.5 * mm, UPRIGHT, **words))
    last = {"textAnchor": "end", **words}
    drawing.add(String(CHART_WIDTH - 4 * mm, 0.5 * mm, ACROSS, **last))
    return drawing
