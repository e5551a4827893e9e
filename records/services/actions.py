"""Actions decided, done, judged and dropped; one person at a time."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import may, require
from plant.days import refuse_far_days
from plant.models import Position, Site, User
from records.action_choices import ActionState
from records.models import Action
from records.selectors.actions import LOOKS, judge_on, owners_at

DECIDE = "records.decide_action"


@transaction.atomic
def action_decide(
    *,
    by: User,
    site: Site,
    positions: Iterable[Position] = (),
    decided_at: datetime | None = None,
    permission: str = DECIDE,
    **fields: Any,
) -> Action:
    """Write a decision down; what to expect is frozen by analytics' service.

    `fields` must hold title, change_made, owner and due_on, and may hold pump,
    population, finding, reason, expected_fewer_repairs_per_year, cost, currency (else
    that of the site) and judge_after_months. An action about a finding alone is about
    the position of that repair. `permission` is another one only where something else
    is decided with it, such as an upgrade case.

    Raises
    ------
    ValidationError
        With a sentence beside the field that cannot be.
    """
    require(by, permission, site=site)
    about = list(positions)
    action = Action(
        site=site, decided_by=by, decided_at=decided_at or timezone.now(), **fields
    )
    action.title, action.population = action.title.strip(), action.population.strip()
    if action.finding is not None and not about and action.pump is None:
        about = [action.finding.position]
    has_cost = action.cost is not None
    action.currency = (action.currency or site.currency) if has_cost else ""
    _refuse_elsewhere(action, about)
    _refuse_odd_numbers(action)
    refuse_far_days(action)
    _refuse_past_due(action)
    _store(action, by, "Decided", at=decided_at, positions=about)
    return action


def _refuse_elsewhere(action: Action, positions: list[Position]) -> None:
    """Refuse units, a finding or an owner of another site, and an action on nothing."""
    refused: dict[str, str] = {}
    site = action.site_id
    if any(position.site_id != site for position in positions):
        refused["positions"] = f"Choose positions of {action.site} only."
    if action.pump is not None and action.pump.site_id != site:
        refused["pump"] = f"This pump does not belong to {action.site}."
    if action.finding is not None and action.finding.site_id != site:
        refused["finding"] = f"This repair was not at {action.site}."
    if not owners_at(action.site).filter(pk=action.owner_id).exists():
        refused["owner"] = f"{action.owner} does not work at {action.site}."
    if not (positions or action.pump or action.population):
        refused["positions"] = (
            "Say what it is about: positions, a pump, a kind of part or a finding."
        )
    if refused:
        raise ValidationError(refused)


def _refuse_past_due(action: Action) -> None:
    """Refuse a new action that would be overdue on the day it is decided."""
    decided_on = timezone.localdate(action.decided_at)
    if action.due_on < decided_on:
        raise ValidationError(
            {"due_on": f"This day is past: choose {decided_on} or later."}
        )


def _refuse_odd_numbers(action: Action) -> None:
    fewer = action.expected_fewer_repairs_per_year
    if fewer is not None and fewer <= 0:
        raise ValidationError(
            {"expected_fewer_repairs_per_year": "Type a number above zero."}
        )
    if action.cost is not None and action.cost < 0:
        raise ValidationError({"cost": "A cost is zero or more."})


@transaction.atomic
def action_change(
    *, by: User, action: Action, owner: User, due_on: date, judge_after_months: int
) -> Action:
    """Give an open action another owner, due day or planned verdict.

    Once it is done the date of the verdict stands: moving it then would choose the
    look that suits.

    Raises
    ------
    ValidationError
        When it is not open, the owner is not of the site, or the months are none of
        those offered.
    """
    action = action_lock(action)
    require(by, DECIDE, site=action.site)
    _refuse_unless(action, ActionState.OPEN)
    stays = owner.pk == action.owner_id
    if not stays and not owners_at(action.site).filter(pk=owner.pk).exists():
        raise ValidationError({"owner": f"{owner} does not work at {action.site}."})
    if judge_after_months not in LOOKS:
        raise ValidationError({"judge_after_months": "Choose one of those offered."})
    action.owner, action.due_on = owner, due_on
    action.judge_after_months = judge_after_months
    refuse_far_days(action)
    _store(action, by, "Changed")
    return action


@transaction.atomic
def action_done(
    *, by: User, action: Action, done_on: date, at: datetime | None = None
) -> Action:
    """Say on which day the change was finished; its owner or an engineer does.

    Raises
    ------
    ValidationError
        When it is not open, or the day is to come or before the decision.
    """
    action = action_lock(action)
    if action.owner_id == by.pk:
        _refuse_other_site(by, action)
    else:
        require(by, DECIDE, site=action.site)
    _refuse_unless(action, ActionState.OPEN)
    decided_on = timezone.localdate(action.decided_at)
    if done_on > timezone.localdate():
        raise ValidationError({"done_on": "This day is still to come."})
    if done_on < decided_on:
        raise ValidationError(
            {"done_on": f"It was decided on {decided_on}: choose that day or later."}
        )
    action.state, action.done_on = ActionState.DONE, done_on
    _store(action, by, "Done", at=at)
    return action


def may_mark_done(user: User, action: Action) -> bool:
    is_theirs = action.owner_id == user.pk or may(user, DECIDE)
    return is_theirs and action.state == ActionState.OPEN


@transaction.atomic
def action_judge(
    *,
    by: User,
    action: Action,
    verdict: str,
    note: str = "",
    judged_at: datetime | None = None,
) -> Action:
    """Give the one verdict; the figures it rests on are kept by analytics' service.

    Raises
    ------
    ValidationError
        When it is not done or was judged, before the planned date, or without a note
        on why.
    """
    action = action_lock(action)
    require(by, DECIDE, site=action.site)
    _refuse_unless(action, ActionState.DONE)
    now = judged_at or timezone.now()
    planned = judge_on(action)
    if planned and timezone.localdate(now) < planned:
        raise ValidationError(
            {"verdict": f"Too early for any verdict: it is planned for {planned}."}
        )
    if not note.strip():
        raise ValidationError({"note": "Say in a sentence why."})
    action.state = ActionState.JUDGED
    action.verdict, action.verdict_note = verdict, note.strip()
    action.judged_at, action.judged_by = now, by
    _store(action, by, "Judged", at=judged_at)
    return action


@transaction.atomic
def action_drop(*, by: User, action: Action, reason: str) -> Action:
    """Give an action up before it is done; it stays on record with the reason.

    Raises
    ------
    ValidationError
        When it is not open, or without a reason.
    """
    action = action_lock(action)
    require(by, DECIDE, site=action.site)
    _refuse_unless(action, ActionState.OPEN)
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is dropped."})
    action.state, action.dropped_reason = ActionState.DROPPED, reason.strip()
    _store(action, by, "Dropped")
    return action


def action_lock(action: Action) -> Action:
    """The row as it is now, held until the transaction ends."""
    return (
        Action.objects.select_for_update(of=("self",))
        .select_related("site", "owner", "judged_by")
        .get(pk=action.pk)
    )


def _refuse_unless(action: Action, state: ActionState) -> None:
    if action.state == state:
        return
    if action.state == ActionState.JUDGED:
        words = f"{action.judged_by} judged it already: {action.get_verdict_display()}."
    elif action.state == ActionState.DROPPED:
        words = f"It was dropped already: {action.dropped_reason}"
    elif action.state == ActionState.DONE:
        words = f"It was done already, on {action.done_on}."
    else:
        words = "It is not done yet: mark it done first."
    raise ValidationError(words)


def _refuse_other_site(by: User, action: Action) -> None:
    """Owning it is not enough for who has left the site."""
    if not owners_at(action.site).filter(pk=by.pk).exists():
        raise PermissionDenied(f"You do not work at {action.site}.")


def _store(
    action: Action,
    by: User,
    what: str,
    *,
    at: datetime | None = None,
    positions: list[Position] | None = None,
) -> None:
    """Save with who and what in history; `at` only for what is entered later."""
    row: Any = action
    if at is not None:
        row._history_date = at
    row._history_user = by
    row._change_reason = what
    action.full_clean(exclude=["decided_by", "owner", "judged_by"])
    # Positions can be set only once the row is there, and are kept in history too.
    action.save()
    if positions:
        action.positions.set(positions)
