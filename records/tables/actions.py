"""The table of actions and its export."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django.urls import reverse

from plant import display
from plant.listing import Column
from records.action_choices import ActionState
from records.models import Action
from records.selectors.actions import is_overdue, judge_on

Cell = dict[str, Any]
MOST_NAMED = 5

COLUMNS = (
    Column("Action", "title", ("title",)),
    Column("State", "state", ("state", "due_on")),
    Column("About"),
    Column("Owner", "owner", ("owner__username",)),
    Column("Due", "due", ("due_on",)),
    Column("Done", "done", ("done_on",)),
    Column("Judge on"),
)
COST_COLUMNS = (Column("Cost", "cost", ("currency", "cost"), numeric=True),)
PANEL_COLUMNS = [
    {"label": label} for label in ("Action", "State", "Owner", "Due", "Judge on")
]
EXPORT_HEADER = (
    *("action", "site", "kind_of_change", "positions", "serial_number", "population"),
    *("finding", "reason", "owner", "state", "decided_on", "due_on", "overdue"),
    *("done_on", "judge_on", "expected_fewer_repairs_per_year", "verdict"),
    *("verdict_note", "dropped_reason"),
)
EXPORT_COSTS = ("cost", "currency")


def columns_for(see_costs: bool) -> tuple[Column, ...]:
    return COLUMNS + COST_COLUMNS if see_costs else COLUMNS


def action_cells(
    rows: Iterable[Action], today: date, see_costs: bool
) -> list[list[Cell]]:
    return [_row(row, today) + ([_cost_cell(row)] if see_costs else []) for row in rows]


def panel_cells(rows: Iterable[Action], today: date) -> list[list[Cell]]:
    """Lines of the actions of one position; what they are about is the page's."""
    return [
        [name, state, owner, due, judge]
        for name, state, _, owner, due, _, judge in (_row(row, today) for row in rows)
    ]


def about(action: Action) -> str:
    """What it is about in a few words: tags, pump, kind of part."""
    tags = [position.tag for position in action.positions.all()]
    named = ", ".join(tags[:MOST_NAMED])
    more = f" and {len(tags) - MOST_NAMED} more" if len(tags) > MOST_NAMED else ""
    words = [named + more, str(action.pump or ""), action.population]
    return display.text("; ".join(word for word in words if word))


def state_cell(action: Action, today: date) -> Cell:
    cell: Cell = {"text": state_words(action)}
    if is_overdue(action, today):
        return {**cell, "flag": "overdue", "alert": True}
    planned = judge_on(action)
    if action.state == ActionState.DONE and planned and planned <= today:
        return {**cell, "flag": "verdict due"}
    return cell


def state_words(action: Action) -> str:
    if action.state == ActionState.JUDGED:
        return f"Judged: {action.get_verdict_display().lower()}"
    return action.get_state_display()


def _row(action: Action, today: date) -> list[Cell]:
    return [
        {
            "text": action.title,
            "url": reverse("records:action_detail", args=[action.pk]),
            "note": action.get_change_made_display(),
        },
        state_cell(action, today),
        {"text": about(action)},
        owner_cell(action),
        {"text": display.date(action.due_on)},
        {"text": display.date(action.done_on)},
        {"text": display.date(judge_on(action))},
    ]


def owner_cell(action: Action) -> Cell:
    """The owner; marked where an unfinished action has none who could log in."""
    cell: Cell = {"text": str(action.owner)}
    waits = action.state in (ActionState.OPEN, ActionState.DONE)
    if waits and not action.owner.is_active:
        return {**cell, "flag": "owner has left", "alert": True}
    return cell


def _cost_cell(action: Action) -> Cell:
    return {"text": display.money(action.cost, action.currency), "numeric": True}


def export_header(see_costs: bool) -> Sequence[str]:
    return EXPORT_HEADER + EXPORT_COSTS if see_costs else EXPORT_HEADER


def export_row(action: Action, today: date, see_costs: bool) -> list[Any]:
    costs = [action.cost, action.currency] if see_costs else []
    return [
        action.title,
        action.site.name,
        action.get_change_made_display(),
        ", ".join(position.tag for position in action.positions.all()),
        action.pump.serial_number if action.pump else "",
        action.population,
        action.finding.number if action.finding else "",
        action.reason,
        action.owner.username,
        action.state,
        display.date(action.decided_at),
        action.due_on,
        "yes" if is_overdue(action, today) else "no",
        action.done_on or "",
        judge_on(action) or "",
        action.expected_fewer_repairs_per_year,
        action.verdict,
        action.verdict_note,
        action.dropped_reason,
        *costs,
    ]
