"""Columns, cells and export rows of the Costs page; page and files share them."""

from decimal import Decimal
from typing import Any

from django.urls import reverse

from analytics.reports.costs.report import Amounts, CostGrouping, CostReport, CostRow
from analytics.reports.costs.work import Work
from analytics.tables import Cell, SortKeys
from plant.display import money, number
from plant.listing import Column

USUAL_SORT = "name"
NO_COST_YET = "no cost yet"
NAME_COLUMNS = {
    CostGrouping.POSITION_MODE: ("Position", "Failure mode"),
    CostGrouping.POSITION: ("Position",),
    CostGrouping.MODE: ("Failure mode",),
    CostGrouping.ITEM: ("Item",),
    CostGrouping.AREA: ("Area",),
}
PARTS = {
    "repair": "Repair cost",
    "production": "Lost production",
    "environment": "Environment and safety",
}


def parts_of(amounts: Amounts) -> list[tuple[Decimal, Decimal]]:
    """Sum and the estimated part of it, for each kind of cost in turn."""
    return [
        (amounts.repair_cost, amounts.repair_estimate),
        (amounts.lost_production, amounts.production_estimate),
        (amounts.environment_safety, amounts.environment_estimate),
    ]


def parts_in(row: CostRow, currency: str) -> list[tuple[Decimal | None, ...]]:
    """The same for one currency; nothing where the row has no line in it."""
    amounts = row.amounts.get(currency)
    return [(None, None)] * len(PARTS) if amounts is None else [*parts_of(amounts)]


def sort_keys(report: CostReport) -> SortKeys:
    keys: dict[str, Any] = {
        "name": lambda row: row.names,
        "repairs": lambda row: row.repairs,
    }
    for currency in report.currencies:
        for place, part in enumerate(PARTS):
            keys[f"{part}-{currency}"] = lambda row, place=place, currency=currency: (
                parts_of(row.amounts_in(currency))[place][0]
            )
    return keys


def columns(report: CostReport) -> list[Column]:
    first, *rest = NAME_COLUMNS[report.grouping]
    listed = [Column(first, "name"), *[Column(label) for label in rest]]
    listed.append(Column("Repairs", "repairs", numeric=True))
    for currency in report.currencies:
        listed += [
            Column(f"{label}, {currency}", f"{part}-{currency}", numeric=True)
            for part, label in PARTS.items()
        ]
    return listed


def cells(row: CostRow, report: CostReport) -> list[Cell]:
    found: list[Cell] = [{"text": name} for name in row.names]
    if row.position is not None:
        found[0]["url"] = reverse("plant:position_detail", args=[row.position])
    found += [{"text": ""}] * (len(NAME_COLUMNS[report.grouping]) - len(found))
    found.append({"text": number(row.repairs), "numeric": True})
    note = "" if row.amounts else NO_COST_YET
    for currency in report.currencies:
        for total, estimate in parts_in(row, currency):
            note = f"{money(estimate)} estimated" if estimate else note
            found.append({"text": money(total), "numeric": True, "note": note})
            note = ""
    return found


def export_header(report: CostReport) -> list[str]:
    return [
        *NAME_COLUMNS[report.grouping],
        "Repairs",
        *[
            f"{label} {currency}{of_it}"
            for currency in report.currencies
            for label in PARTS.values()
            for of_it in ("", ", of it estimated")
        ],
    ]


def export_row(row: CostRow, report: CostReport) -> list[Any]:
    names = [*row.names, *[""] * (len(NAME_COLUMNS[report.grouping]) - len(row.names))]
    amounts = [
        amount
        for currency in report.currencies
        for pair in parts_in(row, currency)
        for amount in pair
    ]
    return [*names, row.repairs, *amounts]


def tiles(report: CostReport) -> list[Cell]:
    """Totals of each currency, each kind of cost by itself."""
    return [
        {
            "label": label,
            "value": money(total),
            "unit": currency,
            "interval": _of_failures(failures, currency, report.work),
            "note": f"{money(estimate, currency)} of it estimated",
        }
        for currency in report.currencies
        for label, (total, estimate), (failures, _) in zip(
            PARTS.values(),
            parts_of(report.total.amounts_in(currency)),
            parts_of(report.failures.get(currency, Amounts())),
            strict=True,
        )
    ]


def _of_failures(amount: Decimal, currency: str, work: Work) -> str:
    """The line of a tile that says what failures alone cost."""
    return f"of it failures: {money(amount, currency)}" if work is Work.ALL else ""
