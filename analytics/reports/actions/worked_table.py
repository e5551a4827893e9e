"""The list of what worked, as the page shows it and as it is exported."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse

from analytics.reports.actions.worked import Effect, Worked, WorkedLine
from plant import display
from records.action_choices import Verdict
from records.tables.actions import state_words

Cell = dict[str, Any]
COLUMNS = [
    {"label": "Kind of change"},
    {"label": "Actions", "numeric": True},
    {"label": "Units", "numeric": True},
    {"label": "Counted", "numeric": True},
    {"label": "Expected", "numeric": True},
    {"label": "Ratio", "numeric": True},
    {"label": "90\u00a0% interval", "numeric": True},
    {"label": "Untreated equals", "numeric": True},
    {"label": "Fewer events a year", "numeric": True},
    {"label": "Verdicts given"},
]
COST_COLUMN = {"label": "Cost so far", "numeric": True}
ACTION_COLUMNS = [
    {"label": "Action"},
    {"label": "Kind of change"},
    {"label": "Units", "numeric": True},
    {"label": "Counted", "numeric": True},
    {"label": "Expected", "numeric": True},
    {"label": "State"},
]
EXPORT_HEADER = (
    *("kind_of_change", "actions", "units", "events", "expected_events", "ratio"),
    *("ratio_low", "ratio_high", "ratio_of_untreated_equals", "fewer_events_a_year"),
    *("works", "does_not_work", "unproven", "with_figures_kept_at_the_verdict"),
)


def context(found: Worked, see_costs: bool) -> dict[str, Any]:
    effects = [effect for line in found.lines for effect in line.effects]
    return {
        "columns": [*COLUMNS, COST_COLUMN] if see_costs else COLUMNS,
        "rows": [_row(line, see_costs) for line in found.lines],
        "action_columns": ACTION_COLUMNS,
        "action_rows": [_action_row(effect) for effect in effects],
        "too_early": _too_early(found.too_early),
        "whose": _whose(effects),
    }


def _whose(effects: list[Effect]) -> str:
    """How many stand with the figures of their verdict, how many with today's."""
    if not effects:
        return ""
    kept = _kept(effects)
    return (
        "An action that was judged stands with the figures kept with its verdict, so "
        "that a later correction moves no verdict and no line of this list: "
        f"{display.count(kept, 'action')}. Where none were kept or no verdict is given "
        "yet, they are worked out from the records of today, up to the planned date: "
        f"{display.count(len(effects) - kept, 'action')}."
    )


def _too_early(actions: int) -> str:
    if not actions:
        return ""
    words = display.count(actions, "action that is done,actions that are done")
    return f"Left out: {words}, whose planned date has not come."


def _kept(effects: Sequence[Effect]) -> int:
    return sum(effect.kept_on is not None for effect in effects)


def _row(line: WorkedLine, see_costs: bool) -> list[Cell]:
    clear = line.high < 1
    ratio: Cell = {"text": display.fixed(line.ratio, 2), "numeric": True}
    if clear:
        ratio["flag"] = "beyond chance"
    return [
        {"text": line.change.label},
        _number(str(len(line.effects))),
        _number(str(line.units)),
        _number(str(line.events)),
        _number(display.fixed(line.expected)),
        ratio,
        _number(display.interval(line.low, line.high, _two)),
        _number(display.fixed(line.equal_ratio, 2)),
        _number(display.fixed(line.fewer_a_year)),
        {"text": _verdicts(line)},
        *([_number(_costs(line))] if see_costs else []),
    ]


def _two(value: Any) -> str:
    return display.fixed(value, 2)


def _number(text: str) -> Cell:
    return {"text": text, "numeric": True}


def _verdicts(line: WorkedLine) -> str:
    given = [
        f"{line.verdicts.count(verdict)} {verdict.label.lower()}"
        for verdict in Verdict
        if verdict in line.verdicts
    ]
    return ", ".join(given) or "None yet"


def _costs(line: WorkedLine) -> str:
    sums = [display.money(amount, code) for code, amount in line.costs.items()]
    return ", ".join(sums) or display.NO_VALUE


def _action_row(effect: Effect) -> list[Cell]:
    action = effect.action
    url = reverse("records:action_detail", args=[action.pk])
    return [
        {"text": action.title, "url": url},
        {"text": action.get_change_made_display()},
        _number(str(effect.units)),
        _number(str(effect.after.events)),
        _number(display.fixed(effect.expected)),
        {"text": state_words(action), "note": _figures_of(effect)},
    ]


def _figures_of(effect: Effect) -> str:
    if effect.kept_on is None:
        return "figures: today"
    return f"figures: {display.date(effect.kept_on)}"


def export_row(line: WorkedLine) -> list[Any]:
    return [
        line.change.label,
        len(line.effects),
        line.units,
        line.events,
        round(line.expected, 4),
        round(line.ratio, 4),
        round(line.low, 4),
        round(line.high, 4),
        "" if line.equal_ratio is None else round(line.equal_ratio, 4),
        round(line.fewer_a_year, 4),
        *[line.verdicts.count(verdict) for verdict in Verdict],
        _kept(line.effects),
    ]
