"""A small fleet with repairs, and upgrade cases on it that can be worked out."""

from datetime import UTC, date, datetime

from analytics.services.upgrades import upgrade_case_act, upgrade_case_make_and_reckon
from records.action_choices import ChangeMade
from records.selectors.upgrade_cases import upgrade_case_version
from records.services.actions import action_done
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    DONE,
    fleet,
    repairs_spread,
)

TYPED = {
    "purchase": 8000,
    "installation": {"least": 1000, "likely": 2000, "most": 4000},
    "ratio_from": "typed",
    "typed_ratio": {"least": "0.3", "likely": "0.5", "most": "0.8"},
    "repair_cost": 3000,
    "lost_production": 500,
}


def plant(size=10, before=4):
    """Positions of one site, each with so many failures before the decision."""
    positions = fleet(size)
    for position in positions:
        repairs_spread(position, before, BEGINNING, DECIDED)
    return positions


def case_of(by, positions, **more):
    fields = {
        "site": positions[0].site,
        "title": "Dual seals",
        "change_made": ChangeMade.DUAL_SEAL,
        "positions": positions,
        "as_of": DECIDED,
        "assumptions": TYPED,
        **more,
    }
    return upgrade_case_make_and_reckon(by=by, **fields)


def acted(by, case, **more):
    """The case as an action decided on DECIDED."""
    decision = {
        "owner": by,
        "due_on": date(2023, 3, 1),
        "judge_after_months": 12,
        "reason": "It pays",
        "decided_at": datetime(2023, 1, 1, 8, tzinfo=UTC),
        **more,
    }
    version = upgrade_case_version(case)
    return upgrade_case_act(by=by, case=case, version=version, **decision)


def done(engineer, case):
    action_done(by=engineer, action=case.action, done_on=DONE)
    case.refresh_from_db()
    return case
