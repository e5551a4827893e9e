"""The cost report on two to four sheets of paper, of the same figures as the page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import IO, Any

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, KeepTogether

from analytics.exports.cost_pdf_charts import month_bars, moving_sums, share_bar
from analytics.exports.paper import (
    HEADING,
    SMALL,
    TITLE,
    document_of,
    paragraph,
    table,
)
from analytics.reports.costs import comparison_table
from analytics.reports.costs.amounts import Amounts, CostRow, added
from analytics.reports.costs.breakdown import Breakdown
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.report import CostReport
from analytics.reports.costs.top_ten import TopTen
from plant.display import NO_VALUE, count, date_time, money, number, percent
from plant.tags.fonts import fonts_register

MOST_PAGES = 4
ROOM = 32 * mm
FIGURE_WIDTHS = (38, 25, 25, 32, 25, 32)
TOP_WIDTHS = (7, 54, 16, 23, 26, 12, 16, 24)
ROW_WIDTHS = (64, 17, 17, 27, 27, 26)
CHARTED_UNITS = 2


@dataclass(frozen=True, slots=True)
class _Size:
    """How much of each table is printed; tried one after the other until it fits."""

    rows: int
    units: int
    letters: int
    all_figures: bool


# The most that fits is printed, so that the last sheet is mostly full.
SIZES = (
    _Size(8, 3, 200, True),
    _Size(6, 3, 200, True),
    _Size(5, 3, 200, True),
    _Size(4, 2, 120, True),
    _Size(3, 2, 70, True),
    _Size(1, 2, 50, True),
    _Size(2, 2, 50, False),
    _Size(1, 1, 40, False),
)


def write_cost_pdf(
    target: IO[bytes],
    report: CostReport,
    *,
    made_on: datetime,
    progress: Callable[[int], None] = lambda done: None,
) -> None:
    """Write the sheets; the tables are cut to what four of them hold."""
    fonts_register()
    footer = f"What repairs cost, {report.scope.in_words()}. Made {date_time(made_on)}"
    report.breakdowns(list(CostGrouping))
    order = _units_by_use(report)
    content = b""
    for size in SIZES:
        content, pages = document_of(
            _story(report, order, size), title="What repairs cost", footer=footer
        )
        if pages <= MOST_PAGES:
            break
    target.write(content)
    progress(report.lines.count())


def _story(report: CostReport, order: list[str], size: _Size) -> list[Any]:
    question = report.question
    story: list[Any] = [
        paragraph("What repairs cost", TITLE),
        paragraph(_cut(report.scope.in_words(), size)),
        paragraph(f"{question.in_words} {question.money_in_words}"),
        paragraph("This period beside the one before and last year", HEADING),
        *_comparison(report, order, size),
        *_every_unit(report, order),
        *_months(report, order),
    ]
    for top in sorted(report.top_ten, key=lambda one: order.index(one.unit))[
        : size.units
    ]:
        story += _top(top, size)
    story += _heading("Broken down")
    for grouping in CostGrouping:
        if grouping is not CostGrouping.POSITION_MODE:
            story += _breakdown(report.breakdown(grouping), order, size)
    story += _heading("How this is counted")
    return [*story, *_notes(report)]


def _units_by_use(report: CostReport) -> list[str]:
    """Units of money, that of most positions first: it is the last to be cut."""
    shown = report.breakdown(CostGrouping.POSITION)
    rolled = [one.unit for one in report.rolling]
    used = dict.fromkeys([*shown.currencies, *report.comparison.units, *rolled], 0)
    for row in shown.rows:
        for unit in row.amounts:
            used[unit] += 1
    return sorted(used, key=lambda unit: (-used[unit], unit))


def _every_unit(report: CostReport, order: list[str]) -> list[Any]:
    """The total of the period in each unit, none left out."""
    total = report.breakdown(CostGrouping.POSITION).total
    if len(total.amounts) < 2:
        return []
    said = [
        f"{unit}: repair cost {money(amounts.repair_cost)}, lost production "
        f"{money(amounts.lost_production)}, environment and safety "
        f"{money(amounts.environment_safety)}"
        for unit in order
        if (amounts := total.amounts.get(unit)) is not None
    ]
    return [paragraph(f"This period, each by itself. {'; '.join(said)}.")]


def _months(report: CostReport, order: list[str]) -> list[Any]:
    heading = paragraph("The last 24 months", HEADING)
    if not report.rolling:
        return [heading, paragraph("No cost in these months.")]
    charts = [
        [month_bars(one), moving_sums(one)]
        for one in sorted(report.rolling, key=lambda one: order.index(one.unit))[
            :CHARTED_UNITS
        ]
    ]
    charts[0].insert(0, heading)
    return [KeepTogether(pair) for pair in charts]


def _heading(text: str) -> list[Any]:
    """Begins where some lines still fit below it."""
    return [CondPageBreak(ROOM), paragraph(text, HEADING)]


def _comparison(report: CostReport, order: list[str], size: _Size) -> list[Any]:
    comparison = report.comparison
    heads = [str(cell["label"]) for cell in comparison_table.columns(comparison)]
    lines = zip(comparison.lines, comparison_table.rows(comparison), strict=True)
    units = order[: size.units]
    rows = [
        [_figure(cell) for cell in cells]
        for line, cells in lines
        if (not line.unit or line.unit in units)
        and (size.all_figures or line.level == 0)
    ]
    shown = table(heads, rows, FIGURE_WIDTHS, numeric=(1, 2, 3, 4, 5))
    if len(rows) == len(comparison.lines):
        return [shown]
    rest = len(comparison.lines) - len(rows)
    further = f"and {count(rest, 'more figure')}: the workbook has them all."
    return [shown, paragraph(further, SMALL)]


def _figure(cell: dict[str, Any]) -> str:
    note = cell.get("note", "")
    return f"{cell['text']} ({note})" if note else str(cell["text"])


def _top(top: TopTen, size: _Size) -> list[Any]:
    rows: list[Sequence[Any]] = [
        (
            str(rank),
            _cut(", ".join(line.row.names), size),
            number(line.row.repairs),
            money(line.amounts.repair_cost),
            share_bar(line.share),
            percent(line.share),
            percent(line.running_share),
            money(line.amounts.lost_production),
        )
        for rank, line in enumerate(top.lines, start=1)
    ]
    rest, total = top.rest, top.total
    if top.rest_rows:
        rows.append(_sum_row(f"and {number(top.rest_rows)} more", rest, total))
    rows.append(_sum_row("All", total, total))
    heads = ["", str(top.grouping.label), "Repairs", f"Repair cost, {top.unit}"]
    heads += ("Share of all repair cost", "", "So far", f"Lost production, {top.unit}")
    title = f"Highest repair cost by {top.grouping.label.lower()}, {top.unit}"
    sheet = table(heads, rows, TOP_WIDTHS, numeric=(2, 3, 5, 6, 7))
    return [*_heading(title), sheet]


def _sum_row(name: str, amounts: Amounts, total: Amounts) -> Sequence[Any]:
    cost = total.repair_cost
    share = float(amounts.repair_cost / cost) if cost > 0 else 0.0
    spent, lost = money(amounts.repair_cost), money(amounts.lost_production)
    return ("", name, "", spent, share_bar(share), percent(share), "", lost)


def _breakdown(shown: Breakdown, order: list[str], size: _Size) -> list[Any]:
    rows: list[Sequence[Any]] = []
    units = sorted(shown.currencies, key=order.index)
    for unit in units[: size.units]:
        rows += _rows_in(shown, unit, size)
    further = units[size.units :]
    if further:
        names = ", ".join(further)
        rows.append((f"Amounts in {names} stand in the workbook.", *[""] * 5))
    heads = [str(shown.grouping.label), "In", "Repairs", "Repair cost"]
    heads += ("Lost production", "Environment and safety")
    return [table(heads, rows, ROW_WIDTHS, numeric=(2, 3, 4, 5)), paragraph(" ", SMALL)]


def _rows_in(shown: Breakdown, unit: str, size: _Size) -> list[Sequence[str]]:
    """The dearest rows in one unit of money, then all others together."""

    def dearest(row: CostRow) -> tuple[Any, ...]:
        amounts = row.amounts_in(unit)
        return -amounts.repair_cost, -amounts.lost_production, row.names

    ordered = sorted((row for row in shown.rows if unit in row.amounts), key=dearest)
    first, others = ordered[: size.rows], ordered[size.rows :]
    if len(others) == 1:
        first, others = ordered, []
    rows = [
        _row(
            _cut(", ".join(row.names), size), unit, _counted(row), row.amounts_in(unit)
        )
        for row in first
    ]
    if others:
        together = added([row.amounts_in(unit) for row in others])
        is_one = all(len(row.amounts) < 2 for row in others)
        repairs = number(sum(row.repairs for row in others)) if is_one else NO_VALUE
        rows.append(_row(f"and {number(len(others))} more", unit, repairs, together))
    return rows


def _counted(row: CostRow) -> str:
    """Repairs of the row; none beside one of several currencies, to mislead nobody."""
    return number(row.repairs) if len(row.amounts) < 2 else NO_VALUE


def _row(name: str, unit: str, repairs: str, amounts: Amounts) -> Sequence[str]:
    return (
        *(name, unit, repairs, money(amounts.repair_cost)),
        *(money(amounts.lost_production), money(amounts.environment_safety)),
    )


def _notes(report: CostReport) -> list[Any]:
    notes = [*report.notes(), *(("Check", note) for note in report.comparison.notes)]
    seen = dict.fromkeys(notes)
    return [paragraph(f"{label}: {text}", SMALL) for label, text in seen]


def _cut(text: str, size: _Size) -> str:
    most = size.letters
    return text if len(text) <= most else f"{text[: most - 1]}…"
