"""Head of the page of one case: what it is, how far, and what may be done with it."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse
from django.utils.http import urlencode

from analytics.reports.upgrades.report import UpgradeReport
from plant import display
from plant.access import may
from plant.models import User
from records.models import UpgradeCase
from records.selectors.upgrade_cases import CaseState, state_of
from records.services.upgrade_cases import MOST_POSITIONS, PLAN

Entry = dict[str, Any]


def case_entries(case: UpgradeCase) -> list[Entry]:
    entries: list[Entry] = [
        {"term": "State", **_state(case)},
        {"term": "Kind of change", "text": case.get_change_made_display()},
        {"term": "Records up to", "text": display.date(case.as_of)},
        {"term": "Currency", "text": case.currency},
        {
            "term": "Changed",
            "text": display.date_time(case.changed_at),
            "note": f"first stored by {case.stored_by}",
        },
    ]
    return entries


def _state(case: UpgradeCase) -> Entry:
    state = state_of(case)
    if case.action is None:
        return {"text": str(state.label)}
    return {"text": str(state.label), "url": case.action.get_absolute_url()}


def act_words(report: UpgradeReport) -> list[str]:
    """What is decided and frozen with it, before it is."""
    if report.result is None:
        return ["It cannot be worked out, so there is no promise to freeze."] + list(
            report.refusals
        )
    return [
        report.headline,
        "The action takes over the positions, the kind of change and what is spent. "
        "The figures above are frozen with it as its promise, and the case no longer "
        "changes. It says nothing about whether a pump may be started.",
    ]


def position_links(case: UpgradeCase) -> list[Entry]:
    rows = sorted(case.positions.all(), key=lambda position: position.tag)
    return [
        {"label": row.tag, "url": reverse("plant:position_detail", args=[row.pk])}
        for row in rows
    ]


def new_case_ways(user: User, positions: Sequence[int]) -> list[Entry]:
    """A way to a new case of these positions, for whoever may plan one."""
    if not positions or not may(user, PLAN):
        return []
    asked = urlencode({"position": list(positions)[:MOST_POSITIONS]}, doseq=True)
    url = f"{reverse('analytics:upgrade_case_new')}?{asked}"
    return [{"label": "Work out an upgrade", "url": url}]


def ways_on(case: UpgradeCase, *, may_plan: bool) -> list[Entry]:
    """What may be done next, the likeliest first; never a way to start a pump."""
    state = state_of(case)
    of_case = [
        ("Turn into an action", "upgrade_case_acting", CaseState.OPEN),
        ("Change", "upgrade_case_changing", CaseState.OPEN),
        ("Withdraw", "upgrade_case_withdrawing", CaseState.OPEN),
        ("Bring back", "upgrade_case_bringing_back", CaseState.WITHDRAWN),
    ]
    ways: list[Entry] = [
        {"label": label, "url": reverse(f"analytics:{name}", args=[case.pk])}
        for label, name, needed in of_case
        if may_plan and state is needed
    ]
    if ways and state is CaseState.OPEN:
        ways[0]["primary"] = True
    if may_plan:
        copy = f"{reverse('analytics:upgrade_case_new')}?like={case.pk}"
        ways.append({"label": "Copy", "url": copy})
    compare = f"{reverse('analytics:upgrade_comparison')}?case={case.pk}"
    export = reverse("analytics:upgrade_export", args=[case.pk])
    return [
        *ways,
        {"label": "Compare", "url": compare},
        {"label": "CSV", "url": export},
    ]
