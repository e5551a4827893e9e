"""Tables of an upgrade case."""

from collections.abc import Iterable

from analytics.money.life_cycle_cost import ELEMENTS
from analytics.reports.budget.figures import amount
from analytics.reports.upgrades.drawn import drawn_of
from analytics.reports.upgrades.figures import CaseFigure, figures_of
from analytics.reports.upgrades.report import UpgradeReport
from analytics.reports.upgrades.shown import limits_of, value_of
from analytics.tables import Cell
from plant.display import NO_VALUE

FIGURE_COLUMNS: list[Cell] = [
    {"label": "Figure"},
    {"label": "Value", "numeric": True},
    {"label": "90 % limits", "numeric": True},
]
INPUT_COLUMNS: list[Cell] = [
    {"label": "Input"},
    {"label": "Value", "numeric": True},
    {"label": "90 % limits", "numeric": True},
    {"label": "From"},
    {"label": "How"},
]
COST_COLUMNS: list[Cell] = [
    {"label": "Element"},
    {"label": "Without the change", "numeric": True},
    {"label": "With the change", "numeric": True},
    {"label": "Saved", "numeric": True},
]
COMPARED_COLUMNS: list[Cell] = [
    {"label": "Figure"},
    {"label": "From the records", "numeric": True},
    {"label": "90 % limits", "numeric": True},
    {"label": "With the typed ratio", "numeric": True},
    {"label": "90 % limits", "numeric": True},
]
FROM_FAILURES = ("saving_repair", "saving_lost_production", "saving_environment")
RUNNING = ("saving_energy", "saving_water", "saving_barrier_fluid")
WORTH = (
    *("investment", "simple_payback", "discounted_payback", "payback_chance"),
    *("discounted_payback_chance", "net_present_value", "gain_chance"),
    *("internal_rate", "savings_to_investment"),
)
FAILURES = ("failures_before", "failures_after", "failure_ratio")
COMPARED = (
    *("failure_ratio", "yearly_saving", "simple_payback", "payback_chance"),
    *("net_present_value", "gain_chance"),
)


def _text(words: str, note: str = "") -> Cell:
    return {"text": words, "note": note}


def _number(words: str) -> Cell:
    return {"text": words or NO_VALUE, "numeric": True}


def figure_rows(report: UpgradeReport, keys: Iterable[str]) -> list[list[Cell]]:
    """One row a figure; its reason stands under its name."""
    return [_figure_row(report.figure(key), report.currency) for key in keys]


def _figure_row(figure: CaseFigure, currency: str) -> list[Cell]:
    return [
        _text(figure.label, figure.reason),
        _number(value_of(figure, currency)),
        _number(limits_of(figure)),
    ]


def savings(report: UpgradeReport) -> list[str]:
    """Parts of the saving; a running cost that the change leaves alone is none."""
    changed = [
        key
        for key in RUNNING
        if (figure := report.figure(key)).value or figure.low is not None
    ]
    return [*FROM_FAILURES, *changed]


def saving_totals(report: UpgradeReport) -> list[Cell]:
    return _figure_row(report.figure("yearly_saving"), report.currency)


def input_rows(report: UpgradeReport) -> list[list[Cell]]:
    return [
        [
            _text(line.label),
            _number(value_of(line, report.currency)),
            _number(limits_of(line)),
            _text(line.source),
            _text(line.note),
        ]
        for line in report.inputs
    ]


def cost_rows(report: UpgradeReport) -> list[list[Cell]]:
    """Worth today of each element over the years, without and with the change."""
    assert report.result is not None
    before = report.result.cost_before.by_element
    after = report.result.cost_after.by_element
    return [
        [
            _text(element.value.capitalize()),
            *(_number(amount(cost, report.currency)) for cost in costs),
        ]
        for element in ELEMENTS
        for costs in [
            (before[element], after[element], before[element] - after[element])
        ]
    ]


def cost_totals(report: UpgradeReport) -> list[Cell]:
    keys = ("cost_before", "cost_after", "net_present_value")
    values = [report.figure(key).value for key in keys]
    return [
        _text("All elements"),
        *(_number(amount(value, report.currency)) for value in values),
    ]


def compared_rows(report: UpgradeReport) -> list[list[Cell]]:
    """Measured beside typed; the typed is a comparison and no evidence."""
    if report.compared is None:
        return []
    typed = {
        figure.key: figure
        for figure in figures_of(
            report.compared,
            drawn_of(report.compared.inputs),
            report.assumptions.payback_months,
        )
    }
    return [
        [
            _text(typed[key].label),
            *_figure_row(report.figure(key), report.currency)[1:],
            *_figure_row(typed[key], report.currency)[1:],
        ]
        for key in COMPARED
    ]
