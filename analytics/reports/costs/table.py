"""Columns, cells and export rows of a cost table; page and files share them."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, Protocol

from django.http import QueryDict
from django.urls import reverse

from analytics.reports.costs.amounts import NO_AMOUNTS, Amounts, CostRow, cents
from analytics.reports.costs.groupings import NAME_COLUMNS, CostGrouping, page_of_row
from analytics.reports.costs.links import (
    money_url,
    repairs_url,
    row_money_url,
    row_url,
)
from analytics.reports.costs.report import CostReport
from analytics.reports.costs.work import Work
from analytics.tables import Cell, SortKeys, address_with
from plant.display import count, money, number
from plant.listing import Column
from records.choices import CostKind
from records.selectors.repair_filter import REPAIR_COST

USUAL_SORT = "name"
NO_COST_YET = "no cost yet"
PARTS = {
    "repair": "Repair cost",
    "production": "Lost production",
    "environment": "Environment and safety",
}
ASKED = {
    "repair": REPAIR_COST,
    "production": CostKind.LOST_PRODUCTION.value,
    "environment": CostKind.ENVIRONMENT_SAFETY.value,
}


class CostTable(Protocol):
    """The report or one of its breakdowns."""

    @property
    def grouping(self) -> CostGrouping: ...

    @property
    def currencies(self) -> list[str]: ...


def parts_of(amounts: Amounts) -> list[tuple[Decimal, Decimal]]:
    """Sum and the estimated part of it, for each kind of cost in turn."""
    return [
        (amounts.repair_cost, amounts.repair_estimate),
        (amounts.lost_production, amounts.production_estimate),
        (amounts.environment_safety, amounts.environment_estimate),
    ]


def parts_in(row: CostRow, unit: str) -> list[tuple[Decimal | None, ...]]:
    """The same for one unit of money; nothing where the row has no line in it."""
    amounts = row.amounts.get(unit)
    return [(None, None)] * len(PARTS) if amounts is None else [*parts_of(amounts)]


def sort_keys(table: CostTable) -> SortKeys:
    keys: dict[str, Any] = {
        "name": lambda row: row.names,
        "repairs": lambda row: row.repairs,
    }
    for unit in table.currencies:
        for place, part in enumerate(PARTS):
            keys[f"{part}-{unit}"] = lambda row, place=place, unit=unit: parts_of(
                row.amounts_in(unit)
            )[place][0]
    return keys


def columns(table: CostTable) -> list[Column]:
    first, *rest = NAME_COLUMNS[table.grouping]
    listed = [Column(first, "name"), *[Column(label) for label in rest]]
    listed.append(Column("Repairs", "repairs", numeric=True))
    for unit in table.currencies:
        listed += [
            Column(f"{label}, {unit}", f"{part}-{unit}", numeric=True)
            for part, label in PARTS.items()
        ]
    return listed


def cells(row: CostRow, report: CostReport) -> list[Cell]:
    """One row of the report's own table; each figure opens its repairs."""
    question, grouping = report.question, report.grouping
    found: list[Cell] = [{"text": name} for name in row.names]
    found[0]["url"] = page_of_row(grouping, row.key)
    found.append(
        {
            "text": number(row.repairs),
            "numeric": True,
            "url": row_url(question, grouping, row.key),
        }
    )
    note = "" if row.amounts else NO_COST_YET
    for unit in report.currencies:
        for part, (total, estimate) in zip(PARTS, parts_in(row, unit), strict=True):
            note = f"{money(estimate)} estimated" if estimate else note
            url = row_money_url(question, grouping, row.key, cost_kind=ASKED[part])
            found.append(_money_cell(total, url, note))
            note = ""
    return found


def total_cells(report: CostReport) -> list[Cell]:
    names = [""] * (len(NAME_COLUMNS[report.grouping]) - 1)
    found: list[Cell] = [{"text": text} for text in [*report.total.names, *names]]
    found.append({"text": number(report.total.repairs), "numeric": True})
    for unit in report.currencies:
        for total, _ in parts_in(report.total, unit):
            found.append(_money_cell(total))
    return found


def _money_cell(amount: Decimal | None, url: str = "", note: str = "") -> Cell:
    return {
        "text": money(amount),
        "numeric": True,
        "note": note,
        "url": url if amount else "",
    }


def export_header(table: CostTable) -> list[str]:
    return [
        *NAME_COLUMNS[table.grouping],
        "Repairs",
        *[
            f"{label} {unit}{of_it}"
            for unit in table.currencies
            for label in PARTS.values()
            for of_it in ("", ", of it estimated")
        ],
    ]


def export_row(row: CostRow, table: CostTable) -> list[Any]:
    names = [*row.names, *[""] * (len(NAME_COLUMNS[table.grouping]) - len(row.names))]
    amounts: Sequence[Decimal | None] = [
        amount
        for unit in table.currencies
        for pair in parts_in(row, unit)
        for amount in pair
    ]
    return [
        *names,
        row.repairs,
        *[None if amount is None else cents(amount) for amount in amounts],
    ]


def tiles(report: CostReport) -> list[Cell]:
    """Totals of each unit of money, each kind of cost by itself."""
    window = report.scope.window
    found: list[Cell] = [
        {
            "label": label,
            "value": money(total),
            "unit": unit,
            "interval": _of_failures(failures, unit, report.work),
            "note": f"{money(estimate, unit)} of it estimated",
            "url": money_url(report.question, window, cost_kind=ASKED[part])
            if total
            else "",
        }
        for unit in report.currencies
        for (part, label), (total, estimate), (failures, _) in zip(
            PARTS.items(),
            parts_of(report.total.amounts_in(unit)),
            parts_of(report.failures.get(unit, NO_AMOUNTS)),
            strict=True,
        )
    ]
    return [*found, *_worked_out_tiles(report)]


def _worked_out_tiles(report: CostReport) -> list[Cell]:
    """A third kind of figure: nobody entered it, so no sum of cost holds it."""
    worked_out = report.worked_out
    url = address_with(reverse("analytics:lost_production"), _place(report))
    return [
        {
            "label": "Lost production worked out, not entered",
            "value": money(amount),
            "unit": currency,
            "note": f"From {count(worked_out.stoppages, 'stoppage')} without a figure "
            "in the ledger; in no sum of this page",
            "url": url,
        }
        for currency, amount in sorted(worked_out.amounts.items())
        if amount
    ]


def _place(report: CostReport) -> QueryDict:
    """Days and place as the page of lost production asks for them."""
    scope = report.scope
    asked = QueryDict(mutable=True)
    asked["start"], asked["end"] = str(scope.window.start), str(scope.window.end)
    if scope.site is not None:
        asked["site"] = str(scope.site.pk)
    if scope.area is not None:
        asked["area"] = str(scope.area.pk)
    return asked


def _of_failures(amount: Decimal, unit: str, work: Work) -> str:
    """The line of a tile that says what failures alone cost."""
    return f"of it failures: {money(amount, unit)}" if work is Work.ALL else ""


def all_repairs_url(report: CostReport) -> str:
    """The repairs page with everything that is added up here."""
    return repairs_url(report.question, report.scope.window)
