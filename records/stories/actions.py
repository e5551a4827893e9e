"""What the page of one action says: the decision, its course, its history."""

from datetime import date
from typing import Any

from django.urls import reverse

from plant import display
from records.action_choices import ActionState, ChangeMade, Verdict
from records.models import Action
from records.selectors.actions import is_overdue, judge_on
from records.selectors.upgrade_cases import case_of_action
from records.stories.repair_events import Change, Event, who_of
from records.tables.actions import state_words

Entry = dict[str, Any]
FACTS = {
    "owner": "Owner",
    "due_on": "Due",
    "judge_after_months": "Months to the verdict",
    "state": "State",
    "done_on": "Done on",
    "verdict": "Verdict",
    "verdict_note": "Why",
    "dropped_reason": "Why dropped",
}
WORDS = {
    **dict(ActionState.choices),
    **dict(Verdict.choices),
    **dict(ChangeMade.choices),
}


def decision_entries(action: Action, see_costs: bool) -> list[Entry]:
    """What was decided, by whom, about what and in the hope of what."""
    fewer = action.expected_fewer_repairs_per_year
    entries: list[Entry] = [
        {"term": "Kind of change", "text": action.get_change_made_display()},
        {"term": "Why", "text": display.text(action.reason)},
        *_about_entries(action),
        {
            "term": "Hoped for",
            "text": f"{display.number(fewer)} fewer repairs a year, all units together"
            if fewer
            else "Half of the repairs",
        },
        {"term": "Owner", "text": str(action.owner)},
        {
            "term": "Decided",
            "text": f"{display.date(action.decided_at)} by {action.decided_by}",
        },
    ]
    if see_costs:
        cost = display.money(action.cost, action.currency)
        entries.append({"term": "Cost", "text": cost})
        entries += _promise_entries(action)
    return entries


def _promise_entries(action: Action) -> list[Entry]:
    case = case_of_action(action)
    if case is None:
        return []
    url = case.get_absolute_url()
    return [{"term": "Promised by the upgrade case", "text": case.title, "url": url}]


def _about_entries(action: Action) -> list[Entry]:
    entries: list[Entry] = []
    if action.pump is not None:
        url = action.pump.get_absolute_url()
        entries.append({"term": "Pump", "text": str(action.pump), "url": url})
    if action.population:
        entries.append({"term": "Kind of part", "text": action.population})
    if action.finding is not None:
        url = action.finding.get_absolute_url()
        entries.append({"term": "Finding", "text": str(action.finding), "url": url})
    return entries


def course_entries(action: Action, today: date) -> list[Entry]:
    """How far it is."""
    entries: list[Entry] = [
        {"term": "State", "text": state_words(action)},
        {"term": "Due", "text": display.date(action.due_on)},
        {"term": "Done", "text": display.date(action.done_on)},
    ]
    months = f"{action.judge_after_months} months after it is done"
    planned = judge_on(action)
    if action.state != ActionState.DROPPED:
        text = display.date(planned) if planned else months
        entries.append({"term": "Planned verdict", "text": text})
    if action.state == ActionState.JUDGED:
        entries += [
            {"term": "Verdict", "text": action.get_verdict_display()},
            {"term": "Why that verdict", "text": action.verdict_note},
            {
                "term": "Judged",
                "text": f"{display.date(action.judged_at)} by {action.judged_by}",
            },
        ]
    if action.dropped_reason:
        entries.append({"term": "Dropped because", "text": action.dropped_reason})
    return entries


def notices(action: Action, today: date) -> list[dict[str, str]]:
    if is_overdue(action, today):
        late = display.days((today - action.due_on).days)
        return [{"kind": "warning", "text": f"Overdue: it was due {late} ago."}]
    planned = judge_on(action)
    if action.state == ActionState.DONE and planned and planned <= today:
        text = f"A verdict is asked for: the planned date was {planned}."
        return [{"kind": "warning", "text": text}]
    return []


def position_links(action: Action) -> list[dict[str, str]]:
    return [
        {"label": row.tag, "url": reverse("plant:position_detail", args=[row.pk])}
        for row in action.positions.all()
    ]


def action_history(action: Action) -> list[Event]:
    """Every change, newest first."""
    rows = list(
        action.history.select_related("history_user", "owner").order_by("history_id")
    )
    events: list[Event] = []
    before: Any = None
    for row in rows:
        changes = [] if before is None else _changes(before, row)
        # Setting the positions of a new action stores its row a second time.
        if before is None or changes:
            what = row.history_change_reason or "Changed"
            events.append(Event(row.history_date, who_of(row), what, changes))
        before = row
    return events[::-1]


def _changes(before: Any, after: Any) -> list[Change]:
    return [
        Change(label, _shown(getattr(before, name)), _shown(getattr(after, name)))
        for name, label in FACTS.items()
        if getattr(before, name) != getattr(after, name)
    ]


def _shown(value: Any) -> str:
    if isinstance(value, date):
        return display.date(value)
    return display.text(WORDS.get(value, value))
