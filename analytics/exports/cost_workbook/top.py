"""The ten dearest rows of the chosen grouping, with live shares, and their chart."""

from collections.abc import Sequence
from typing import Any

from analytics.charts.theme import ACCENT, CAUTION, SOFT_INK
from analytics.exports.cost_workbook.months import CHART, bar_look
from analytics.exports.cost_workbook.sheet import Formats, RowSheet, sheet_add
from analytics.reports.costs.groupings import short_names
from analytics.reports.costs.top_ten import TopTen

NAME = "Top ten"
SHORT, REPAIR, PRODUCTION, SHARE, RUNNING = 3, 5, 6, 8, 9
HEADS = (
    *("Counted in", "Rank", "Name", "In short", "Repairs", "Repair cost"),
    *("Lost production", "Environment and safety"),
    *("Share of all repair cost", "Share so far"),
)
WIDTHS = (14, 8, 44, 18, 10, 18, 18, 18, 16, 16)


def top_sheet(book: Any, formats: Formats, tops: Sequence[TopTen]) -> list[Any]:
    """One chart a unit of money comes back, for the summary."""
    sheet = sheet_add(book, NAME, formats)
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)
    sheet.head_write(0, HEADS, numbers=SHORT + 1)
    sheet.print_set_up(0, NAME)
    row, charts = 1, []
    for top in tops:
        charts.append(top_chart(book, top, row))
        row = _block(sheet, row, top) + 1
    for place, top in enumerate(tops):
        first = row + 1 + 17 * place
        sheet.insert_chart(first, 0, top_chart(book, top, _row_of(tops, place)))
    return charts


def _row_of(tops: Sequence[TopTen], place: int) -> int:
    """Where the block begins: lines, the rest, the total, an empty row."""
    return 1 + sum(len(top.lines) + 3 for top in tops[:place])


def _block(sheet: RowSheet, row: int, top: TopTen) -> int:
    first, total = row, row + len(top.lines) + 1
    money = sheet.formats.money
    for rank, line in enumerate(top.lines, start=1):
        sheet.text_write(row, 0, top.unit)
        sheet.write_number(row, 1, rank)
        sheet.text_write(row, 2, ", ".join(line.row.names))
        sheet.text_write(row, SHORT, short_names(line.row.names, top.grouping))
        sheet.write_number(row, SHORT + 1, line.row.repairs, sheet.formats.whole)
        _amounts(sheet, row, line.amounts, money)
        shares = (
            (f"=F{row + 1}/F${total + 1}", line.share),
            (f"=SUM(F${first + 1}:F{row + 1})/F${total + 1}", line.running_share),
        )
        for column, (formula, value) in enumerate(shares, start=SHARE):
            if top.total.repair_cost > 0:
                sheet.write_formula(row, column, formula, sheet.formats.share, value)
        row += 1
    sheet.text_write(row, 0, top.unit)
    sheet.text_write(row, 2, f"All others together, {top.rest_rows}")
    _amounts(sheet, row, top.rest, money)
    _total(sheet, row + 1, first, top)
    return row + 2


def _amounts(sheet: RowSheet, row: int, amounts: Any, dress: Any) -> None:
    values = (amounts.repair_cost, amounts.lost_production, amounts.environment_safety)
    for column, value in enumerate(values, start=REPAIR):
        sheet.write_number(row, column, float(value), dress)


def _total(sheet: RowSheet, row: int, first: int, top: TopTen) -> None:
    amounts = top.total
    sheet.text_write(row, 0, top.unit, sheet.formats.strong)
    sheet.text_write(row, 2, "All", sheet.formats.strong)
    values = (amounts.repair_cost, amounts.lost_production, amounts.environment_safety)
    for letter, column, value in zip("FGH", range(REPAIR, SHARE), values, strict=True):
        formula = f"=SUM({letter}{first + 1}:{letter}{row})"
        dress = sheet.formats.money_total
        sheet.write_formula(row, column, formula, dress, float(value))


def top_chart(book: Any, top: TopTen, first: int) -> Any:
    """Bars side by side, never stacked, and the share that the first make together."""
    last = first + len(top.lines) - 1
    names = [short_names(line.row.names, top.grouping) for line in top.lines]
    bars = book.add_chart({"type": "column"})
    shares = book.add_chart({"type": "line"})

    def series(name: str, column: int, values: list[float]) -> dict[str, Any]:
        return {
            "name": name,
            "categories": [NAME, first, SHORT, last, SHORT],
            "values": [NAME, first, column, last, column],
            "categories_data": names,
            "values_data": values,
        }

    costs = [float(line.amounts.repair_cost) for line in top.lines]
    lost = [float(line.amounts.lost_production) for line in top.lines]
    running = [line.running_share for line in top.lines]
    bars.add_series(series("Repair cost", REPAIR, costs) | bar_look(0, ACCENT))
    bars.add_series(series("Lost production", PRODUCTION, lost) | bar_look(1, CAUTION))
    dots = {"type": "diamond", "size": 7, "fill": {"color": "white"}}
    dress = {"line": {"color": SOFT_INK, "width": 1.5, "dash_type": "dash"}}
    of_all = series("Share of all repair cost so far", RUNNING, running)
    shares.add_series(of_all | dress | {"marker": dots, "y2_axis": True})
    bars.combine(shares)
    title = f"Highest repair cost by {top.grouping.label.lower()}, {top.unit}"
    bars.set_title({"name": title, "name_font": {"size": 12}})
    bars.set_x_axis({"num_font": {"rotation": -45}})
    bars.set_y_axis({"name": top.unit, "num_format": "#,##0"})
    shares.set_y2_axis({"min": 0, "max": 1, "num_format": "0%"})
    bars.set_legend({"position": "bottom"})
    bars.set_size(CHART)
    return bars
