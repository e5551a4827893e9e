"""The rolling 24 months as a table, and as a chart that lives in the workbook."""

from collections.abc import Sequence
from typing import Any

from analytics.charts.theme import ACCENT, CAUTION, INK
from analytics.exports.cost_workbook.sheet import Formats, sheet_add
from analytics.reports.costs.rolling import Rolling

NAME = "Months"
SERIES = {
    "repair": "Repair cost",
    "production": "Lost production",
    "repair_12": "Repair cost, 12 months",
    "production_12": "Lost production, 12 months",
}
LINES = ("repair_12", "production_12")
COLOURS = (ACCENT, CAUTION)
WIDTH = 18
CHART = {"width": 1000, "height": 320}


def months_sheet(book: Any, formats: Formats, series: Sequence[Rolling]) -> None:
    sheet = sheet_add(book, NAME, formats)
    heads = [f"{label}, {one.unit}" for one in series for label in SERIES.values()]
    sheet.set_column(0, 0, 10)
    sheet.set_column(1, max(1, len(heads)), WIDTH)
    sheet.head_write(0, ["Month", *heads], numbers=1)
    sheet.print_set_up(0, NAME)
    months = zip(*(one.months for one in series), strict=True)
    row = 0
    for row, same in enumerate(months, start=1):
        sheet.write_datetime(row, 0, same[0].window.start, formats.month)
        amounts = [getattr(month, name) for month in same for name in SERIES]
        for column, amount in enumerate(amounts, start=1):
            sheet.write_number(row, column, float(amount), formats.money)
    for place, one in enumerate(series):
        chart = months_chart(book, one, place)
        sheet.insert_chart(row + 2 + 17 * place, 0, chart)


def months_chart(book: Any, one: Rolling, place: int) -> Any:
    """Bars a month, lines for twelve; the two kinds of cost differ by hatching too."""
    bars = book.add_chart({"type": "column"})
    lines = book.add_chart({"type": "line"})
    months = [month.label for month in one.months]
    for at, (name, label) in enumerate(SERIES.items()):
        column = 1 + place * len(SERIES) + at
        colour = COLOURS[at % 2]
        series: dict[str, Any] = {
            "name": label,
            "categories": [NAME, 1, 0, len(months), 0],
            "values": [NAME, 1, column, len(months), column],
            "categories_data": months,
            "values_data": [float(getattr(month, name)) for month in one.months],
        }
        if name in LINES:
            dash = "solid" if at % 2 == 0 else "dash"
            look = {"color": colour, "width": 2, "dash_type": dash}
            lines.add_series(series | {"line": look, "y2_axis": True})
        else:
            bars.add_series(series | bar_look(at, colour))
    bars.combine(lines)
    bars.set_title({"name": f"Month by month, {one.unit}", "name_font": {"size": 12}})
    bars.set_x_axis({"num_format": "yyyy-mm", "num_font": {"rotation": -60}})
    bars.set_y_axis({"name": f"A month, {one.unit}", "num_format": "#,##0"})
    lines.set_y2_axis({"name": f"12 months, {one.unit}", "num_format": "#,##0"})
    bars.set_legend({"position": "bottom"})
    bars.set_size(CHART)
    return bars


def bar_look(place: int, colour: str) -> dict[str, Any]:
    """Filled, or hatched on white: told apart without colour."""
    edge = {"border": {"color": INK, "width": 0.5}}
    if place % 2 == 0:
        return {"fill": {"color": colour}, **edge}
    hatch = {"pattern": "wide_upward_diagonal", "fg_color": colour, "bg_color": "white"}
    return {"pattern": hatch, **edge}
