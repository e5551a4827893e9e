"""What the page on energy and wear is given to show."""

from collections import defaultdict
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics.reports.costs.tabs import costs_tabs
from analytics.reports.energy import table as energy_table
from analytics.reports.energy.judging import Verdict
from analytics.reports.energy.report import EnergyLine, EnergyReport
from analytics.reports.energy.words import method
from analytics.tables import Cell, address_with, in_order, with_usual_sort
from analytics.wording import confidence_label, whole
from plant.display import count, number
from plant.listing import PAGE_SIZE, header_cells

# Settings that a link to one position takes along.
CARRIED = ("motor", "confidence")
EMPTY = (
    "No position here has flow, head (or both pressures) and power read within an hour "
    "in the last two years. Log them together at the pump's readings."
)
SUM_WORDS = "limits added up, as if all erred the same way"


def context(report: EnergyReport, query: QueryDict) -> Cell:
    lines = lines_in_order(report, query)
    page = Paginator(lines, PAGE_SIZE).get_page(query.get("page"))
    shown = with_usual_sort(query, energy_table.USUAL_SORT)
    asked = _carried(query)
    export = address_with(reverse("analytics:energy_export"), query)
    return {
        "report": report,
        "subtitle": report.scope.in_words().rsplit(", ", 1)[0],
        "tabs": costs_tabs("energy", query),
        "tiles": tiles(report),
        "page": page,
        "caption": energy_table.caption(report),
        "columns": header_cells(energy_table.COLUMNS, shown),
        "rows": [energy_table.cells(line, asked) for line in page.object_list],
        "empty": EMPTY,
        "notes": _notes(report),
        "method": method(report.motor_efficiency),
        "export_urls": [{"label": "CSV", "url": export}],
    }


def lines_in_order(report: EnergyReport, query: QueryDict) -> list[EnergyLine]:
    usual = energy_table.USUAL_SORT
    # By tag first, so that lines without a figure keep an order of their own.
    return in_order(report.lines, energy_table.SORT_KEYS, query, usual)


def _carried(query: QueryDict) -> str:
    kept = {name: query[name] for name in CARRIED if query.get(name)}
    return f"?{urlencode(kept)}" if kept else ""


def tiles(report: EnergyReport) -> list[Cell]:
    verdicts = report.verdicts
    judged = len(report.lines) - verdicts[Verdict.NO_FIGURE]
    return [
        {
            "label": "Positions with rounds",
            "value": number(len(report.lines)),
            "note": f"{number(judged)} judged; "
            f"{number(verdicts[Verdict.NO_FIGURE])} without a figure, each says why",
        },
        {
            "label": "Wear shows",
            "value": number(verdicts[Verdict.WORN]),
            "note": f"{count(verdicts[Verdict.SMALL], 'more drop')} within meter error",
        },
        _energy_tile(report),
        *_cost_tiles(report),
    ]


def _energy_tile(report: EnergyReport) -> Cell:
    worn = [line.kwh for line in report.worn() if line.kwh is not None]
    if not worn:
        return {"label": "Energy wasted by wear", "value": "none shown"}
    low, high = (
        sum(float(getattr(one.interval, end)) for one in worn)
        for end in ("low", "high")
    )
    label = confidence_label(report.scope.confidence)
    return {
        "label": "Energy wasted by wear",
        "value": whole(sum(one.value for one in worn)),
        "unit": "kWh a year",
        "interval": f"{label}: {whole(low)} to {whole(high)} kWh",
        "note": f"{count(len(worn), 'position')}; {SUM_WORDS}",
    }


def _cost_tiles(report: EnergyReport) -> list[Cell]:
    """One a currency, never added up."""
    by_currency: dict[str, list[EnergyLine]] = defaultdict(list)
    for line in report.worn():
        if line.cost is not None:
            by_currency[line.position.site.currency].append(line)
    label = confidence_label(report.scope.confidence)
    found = []
    for currency, lines in sorted(by_currency.items()):
        costs = [line.cost for line in lines if line.cost is not None]
        low, high = (
            sum(float(getattr(one.interval, end)) for one in costs)
            for end in ("low", "high")
        )
        found.append(
            {
                "label": f"Cost of it, {currency}",
                "value": whole(sum(one.value for one in costs)),
                "unit": "a year",
                "interval": f"{label}: {whole(low)} to {whole(high)}",
                "note": f"{count(len(costs), 'position')}; {SUM_WORDS}",
            }
        )
    return found


def _notes(report: EnergyReport) -> list[str]:
    notes = []
    left_out = [
        count(size, noun)
        for size, noun in (
            (report.struck, "struck reading"),
            (report.standby, "reading at a standby pump,readings at standby pumps"),
        )
        if size
    ]
    if left_out:
        notes.append(f"Left out: {' and '.join(left_out)}.")
    without = sorted(
        {
            line.position.site.name
            for line in report.lines
            if line.position.site.energy_price_per_kwh is None
        }
    )
    if without:
        notes.append(
            f"Without an energy price, so energy stands there without money: "
            f"{', '.join(without)}. An administrator keeps the price of a site."
        )
    return notes
