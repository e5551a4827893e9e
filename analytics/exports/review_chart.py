"""The rolling MTBR of a review on paper: line, band and bounds, readable in grey."""

from collections.abc import Callable, Sequence

from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, PolyLine, String
from reportlab.lib import colors
from reportlab.lib.units import mm

from analytics.charts.mtbr_line import stretches
from analytics.charts.theme import ACCENT, HAIRLINE, SOFT_INK
from analytics.exports.cost_pdf_charts import tick_step
from analytics.reports.reviews.sheet import SheetPoint
from plant.display import number
from plant.tags.fonts import PLAIN

WIDTH, HEIGHT = 178 * mm, 50 * mm
LEFT, RIGHT, FOOT, HEAD = 12 * mm, 4 * mm, 9 * mm, 8 * mm
SMALL = 6.5
EVERY_MONTHS = 6
# Darker than on the screen, where paper and a copier would lose it.
SHADE = "#d3dde5"
UPRIGHT, ACROSS = "Mean time between repairs, months", "The 12 months to"
LEGEND = "line: as counted; shaded: 90\u00a0% interval"
BOUND = "; open ring: no repairs, at least"
Place = Callable[[float], float]


def rolling_chart(points: Sequence[SheetPoint]) -> Drawing:
    """One point a month; the band breaks where the interval has no upper end."""
    drawing = Drawing(WIDTH, HEIGHT)
    x, y = _scales(points)
    lows, highs = [p.low for p in points], [p.high for p in points]
    for part in stretches(lows, highs):
        _band(drawing, range(len(points))[part], lows[part], highs[part], x, y)
    _axes(drawing, points, x, y)
    for run in stretches([p.value for p in points], [p.value for p in points]):
        _line_of(drawing, range(len(points))[run], points[run], x, y)
    bounds = [
        (place, point.low)
        for place, point in enumerate(points)
        if point.value is None and point.low is not None
    ]
    for place, low in bounds:
        ring = Circle(x(place), y(low), 1.8, fillColor=colors.white)
        ring.strokeColor, ring.strokeWidth = colors.HexColor(ACCENT), 0.8
        drawing.add(ring)
    drawing.add(_words(0, HEIGHT - 2.5 * mm, UPRIGHT, "start"))
    legend = LEGEND + (BOUND if bounds else "")
    drawing.add(_words(WIDTH - RIGHT, HEIGHT - 2.5 * mm, legend, "end"))
    drawing.add(_words(WIDTH - RIGHT, 0.5 * mm, ACROSS, "end"))
    return drawing


def _scales(points: Sequence[SheetPoint]) -> tuple[Place, Place]:
    step, ticks = _ticks(points)
    room, top = HEIGHT - FOOT - HEAD, step * ticks
    slot = (WIDTH - LEFT - RIGHT) / max(1, len(points) - 1)
    return (
        lambda place: float(LEFT + place * slot),
        lambda months: float(FOOT + room * months / top),
    )


def _ticks(points: Sequence[SheetPoint]) -> tuple[float, int]:
    """Distance of the ticks, and how many reach over everything drawn."""
    drawn = [v for p in points for v in (p.value, p.low, p.high) if v is not None]
    highest = max(drawn, default=0.0)
    step = tick_step(highest)
    return step, max(1, int(-(-highest // step)))


def _axes(drawing: Drawing, points: Sequence[SheetPoint], x: Place, y: Place) -> None:
    step, ticks = _ticks(points)
    for tick in range(ticks + 1):
        at, colour = y(tick * step), HAIRLINE if tick else SOFT_INK
        drawing.add(_stroke(LEFT, at, WIDTH - RIGHT, at, colour))
        months = tick * step
        text = number(int(months) if months.is_integer() else months)
        drawing.add(_words(LEFT - 2, at - 2, text, "end"))
    for place, point in enumerate(points):
        if (len(points) - 1 - place) % EVERY_MONTHS == 0:
            drawing.add(_stroke(x(place), FOOT, x(place), FOOT - 2, SOFT_INK))
            anchor = "end" if place == len(points) - 1 else "middle"
            drawing.add(_words(x(place), FOOT - 4 * mm, point.end[:7], anchor))


def _band(
    drawing: Drawing,
    places: range,
    lows: Sequence[float | None],
    highs: Sequence[float | None],
    x: Place,
    y: Place,
) -> None:
    """Filled between the limits, with a thin dashed line along each."""
    lower, upper = (
        [
            (x(place), y(limit or 0.0))
            for place, limit in zip(places, limits, strict=True)
        ]
        for limits in (lows, highs)
    )
    around = [number for pair in [*upper, *reversed(lower)] for number in pair]
    drawing.add(Polygon(around, fillColor=colors.HexColor(SHADE), strokeColor=None))
    for edge in (lower, upper):
        line = PolyLine([number for pair in edge for number in pair])
        line.strokeColor, line.strokeWidth = colors.HexColor(SOFT_INK), 0.4
        line.strokeDashArray = [2, 1.5]
        drawing.add(line)


def _line_of(
    drawing: Drawing, places: range, points: Sequence[SheetPoint], x: Place, y: Place
) -> None:
    at = [
        (x(place), y(point.value or 0.0))
        for place, point in zip(places, points, strict=True)
    ]
    line = PolyLine([number for pair in at for number in pair])
    line.strokeColor, line.strokeWidth = colors.HexColor(ACCENT), 1.4
    drawing.add(line)
    for across, up in at:
        dot = Circle(across, up, 1.0, fillColor=colors.HexColor(ACCENT))
        dot.strokeColor = None
        drawing.add(dot)


def _stroke(x1: float, y1: float, x2: float, y2: float, colour: str) -> Line:
    return Line(x1, y1, x2, y2, strokeColor=colors.HexColor(colour), strokeWidth=0.4)


def _words(x: float, y: float, text: str, anchor: str) -> String:
    made = String(x, y, text, textAnchor=anchor, fontName=PLAIN, fontSize=SMALL)
    made.fillColor = colors.HexColor(SOFT_INK)
    return made
