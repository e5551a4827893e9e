"""The charts of an upgrade case, each with its table and how to read it."""

from typing import Any

import numpy as np

from analytics.charts.cash_flow import cash_flow
from analytics.charts.payback_chance import payback_chance
from analytics.charts.theme import figure_json
from analytics.charts.tornado import TornadoLine, tornado
from analytics.money.upgrade_simulation import TornadoBar
from analytics.reports.budget.figures import amount
from analytics.reports.upgrades.figures import spends
from analytics.reports.upgrades.report import UpgradeReport
from analytics.reports.upgrades.shown import shown
from analytics.tables import Cell
from plant.display import count, number, percent

Chart = dict[str, Any]
MOST_MONTHS_LISTED = 6
TORNADO_COLUMNS: list[Cell] = [
    {"label": "Input"},
    {"label": "5 % limit", "numeric": True},
    {"label": "Net present value there", "numeric": True},
    {"label": "95 % limit", "numeric": True},
    {"label": "Net present value there", "numeric": True},
]
CHANCE_COLUMNS: list[Cell] = [
    {"label": "Months from today"},
    {"label": "Simple", "numeric": True},
    {"label": "Discounted", "numeric": True},
]
FLOW_COLUMNS: list[Cell] = [
    {"label": "Year"},
    {"label": "Money of the year", "numeric": True},
    {"label": "Sum so far", "numeric": True},
    {"label": "90 % of the sums, from", "numeric": True},
    {"label": "to", "numeric": True},
]
# Names of the sums that the table of inputs knows by another.
INPUT_OF = {"environment_cost": "environment"}


def charts(report: UpgradeReport) -> list[Chart]:
    """All that can be drawn, the most telling first."""
    if report.result is None:
        return []
    drawn = [chance_chart(report), cash_chart(report)]
    drawn = drawn if spends(report.result) else drawn[1:]
    return [*drawn, tornado_chart(report)] if report.result.tornado else drawn


def _number(words: str) -> Cell:
    return {"text": words, "numeric": True}


def tornado_chart(report: UpgradeReport) -> Chart:
    assert report.result is not None
    worth, bars = report.result.net_present_value, report.result.tornado
    lines = [_tornado_line(report, bar) for bar in bars]
    first = bars[0]
    reading = (
        "Each bar moves one input to its 5 % and its 95 % limit, the others at their "
        f"mean. {lines[0].label} matters most: between "
        f"{amount(min(first.at_low, first.at_high), report.currency)} and "
        f"{amount(max(first.at_low, first.at_high), report.currency)}. A bar across "
        "the dashed line can turn gain into loss by itself."
    )
    rows = [
        [
            {"text": line.label},
            *(_number(line.low), _number(amount(line.at_low, report.currency))),
            *(_number(line.high), _number(amount(line.at_high, report.currency))),
        ]
        for line in lines
    ]
    outcome = f"Net present value, {report.currency}"
    return {
        "id": "upgrade-tornado",
        "heading": "What the net present value hangs on",
        "reading": reading,
        "figure": figure_json(tornado(lines, worth, outcome)),
        "columns": TORNADO_COLUMNS,
        "rows": rows,
    }


def _tornado_line(report: UpgradeReport, bar: TornadoBar) -> TornadoLine:
    key = INPUT_OF.get(bar.name, bar.name)
    line = next(line for line in report.inputs if line.key == key)
    low, high = (shown(end, line.unit, report.currency) for end in (bar.low, bar.high))
    return TornadoLine(line.label, bar.at_low, bar.at_high, low, high)


def chance_chart(report: UpgradeReport) -> Chart:
    assert report.result is not None
    simulation, asked = report.result.simulation, report.assumptions.payback_months
    months = list(range(1, simulation.horizon_months + 1))
    simple, discounted = (
        [simulation.payback_probability(m, discounted=d) for m in months]
        for d in (False, True)
    )
    reading = (
        f"After {asked} months {percent(simple[asked - 1])} of the simulations have "
        f"paid back, {percent(discounted[asked - 1])} with interest; after "
        f"{months[-1]} months {percent(simple[-1])} and {percent(discounted[-1])}. "
        "The dashed line stands at the months asked for."
    )
    listed = [m for m in months if m % MOST_MONTHS_LISTED == 0]
    rows = [
        [
            {"text": number(m)},
            _number(percent(simple[m - 1])),
            _number(percent(discounted[m - 1])),
        ]
        for m in listed
    ]
    return {
        "id": "upgrade-chance",
        "heading": "Chance to have paid back by month",
        "reading": reading,
        "figure": figure_json(
            payback_chance([0, *months], [0.0, *simple], [0.0, *discounted], asked)
        ),
        "columns": CHANCE_COLUMNS,
        "rows": rows,
    }


def cash_chart(report: UpgradeReport) -> Chart:
    assert report.result is not None
    assert report.drawn is not None
    flows = report.result.cash_flows
    so_far = flows.cumsum()
    sums = report.drawn.cash_flows.cumsum(axis=1)
    low, high = np.quantile(sums, [0.05, 0.95], axis=0)
    currency = report.currency
    reading = (
        f"Bars are the money of each year, not discounted; the line adds them up and "
        f"ends at {amount(so_far[-1], currency)} after "
        f"{count(flows.size - 1, 'year')}. Nine simulations in ten end between "
        f"{amount(low[-1], currency)} and {amount(high[-1], currency)}."
    )
    rows = [
        [
            {"text": number(year) if year else "today"},
            *(
                _number(amount(value, currency))
                for value in (flows[year], so_far[year], low[year], high[year])
            ),
        ]
        for year in range(flows.size)
    ]
    drawn = cash_flow(
        flows.tolist(), so_far.tolist(), low.tolist(), high.tolist(), currency
    )
    return {
        "id": "upgrade-cash",
        "heading": "Money out and in",
        "reading": reading,
        "figure": figure_json(drawn),
        "columns": FLOW_COLUMNS,
        "rows": rows,
    }
