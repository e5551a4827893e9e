"""Charts of the cost report on paper: readable in grey, drawn by the plain shapes."""

from collections.abc import Callable, Sequence
from decimal import Decimal

from reportlab.graphics.shapes import Drawing, Line, PolyLine, Rect, String
from reportlab.lib import colors
from reportlab.lib.units import mm

from analytics.charts.theme import ACCENT, CAUTION, HAIRLINE, INK, SOFT_INK
from analytics.reports.costs.rolling import Rolling, RollingMonth
from plant.display import number
from plant.tags.fonts import PLAIN

WIDTH, HEIGHT = 178 * mm, 44 * mm
LEFT, RIGHT, FOOT, HEAD = 18 * mm, 4 * mm, 9 * mm, 7 * mm
SMALL = 6.5
TICKS = 4
STEPS = (1, 2, 2.5, 5, 10)
Value = Callable[[RollingMonth], Decimal]


def month_bars(one: Rolling) -> Drawing:
    """What each month cost: repair cost filled, lost production outlined."""
    values: list[Value] = [lambda m: m.repair, lambda m: m.production]
    drawing, y = _axes(one, values, f"A month, {one.unit}")
    slot = _slot(one)
    for place, month in enumerate(one.months):
        left = LEFT + place * slot
        for at, value in enumerate(values):
            top, floor = y(float(value(month))), y(0.0)
            bar = Rect(
                left + slot * (0.12 + 0.38 * at),
                min(top, floor),
                slot * 0.34,
                abs(top - floor),
            )
            bar.fillColor = colors.HexColor(ACCENT) if at == 0 else colors.white
            bar.strokeColor = colors.HexColor((ACCENT, CAUTION)[at])
            bar.strokeWidth = 0.7
            drawing.add(bar)
    _legend(drawing, ("repair cost (filled)", "lost production (outlined)"))
    return drawing


def moving_sums(one: Rolling) -> Drawing:
    """The sum of twelve months at the end of each: one line solid, one dashed."""
    values: list[Value] = [lambda m: m.repair_12, lambda m: m.production_12]
    drawing, y = _axes(one, values, f"12 months up to the month, {one.unit}")
    slot = _slot(one)
    for at, value in enumerate(values):
        points: list[float] = []
        for place, month in enumerate(one.months):
            points += [LEFT + (place + 0.5) * slot, y(float(value(month)))]
        line = PolyLine(points)
        line.strokeColor = colors.HexColor((ACCENT, CAUTION)[at])
        line.strokeWidth = 1.4
        line.strokeDashArray = None if at == 0 else [4, 2]
        drawing.add(line)
    _legend(drawing, ("repair cost (solid)", "lost production (dashed)"))
    return drawing


def share_bar(share: float, width: float = 24 * mm) -> Drawing:
    """One bar of a Pareto table; the full width is all."""
    drawing = Drawing(width, 3 * mm)
    frame = Rect(0, 0.3 * mm, width, 2.4 * mm, fillColor=colors.white)
    frame.strokeColor, frame.strokeWidth = colors.HexColor(HAIRLINE), 0.4
    drawing.add(frame)
    bar = Rect(0, 0.3 * mm, width * min(max(share, 0.0), 1.0), 2.4 * mm)
    bar.fillColor, bar.strokeColor = colors.HexColor(ACCENT), None
    drawing.add(bar)
    return drawing


def _slot(one: Rolling) -> float:
    return float((WIDTH - LEFT - RIGHT) / max(1, len(one.months)))


def _axes(
    one: Rolling, values: Sequence[Value], title: str
) -> tuple[Drawing, Callable[[float], float]]:
    drawing = Drawing(WIDTH, HEIGHT)
    amounts = [float(value(month)) for month in one.months for value in values]
    step = tick_step(max([0.0, *amounts]) - min([0.0, *amounts]))
    lowest = int(min([0.0, *amounts]) // step)
    highest = max(lowest + 1, int(-(-max([0.0, *amounts]) // step)))
    room = HEIGHT - FOOT - HEAD

    def y(amount: float) -> float:
        return float(FOOT + room * (amount / step - lowest) / (highest - lowest))

    for tick in range(lowest, highest + 1):
        at = y(tick * step)
        drawing.add(_line(LEFT, at, WIDTH - RIGHT, at, HAIRLINE))
        drawing.add(_words(LEFT - 2, at - 2, number(tick * step), "end"))
    drawing.add(_line(LEFT, y(0.0), WIDTH - RIGHT, y(0.0), SOFT_INK))
    drawing.add(_words(0, HEIGHT - 2.6 * mm, title, "start"))
    for place, month in enumerate(one.months):
        if (len(one.months) - 1 - place) % 3 == 0:
            middle = LEFT + (place + 0.5) * _slot(one)
            drawing.add(_words(middle, FOOT - 4 * mm, month.label, "middle"))
    return drawing, y


def tick_step(span: float) -> float:
    """A round distance of ticks: one to a handful of them over the span."""
    if span <= 0:
        return 1.0
    power = 10.0 ** (len(str(int(span / TICKS))) - 1)
    return next(step * power for step in STEPS if step * power * TICKS >= span)


def _line(x1: float, y1: float, x2: float, y2: float, colour: str) -> Line:
    return Line(x1, y1, x2, y2, strokeColor=colors.HexColor(colour), strokeWidth=0.4)


def _words(x: float, y: float, text: str, anchor: str) -> String:
    made = String(x, y, text, textAnchor=anchor, fontName=PLAIN, fontSize=SMALL)
    made.fillColor = colors.HexColor(SOFT_INK if anchor != "start" else INK)
    return made


def _legend(drawing: Drawing, names: Sequence[str]) -> None:
    """Named by look, so that a copy in grey still tells them apart."""
    drawing.add(_words(WIDTH - RIGHT, HEIGHT - 2.6 * mm, "; ".join(names), "end"))
