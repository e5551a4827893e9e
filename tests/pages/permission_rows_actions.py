"""Addresses of actions: decided, done, judged, dropped, and what worked."""

from tests.pages.permission_row import (
    ALL,
    ENGINEER,
    ENGINEER_DONE,
    OWN_SITE,
    Row,
)

DECISION_TYPED = {
    "title": "Other faces",
    "change_made": "seal type",
    "site": "site.pk",
    "tags": "position.tag",
    "owner": "owner.pk",
    "due_on": "2030-01-01",
    "judge_after_months": "12",
}
OF_ACTION = "302 403 200 403 403 404"
OF_ACTION_DONE = "302 403 302 403 403 404"

ACTION_ROWS = [
    Row("records:action_list", ALL),
    Row("records:action_export", ALL),
    Row("records:action_detail", OWN_SITE, of="action"),
    Row(
        "records:action_marking_done",
        OF_ACTION,
        OF_ACTION_DONE,
        "action",
        {"done_on": "2024-05-01"},
    ),
    Row("records:position_actions", OWN_SITE, of="position"),
    Row(
        "records:action_changing",
        OF_ACTION,
        OF_ACTION_DONE,
        "action",
        {"owner": "owner.pk", "due_on": "2030-01-01", "judge_after_months": "6"},
    ),
    Row(
        "records:action_dropping",
        OF_ACTION,
        OF_ACTION_DONE,
        "action",
        {"reason": "Not worth it"},
    ),
    Row("analytics:action_new", ENGINEER, ENGINEER_DONE, data=DECISION_TYPED),
    Row("analytics:action_judgement", OWN_SITE, of="done_action"),
    Row(
        "analytics:action_judging",
        OF_ACTION,
        OF_ACTION_DONE,
        "done_action",
        {"verdict": "unproven", "note": "Too few pumps"},
    ),
    Row("analytics:what_worked", ALL),
    Row("analytics:what_worked_export", ALL),
]
